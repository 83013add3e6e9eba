"""Where a part, and what a change saves, lies in days like these."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from report.giveaway.giveaway_rows import TARGET_MG, row
from weighstation.events import Verdict
from weighstation.journal import Sums, TallyKey
from weighstation.report.giveaway import Part, part_interval_mg
from weighstation.report.giveaway.cuts import Cuts, Habits, hands_of
from weighstation.report.giveaway.ranges import bias_saving_mg, trim_saving_mg

if TYPE_CHECKING:
    from weighstation.report.giveaway import RunRow

HEAVY, LIGHT = Part.HEAVY_OUT_OF_BAND, Part.LIGHT_OUT_OF_BAND


def typed(errors_mg: list[int]) -> RunRow:
    """Return a run whose first cuts nobody knows."""
    one = row(errors_mg)
    return replace(one, state=replace(one.state, first=row([]).state.first))


def sums(errors_mg: np.ndarray) -> Sums:
    whole = [int(d) for d in errors_mg]
    return Sums(len(whole), sum(whole), sum(d * d for d in whole), sum(max(0, d) for d in whole))


def drawn(first_mg: np.ndarray, final_mg: np.ndarray) -> RunRow:
    """Return a run by its integers alone, with a cell for each side of the band."""
    off = final_mg > 8000
    cells = {
        TallyKey(0, Verdict.KEEP, 0): sums(final_mg[~off]),
        TallyKey(0, Verdict.TRIM, 9): sums(final_mg[off]),
    }
    one = row()
    state = replace(one.state, kept=sums(final_mg), first=sums(first_mg))
    return replace(one, state=state, tally=cells)


def test_of_one_heavy_piece_it_is_that_of_a_poisson_mean() -> None:
    """One of 20 g in 40 runs of 50: SciPy's exact limits of 1, wider by t of 39 for z at most.

    The variance is 20 g squared times (t / z)^2, 1.065, less a part in 2,000.
    """
    rows = [typed([0] * 50) for _ in range(39)] + [typed([20_000] + [0] * 49)]
    low, high = part_interval_mg(rows, HEAVY) or (0, 0)
    exact = [20_000 * float(stats.chi2.ppf(p, df) / 2) for p, df in ((0.025, 2), (0.975, 4))]

    assert exact[0] * 0.7 < low < exact[0]
    assert exact[1] < high < exact[1] * 1.07


def test_of_no_heavy_piece_it_goes_up_to_what_chance_hides() -> None:
    """None seen: up to 3.689 (Garwood) of twice the side of the band, 8 g."""
    low, high = part_interval_mg([typed([0] * 50)] * 4, HEAVY) or (-1, 0)

    assert 0 == low
    assert 3.689 * 16_000 == pytest.approx(high, rel=1e-3)


def test_of_no_heavy_piece_first_cuts_say_what_one_would_weigh() -> None:
    """First cuts of 10 g around the scaling weight, all trimmed: SciPy's mean beyond 8.5 g."""
    first = row([-10_000, 10_000] * 25).state.first
    rows = [replace(one := typed([0] * 50), state=replace(one.state, first=first))] * 2
    _, high = part_interval_mg(rows, HEAVY) or (0, 0)
    sd_mg = first.sd_mg or 0.0
    beyond_mg = float(stats.truncnorm.mean(8500 / sd_mg, np.inf, scale=sd_mg))

    assert 3.689 * beyond_mg == pytest.approx(high, rel=0.01)


def test_light_pieces_are_heavy_ones_turned_round() -> None:
    heavy = part_interval_mg([typed([20_000, 0, 0]), typed([0, 12_000])] * 3, HEAVY)
    light = part_interval_mg([typed([-20_000, 0, 0]), typed([0, -12_000])] * 3, LIGHT)

    assert heavy is not None
    assert (-heavy[1], -heavy[0]) == light


def test_heavy_pieces_that_come_together_are_one() -> None:
    """20 in one of 24 runs say less than one in each of 20."""
    together = [typed([0] * 60)] * 23 + [typed([20_000] * 20 + [0] * 40)]
    apart = [typed([0] * 60)] * 4 + [typed([20_000] + [0] * 59)] * 20
    (low, high), (above, below) = (part_interval_mg(rows, HEAVY) or (0, 0) for rows in
                                   (together, apart))  # fmt: skip

    assert low < above
    assert high > 2 * below


def test_of_many_heavy_pieces_it_is_that_between_runs() -> None:
    """200 runs of 30 of which 8 to 12 are heavy: Cochran's interval, within 2 % of its width."""
    rows = [typed([12_000] * (8 + run % 5) + [0] * (22 - run % 5)) for run in range(200)]
    low, high = part_interval_mg(rows, HEAVY) or (0, 0)
    given = [12_000 * (8 + run % 5) for run in range(200)]
    piece_sd = 12_000 * math.sqrt(200 * 30 * (1 / 3) * (2 / 3))
    runs_sd = math.sqrt(200 / 199 * sum((x - np.mean(given)) ** 2 for x in given))
    reach = stats.norm.ppf(0.975) * max(piece_sd, stats.t.ppf(0.975, 199) / 1.96 * runs_sd)

    assert 2 * reach == pytest.approx(high - low, rel=0.02)


@pytest.mark.parametrize("usual", [0.5, 2, 6, 25])
def test_it_holds_what_is_expected_of_heavy_pieces(usual: float) -> None:
    """500 weeks of 24 runs of 12: never below 95 % by more than three standard errors (2.9).

    So many are drawn by NumPy for a week, each 9 g and an exponential 6 g more.
    """
    draw, held, chance = np.random.default_rng(8), 0, usual / 288
    for _ in range(500):
        runs = []
        for heavy in draw.binomial(12, chance, 24):
            final_mg = np.zeros(12)
            final_mg[:heavy] = 9000 + draw.exponential(6000, heavy)
            runs.append(drawn(np.zeros(0), final_mg))
        low, high = part_interval_mg(runs, HEAVY) or (0, 0)
        held += low <= 15_000 * usual <= high

    assert held / 500 >= 0.921


def test_all_heavy_alike_have_no_range() -> None:
    assert (80_000, 80_000) == part_interval_mg([typed([20_000] * 2)] * 2, HEAVY)


def test_a_run_without_a_piece_changes_nothing() -> None:
    assert part_interval_mg([typed([]), typed([])], HEAVY) is not None


def test_trimming_ends_where_touched_pieces_lay() -> None:
    """Without first cuts down to the scaling weight: one of 20 g saves 20 g."""
    saving_mg, interval = trim_saving_mg([typed([20_000, 0]), typed([0, 0])])

    assert 20_000 == saving_mg
    assert interval == part_interval_mg([typed([20_000, 0]), typed([0, 0])], HEAVY)


def test_one_run_shows_no_range() -> None:
    assert (20_000, None) == trim_saving_mg([typed([20_000, 0])])
    assert bias_saving_mg([row([0, 1000] * 20)]) is None


def week(draw: np.random.Generator, bias_mg: float) -> list[RunRow]:
    """Return 24 runs of 30 whose doughs wander by 1 g; what is out of the band is touched."""
    rows = []
    for _ in range(24):
        first = 1000 * np.round(draw.normal(bias_mg + draw.normal(0, 1000), 9000, 30) / 1000)
        touched = 1000 * np.round(draw.normal(0, 2, 30))
        rows.append(drawn(first, np.where(np.abs(first) <= 8000, first, touched)))
    return rows


def test_a_saving_is_what_the_law_of_first_cuts_makes_of_it() -> None:
    """From a piece's expected give-away with its mean and with none, times the pieces."""
    rows = week(np.random.default_rng(9), 3000)
    saving_mg, _ = bias_saving_mg(rows) or (0.0, (0, 0))
    (hand,) = hands_of(rows)
    habits = Habits.of([hand])
    law = [stats.norm(mean, hand.cuts.sd_mg) for mean in (hand.cuts.mean_mg, 0.0)]
    kept = [one.expect(lambda d: d, lb=-8500, ub=8500) for one in law]
    touched = [one.sf(8500) + one.cdf(-8500) for one in law]

    assert 720 * ((kept[0] - kept[1]) + habits.touched_mg * (touched[0] - touched[1])) == (
        pytest.approx(saving_mg, rel=1e-6)
    )


def test_it_holds_what_is_saved_in_the_long_run() -> None:
    """300 weeks with a bias of 3 g: what it costs by NumPy, of 500 weeks with and without.

    Below 95 % by no more than three standard errors (3.8); the interval also leaves room for what
    just these pieces save, and holds more.
    """
    draw = np.random.default_rng(10)
    bias = np.round(draw.normal(0, math.hypot(9, 1), 10**6)[:, None] + [3.0, 0.0])
    costs_mg = float(1000 * (np.where(np.abs(bias) <= 8, bias, 0).mean(axis=0) @ [1, -1]) * 720)
    found = [bias_saving_mg(week(draw, 3000)) for _ in range(300)]
    held = sum(one is not None and one[1][0] <= costs_mg <= one[1][1] for one in found)

    assert held / 300 >= 0.912


def test_where_nothing_differs_nothing_reaches() -> None:
    """All runs alike, all of them in a band so wide that no bias moves a piece out of it."""
    rows = [row([999, 1001] * 20)] * 3
    saving_mg, (low, high) = bias_saving_mg(rows) or (0.0, (0, 0))

    assert 120 * 1000 == pytest.approx(saving_mg)
    assert round(saving_mg) == low == high


def test_a_hand_whose_other_run_is_all_alike_is_left_as_it_is() -> None:
    """Without the first run no spread is left: the whole hand stands for the other."""
    one, other = row([0, 1000] * 20), row([0] * 2)
    found = bias_saving_mg([one, other])

    assert Cuts.of(other, other.state.first) is None
    assert found is not None
    assert TARGET_MG > found[1][1] - found[1][0] > 0
