"""What a label asks of a piece of dough, step by step."""

from __future__ import annotations

import math
import random

import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.monitor import Moments
from weighstation.plan import (
    BatchSpread,
    BenchSpread,
    KnownLoss,
    batch_spread,
    bench_spread,
    oven_loss,
)
from weighstation.quantity import least_aim, published_rule
from weighstation.report.giveaway import Known, label_basis
from weighstation.report.giveaway.basis import least_lawful_mg
from weighstation.report.giveaway.lawful_range import LOTS_NEEDED

RULE = published_rule("eu-76-211")
BENCH = bench_spread([Moments(48, 1.0, 47 * 16.0)] * 5, band_g=24)
STAGES = KnownLoss(stages=0.12)
EXACT = KnownLoss(oven_loss([(raw, 0.88 * raw) for raw in (900.0, 920.0, 940.0)] * 4))
"""An oven that keeps 0.88 of the dough, and of which nothing is left open."""


def test_steps_from_the_label_up_are_the_least_aims_in_dough() -> None:
    """`least_aim` by itself, divided by the share kept; oven: 8^2 less (carry 4)^2."""
    loaves = BatchSpread(5, 240, 8.0, 0.0)
    found = label_basis(Known(800_000, RULE, STAGES, BENCH, loaves))
    carry = STAGES.carry.interval[1]
    oven_g = math.sqrt(64 - (carry * 4) ** 2)

    assert found is not None
    assert 909_091 == found.label_mg
    for mg, sd_g in ((found.lawful_mg, 8.0), (found.oven_mg, oven_g)):
        aim_g = least_aim(800, sd_g, rule=RULE, batch_size=48, risk=0.05).aim_g
        assert aim_g / 0.88 == pytest.approx(mg / 1000, abs=0.001)
    assert found.label_mg < found.oven_mg < found.lawful_mg


def test_without_baked_loaves_the_oven_adds_nothing() -> None:
    found = label_basis(Known(800_000, RULE, STAGES, BENCH))

    assert found is not None
    assert found.label_mg == found.oven_mg
    assert "Baking is taken to add nothing to that." in found.said_by
    assert (False, True) == (found.knows_oven, found.knows_bench)


def test_of_few_pieces_and_enough_loaves_the_bench_alone_is_assumed() -> None:
    few = bench_spread([Moments(1, 1.0, 0.0)], band_g=24)
    found = label_basis(Known(800_000, RULE, STAGES, few, BatchSpread(5, 240, 8.0, 0.0)))

    assert found is not None
    assert (True, False) == (found.knows_oven, found.knows_bench)


def aim_mg(sd_g: float, batch_sd_g: float = 0.0) -> float:
    aim = least_aim(800, sd_g, rule=RULE, batch_size=48, batch_sd_g=batch_sd_g)
    return 1000 * aim.aim_g / 0.88


def test_the_interval_is_that_of_spread_and_wander() -> None:
    """s root(df / chi2) with SciPy's quantiles: 235 degrees of freedom within, 4 among batches.

    Five batches that do not wander visibly may wander by 3 g: their means have 8^2 / 48 by chance.
    """
    loaves = BatchSpread(5, 240, 8.0, 0.0)
    found = label_basis(Known(800_000, RULE, EXACT, BENCH, loaves))
    ends = [8 * math.sqrt(235 / stats.chi2.ppf(p, 235)) for p in (0.975, 0.025)]
    wander_g = math.sqrt(64 / 48 * (4 / stats.chi2.ppf(0.025, 4) - 1))
    middle = aim_mg(8.0)
    low = middle - aim_mg(ends[0])
    high = math.hypot(aim_mg(ends[1]) - middle, aim_mg(8.0, wander_g) - middle)

    assert found is not None
    assert "" == found.no_range
    assert [middle - low, middle + high] == pytest.approx(found.lawful_interval_mg, abs=2)


def test_where_nothing_says_what_the_oven_takes_there_is_no_basis() -> None:
    assert label_basis(Known(800_000, RULE, KnownLoss(), BENCH)) is None


def test_a_label_outside_the_rule_is_refused() -> None:
    with pytest.raises(SpecificationError):
        label_basis(Known(1000, RULE, STAGES, BENCH))


def learned(*, spread_g: float = 6.0) -> KnownLoss:
    """Forty pairs of an oven that keeps 0.88 of the dough, give or take 4 g a loaf."""
    rng = random.Random(3)
    pairs = [
        (raw, 0.88 * raw + rng.gauss(0, 4)) for raw in (rng.gauss(920, spread_g) for _ in range(40))
    ]
    return KnownLoss(oven_loss(pairs), (0.12,))


def test_a_loss_that_was_learned_widens_the_range_by_its_own() -> None:
    """Without wander: the ends of spread and of loss, squared and added, each way."""
    loaves = BatchSpread(5, 240, 8.0, 0.0)
    loss = learned()
    found = label_basis(Known(800_000, RULE, loss, BENCH, loaves))
    at_g, interval_g = loss.scaling_g(800)

    assert found is not None
    assert interval_g is not None
    assert found.lawful_interval_mg is not None
    low, high = found.lawful_interval_mg
    assert found.lawful_mg - low > 1000 * (at_g - interval_g[0])
    assert high - found.lawful_mg > 1000 * (interval_g[1] - at_g)
    assert "Baking loss as measured in this oven" in found.said_by


def width_mg(loaves: BatchSpread) -> int:
    found = label_basis(Known(800_000, RULE, learned(spread_g=40.0), BENCH, loaves))
    assert found is not None
    assert found.lawful_interval_mg is not None
    low, high = found.lawful_interval_mg
    return high - low


def test_wander_of_few_lots_widens_it_more() -> None:
    few, many = (width_mg(BatchSpread(n, 30 * n, 8.0, 3.0)) for n in (5, 30))

    assert few > 2 * many


@pytest.mark.parametrize(("lots", "said"), [(1, "of 1 lot was"), (2, "of 2 lots was")])
def test_of_too_few_lots_no_range_is_told_but_how_many_it_takes(lots: int, said: str) -> None:
    """The steps stay what they were: only what nobody could use is left out."""
    found = label_basis(Known(800_000, RULE, learned(), BENCH, BatchSpread(lots, 60, 8.0, 3.0)))

    assert found is not None
    assert found.lawful_interval_mg is None
    assert found.label_mg < found.oven_mg < found.lawful_mg
    assert f"too few lots. Baked bread {said} weighed in these days" in found.no_range
    assert found.no_range.endswith("it takes 5 lots.")


def test_it_takes_the_fewest_lots_that_tell_their_wander_to_three_times() -> None:
    """Upper end of a standard deviation, root(f / chi2) with SciPy's quantiles."""
    times = {n: math.sqrt((n - 1) / stats.chi2.ppf(0.025, n - 1)) for n in range(2, 12)}

    assert min(n for n, most in times.items() if most < 3) == LOTS_NEEDED


def test_a_range_that_ends_where_no_loaf_was_weighed_is_not_told() -> None:
    """Loaves of 880 to 960 g of dough, and lots that wander by so much that it might take more."""
    loaves = BatchSpread(5, 150, 8.0, 12.0)
    found = label_basis(Known(800_000, RULE, learned(), BENCH, loaves))

    assert found is not None
    assert found.lawful_interval_mg is None
    assert "lots differ so much that it may lie beyond any loaf" in found.no_range
    assert "as measured in this oven" in found.said_by


def test_a_weight_that_was_never_baked_here_goes_by_the_stages() -> None:
    found = label_basis(Known(400_000, RULE, learned(), BENCH))

    assert found is not None
    assert 454_545 == found.label_mg  # 400 / 0.88
    assert "as products.toml gives it" in found.said_by


@pytest.mark.parametrize("bench", [BENCH, bench_spread([], band_g=24)])
@pytest.mark.parametrize("loss", [STAGES, EXACT])
def test_what_is_assumed_has_no_range_and_says_so(bench: BenchSpread, loss: KnownLoss) -> None:
    found = label_basis(Known(800_000, RULE, loss, bench))

    assert found is not None
    assert found.lawful_interval_mg is None
    assert "how unevenly they bake is assumed. It takes 34 loaves, of 5 lots." in found.no_range


def test_so_many_loaves_as_it_is_said_to_take_are_enough() -> None:
    """34 loaves of 5 lots leave 29 differences within them, and 33 one too few."""
    rng = random.Random(5)
    lots = [Moments.of([rng.gauss(800, 8) for _ in range(n)]) for n in (7, 7, 7, 7, 6)]

    spread = batch_spread(lots)
    assert spread is not None
    assert (34, LOTS_NEEDED) == (spread.n, spread.batches)
    assert batch_spread([*lots[:4], Moments.of([800.0, 801.0, 799.0, 802.0, 800.0])]) is None


def test_a_loss_that_nobody_measured_leaves_no_range_either() -> None:
    found = label_basis(Known(800_000, RULE, STAGES, BENCH, BatchSpread(5, 240, 8.0, 0.0)))

    assert found is not None
    assert found.lawful_interval_mg is None
    assert "the baking loss is taken from products.toml" in found.no_range


def test_the_lawful_weight_alone_is_that_of_the_steps() -> None:
    for known in (Known(800_000, RULE, STAGES, BENCH), Known(400_000, RULE, learned(), BENCH)):
        found = label_basis(known)

        assert found is not None
        assert found.lawful_mg == least_lawful_mg(known)
    assert least_lawful_mg(Known(800_000, RULE, KnownLoss(), BENCH)) is None
