"""What a label asks of a piece of dough, step by step."""

from __future__ import annotations

import math
import random

import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.monitor import Moments
from weighstation.plan import BatchSpread, KnownLoss, bench_spread, oven_loss
from weighstation.quantity import least_aim, published_rule
from weighstation.report.giveaway import Known, label_basis

RULE = published_rule("eu-76-211")
BENCH = bench_spread([Moments(48, 1.0, 47 * 16.0)] * 5, band_g=24)
STAGES = KnownLoss(stages=0.12)


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
    assert "The oven is taken to add nothing." in found.said_by


def aim_mg(sd_g: float, batch_sd_g: float = 0.0) -> float:
    aim = least_aim(800, sd_g, rule=RULE, batch_size=48, batch_sd_g=batch_sd_g)
    return 1000 * aim.aim_g / 0.88


def test_the_interval_is_that_of_spread_and_wander() -> None:
    """s root(df / chi2) with SciPy's quantiles: 235 degrees of freedom within, 4 among batches.

    Five batches that do not wander visibly may wander by 3 g: their means have 8^2 / 48 by chance.
    """
    loaves = BatchSpread(5, 240, 8.0, 0.0)
    found = label_basis(Known(800_000, RULE, STAGES, BENCH, loaves))
    ends = [8 * math.sqrt(235 / stats.chi2.ppf(p, 235)) for p in (0.975, 0.025)]
    wander_g = math.sqrt(64 / 48 * (4 / stats.chi2.ppf(0.025, 4) - 1))
    middle = aim_mg(8.0)
    low = middle - aim_mg(ends[0])
    high = math.hypot(aim_mg(ends[1]) - middle, aim_mg(8.0, wander_g) - middle)

    assert found is not None
    assert [middle - low, middle + high] == pytest.approx(found.lawful_interval_mg, abs=2)


def test_where_nothing_says_what_the_oven_takes_there_is_no_basis() -> None:
    assert label_basis(Known(800_000, RULE, KnownLoss(), BENCH)) is None


def test_a_label_outside_the_rule_is_refused() -> None:
    with pytest.raises(SpecificationError):
        label_basis(Known(1000, RULE, STAGES, BENCH))


def learned(raw_g: float = 920.0) -> KnownLoss:
    """Forty pairs of an oven that keeps 0.88 of the dough, give or take 4 g a loaf."""
    rng = random.Random(3)
    pairs = [
        (raw, 0.88 * raw + rng.gauss(0, 4)) for raw in (rng.gauss(raw_g, 6) for _ in range(40))
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
    low, high = found.lawful_interval_mg
    assert found.lawful_mg - low > 1000 * (at_g - interval_g[0])
    assert high - found.lawful_mg > 1000 * (interval_g[1] - at_g)
    assert "the loss fitted to this oven" in found.said_by or "line" in found.said_by


def test_wander_of_few_batches_widens_it_more() -> None:
    few = label_basis(Known(800_000, RULE, learned(), BENCH, BatchSpread(3, 90, 8.0, 3.0)))
    many = label_basis(Known(800_000, RULE, learned(), BENCH, BatchSpread(30, 900, 8.0, 3.0)))

    assert few is not None
    assert many is not None
    widths = [high - low for low, high in (few.lawful_interval_mg, many.lawful_interval_mg)]
    assert widths[0] > 2 * widths[1]


def test_a_weight_that_was_never_baked_here_goes_by_the_stages() -> None:
    found = label_basis(Known(400_000, RULE, learned(), BENCH))

    assert found is not None
    assert 454_545 == found.label_mg  # 400 / 0.88
    assert "the losses of the stages" in found.said_by


def test_a_spread_that_is_only_assumed_has_no_range_of_its_own() -> None:
    bare = bench_spread([], band_g=24)
    found = label_basis(Known(800_000, RULE, STAGES, bare))

    assert found is not None
    assert (found.lawful_mg, found.lawful_mg) == found.lawful_interval_mg
