"""A spread that is too small, and weights that are too equal, are flagged."""

from __future__ import annotations

import math
from itertools import groupby
from random import Random

import numpy as np
import pytest
from honest_bench import LIMITS, first_cuts, kept
from scipy import stats  # type: ignore[import-untyped]

from weighstation.monitor.plausibility import (
    FlagKind,
    equal_in_a_row,
    equal_neighbours,
    even_below_hand,
    even_beside_former,
    one_mark,
)

FORMER = (4000.0, 4200.0, 3900.0, 4100.0, 4050.0, 3950.0, 4150.0, 4000.0)


def made_up(n: int, sd_g: float, seed: int = 1) -> list[int]:
    rng = Random(seed)
    return [1000 * round(rng.gauss(740, sd_g)) for _ in range(n)]


def test_a_week_half_as_wide_is_flagged_by_students_interval() -> None:
    """The chance is Student's with the logarithms of eight variances, worked with NumPy."""
    week = made_up(900, 1.2)
    flag = even_beside_former(week, former_sd_mg=FORMER)
    assert flag is not None
    logs = np.log(np.square(FORMER))
    scatter = max(float(logs.std(ddof=1)), math.sqrt(2 / 899)) * math.sqrt(1 + 1 / 8)
    t = (math.log(np.var(week, ddof=1)) - float(logs.mean())) / scatter

    assert FlagKind.EVEN is flag.kind
    assert flag.p is not None
    assert math.isclose(stats.t.cdf(t, df=7), flag.p, rel_tol=1e-6)
    assert "spread by 1.2 g, and this bench had 4 g in its 8 weeks before" in flag.text


def test_a_bench_that_gets_better_or_was_never_steady_is_not_flagged() -> None:
    unsteady = (2000.0, 9000.0, 1500.0, 7000.0, 3000.0, 12_000.0, 2500.0, 5000.0)

    assert even_beside_former(made_up(900, 2.4), former_sd_mg=FORMER) is None
    assert even_beside_former(made_up(900, 1.8), former_sd_mg=unsteady) is None
    assert even_beside_former(made_up(900, 1.2), former_sd_mg=FORMER[:7]) is None
    assert even_beside_former(made_up(29, 1.2), former_sd_mg=FORMER) is None


def test_equal_weights_all_week_are_flagged() -> None:
    flag = even_beside_former([740_000] * 100, former_sd_mg=FORMER)

    assert flag is not None
    assert 0.0 == flag.p


def test_first_cuts_that_no_hand_can_cut_are_flagged_by_the_chi_square_test() -> None:
    """SciPy's chi-square; stated are 3.7 g, half a percent of 740 g, and the division."""
    cuts = made_up(100, 2.0)
    flag = even_below_hand(cuts, division_mg=1000, target_mg=740_000)
    assert flag is not None
    chi = 99 * np.var(cuts, ddof=1) / (3700**2 + 1000**2 / 12)

    assert flag.p is not None
    assert math.isclose(stats.chi2.cdf(chi, df=99), flag.p, rel_tol=1e-6)
    assert "less than 3.7 g" in flag.text


def test_first_cuts_of_a_good_divider_or_a_coarse_scale_are_not_flagged() -> None:
    equal = [740_000] * 100

    assert even_below_hand(made_up(900, 3.7), division_mg=1000, target_mg=740_000) is None
    assert even_below_hand(equal, division_mg=10_000, target_mg=740_000) is None
    assert even_below_hand(equal[:29], division_mg=1000, target_mg=740_000) is None


def test_equal_neighbours_are_held_against_chance_in_random_order() -> None:
    """Of shuffled weights as many neighbours are equal as the shares say, by NumPy's shuffles."""
    week = np.array(kept(first_cuts(900, seed=1), seed=1))
    rng = np.random.default_rng(1)
    ties = [int((np.diff(rng.permutation(week)) == 0).sum()) for _ in range(300)]
    _, counts = np.unique(week, return_counts=True)
    chance = float(np.square(counts / 900).sum())
    many = [each for each in week.tolist()[:400] for _ in range(2)]
    flag = equal_neighbours([many], division_mg=1000)

    assert math.isclose(899 * chance, float(np.mean(ties)), rel_tol=0.03)
    assert flag is not None
    assert flag.count is not None
    assert flag.count >= 400


def test_a_row_of_equal_weights_comes_no_more_often_than_its_bound() -> None:
    """Marks by the roll of a die: of 4,000 rows of 60 the bound is never passed by far."""
    rng = Random(8)
    longest = []
    for _ in range(4000):
        rolls = [rng.randint(1, 6) for _ in range(60)]
        longest.append(max(len(list(row)) for _, row in groupby(rolls)))
    for length in (4, 5, 6):
        seen = sum(most >= length for most in longest) / len(longest)

        assert seen <= 60 * (1.5 / 6) ** (length - 1)


def test_a_row_of_equal_weights_is_flagged() -> None:
    week = kept(first_cuts(300, seed=2), seed=2)
    row = [*week[:100], *[741_000] * 14, *week[100:]]
    flag = equal_in_a_row([row], division_mg=1000)

    assert equal_in_a_row([week], division_mg=1000) is None
    assert flag is not None
    assert (741_000, 741_000) == (flag.figures["weight_mg"], row[105])
    assert flag.text.startswith(f"{flag.count} weights in a row are 741 g")


def test_a_row_does_not_go_on_in_the_next_run() -> None:
    runs = [[*kept(first_cuts(40, seed=seed), seed=seed), *[741_000] * 3] for seed in range(9)]

    assert equal_in_a_row(runs, division_mg=1000) is None


def test_one_weight_too_often_is_flagged_by_the_exact_test() -> None:
    week = [*[743_000] * 60, *made_up(40, 3.0)]
    flag = one_mark(week, division_mg=1000, target_mg=740_000)
    assert flag is not None
    share = flag.figures["expected_most"] / 100
    wanted = stats.binomtest(flag.count, 100, share, alternative="greater").pvalue

    assert flag.p is not None
    assert math.isclose(wanted * len(set(week)), flag.p, rel_tol=1e-6)
    assert one_mark(made_up(900, 1.2), division_mg=1000, target_mg=740_000) is None
    assert one_mark([740_000] * 900, division_mg=10_000, target_mg=740_000) is None
    assert one_mark([740_000] * 29, division_mg=1000, target_mg=740_000) is None


@pytest.mark.parametrize("seed", range(20))
def test_honest_weeks_are_not_flagged(seed: int) -> None:
    days = [first_cuts(150, seed=10 * seed + day) for day in range(6)]
    kept_days = [kept(day, seed=seed) for day in days]
    flat = [each for day in kept_days for each in day]

    assert equal_neighbours(kept_days, division_mg=1000) is None
    assert equal_neighbours(days, division_mg=1000) is None
    assert equal_in_a_row(kept_days, division_mg=1000) is None
    assert one_mark(flat, division_mg=1000, target_mg=LIMITS.target_mg) is None


def test_too_few_or_none_are_not_asked() -> None:
    assert equal_neighbours([], division_mg=1000) is None
    assert equal_in_a_row([[740_000] * 29], division_mg=1000) is None
