"""Round numbers are flagged where no honest hand could place so many."""

from __future__ import annotations

import math
from itertools import cycle
from random import Random

import pytest
from honest_bench import LIMITS, first_cuts, kept
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.monitor.plausibility import FEWEST, FlagKind, round_steps, too_neat
from weighstation.specification import Limits


def typed(n: int, *, seed: int = 1, unit_mg: int = 5000) -> list[int]:
    """Return kept weights as somebody types them who weighed something."""
    rng = Random(seed)
    return [round(rng.gauss(741_000, 4000) / unit_mg) * unit_mg for _ in range(n)]


def test_a_typed_day_is_flagged_with_the_exact_binomial_chance() -> None:
    """The chance is that of SciPy's exact test, against the finest hand at 740 g, 1.11 g."""
    flag = too_neat(typed(150), division_mg=1000, limits=LIMITS)
    assert flag is not None
    most = flag.figures["expected_most"] / 150
    edges = (5 * five + half for five in range(-3, 4) for half in (0.5, -0.5))
    fives = sum(
        side * stats.norm.cdf(edge, scale=1.11)
        for edge, side in zip(edges, cycle((1, -1)), strict=False)
    )
    wanted = stats.binomtest(flag.count, 150, most, alternative="greater").pvalue

    assert (FlagKind.NEAT, 150, 150, 5e-6) == (flag.kind, flag.n, flag.count, flag.alpha)
    assert math.isclose(fives, most, rel_tol=1e-9)
    assert flag.p is not None
    assert math.isclose(wanted, flag.p, rel_tol=1e-6)
    assert flag.text.startswith("150 of 150 weights are multiples of 5 g, where at most 52 would")


def test_honest_days_are_not_flagged() -> None:
    for seed in range(40):
        cuts = first_cuts(150, seed=seed)

        assert too_neat(cuts, division_mg=1000) is None
        assert too_neat(kept(cuts, seed=seed), division_mg=1000, limits=LIMITS) is None


def test_a_hand_that_aims_at_a_round_weight_is_not_flagged() -> None:
    """All pieces corrected to 740 g, as finely as a hand can: 35 of 100 are fives."""
    rng = Random(4)
    fine = [1000 * round(rng.gauss(740, 1.11)) for _ in range(2000)]

    assert too_neat(fine, division_mg=1000, limits=LIMITS) is None


def test_a_band_with_round_limits_is_not_flagged() -> None:
    """Pieces that fill 915 to 930 g evenly: 4 marks of 16 are fives, not a fifth."""
    rng = Random(5)
    even = [1000 * rng.randint(915, 930) for _ in range(3000)]

    assert too_neat(even, division_mg=1000, limits=Limits(920_000, 5000, 10_000)) is None


def test_first_cuts_that_are_round_are_flagged() -> None:
    round_ones = [round(cut / 10_000) * 10_000 for cut in first_cuts(60, seed=1)]
    flag = too_neat(round_ones, division_mg=1000)

    assert flag is not None
    assert 10_000 == flag.figures["step_mg"]


def test_a_shift_of_the_scale_is_not_taken_for_spread() -> None:
    """Narrow rolls about 70 g and, with a scale 5 g off, about 75 g: both are fives, honestly."""
    rng = Random(6)
    rolls = [1000 * round(rng.gauss(mean, 0.7)) for mean in (70, 75) for _ in range(400)]

    assert too_neat(rolls, division_mg=1000) is None


def test_a_division_too_coarse_or_weights_too_few_are_not_asked() -> None:
    rolls = [70_000] * 500

    assert too_neat(rolls, division_mg=1000, limits=Limits(70_000, 2000, 2000)) is None
    assert too_neat(typed(FEWEST - 1), division_mg=1000, limits=LIMITS) is None
    assert too_neat(typed(FEWEST), division_mg=1000, limits=LIMITS) is not None
    assert too_neat([], division_mg=1000) is None


def test_round_numbers_are_those_of_a_person() -> None:
    """On a scale of 0.5 g whole grams are every second mark and fives every tenth."""
    assert [(5, 10), (5, 25), (2, 10), (2, 10), (5, 10)] == [
        round_steps(division_mg) for division_mg in (100, 200, 500, 5000, 2835)
    ]


def test_no_division_is_refused() -> None:
    with pytest.raises(SpecificationError):
        too_neat([740_000], division_mg=0)
