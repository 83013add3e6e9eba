"""First cuts as a normal law beside the band, and what becomes of those out of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, stats  # type: ignore[import-untyped]

from report.giveaway.giveaway_rows import PRODUCT, TARGET_MG, row, verdict_of
from weighstation.events import Verdict
from weighstation.journal import PieceFacts
from weighstation.report.giveaway.cuts import Cuts, Habits, hands_of

CUTS = Cuts(n=400, mean_mg=3000.0, sd_mg=15_000.0, low_mg=-8500, high_mg=8500, division_mg=1000)


def part_of(power: int, low: float, high: float) -> float:
    """Return the moment of first cuts between two weights, by SciPy's quadrature."""
    law = stats.norm(CUTS.mean_mg, CUTS.sd_mg)
    return float(integrate.quad(lambda d: d**power * law.pdf(d), low, high, epsabs=1e-3)[0])


def test_its_parts_are_those_of_the_normal_law() -> None:
    far = 10 * CUTS.sd_mg

    assert part_of(0, CUTS.high_mg, far) == pytest.approx(CUTS.above)
    assert part_of(0, -far, CUTS.low_mg) == pytest.approx(CUTS.below)
    assert part_of(1, CUTS.high_mg, far) == pytest.approx(CUTS.above_mg)
    assert part_of(1, -far, CUTS.low_mg) == pytest.approx(CUTS.below_mg)
    assert part_of(1, CUTS.low_mg, CUTS.high_mg) == pytest.approx(CUTS.inside_mg, abs=0.01)
    assert part_of(2, CUTS.low_mg, CUTS.high_mg) == pytest.approx(CUTS.inside_mg2, rel=1e-6)


def divided(
    draw: np.random.Generator, pieces: int, *, mean_g: float = 3, boards: float = 0.2
) -> tuple[PieceFacts, ...]:
    """Return pieces of a hand that boards some out of the band, and touches the others to 1 g."""
    found = []
    for number in range(1, pieces + 1):
        first_mg = final_mg = 1000 * round(draw.normal(mean_g, 15))
        touches = int(abs(first_mg) > 8000 and draw.random() >= boards)
        if touches:
            final_mg = 1000 * round(draw.normal(1, 2))
        final = TARGET_MG + final_mg
        found.append(
            PieceFacts(
                number, TARGET_MG + first_mg, final, touches, 4000, 0, verdict_of(final_mg), 0
            )
        )
    return tuple(found)


def hand(draw: np.random.Generator, pieces: int, person: str = "", runs: int = 2) -> list:  # type: ignore[type-arg]
    rows = []
    for _ in range(runs):
        counted = divided(draw, pieces)
        one = row(of=counted, person=person)
        first = row([(piece.first_mg or 0) - TARGET_MG for piece in counted]).state.kept
        rows.append(replace(one, state=replace(one.state, first=first)))
    return rows


def test_habits_are_found_again() -> None:
    """20,000 pieces: a share of 0.2 within 0.02, touched ones at 1 g with a spread of 2 g."""
    habits = Habits.of(hands_of(hand(np.random.default_rng(1), 10_000)))

    assert (0.2, 0.2) == pytest.approx((habits.boards_above, habits.boards_below), abs=0.02)
    assert habits.touched_mg == pytest.approx(1000, abs=150)
    assert habits.touched_sd_mg == pytest.approx(2000, abs=300)


def test_what_leaves_is_what_numpy_draws() -> None:
    """Of a million first cuts that are kept, boarded and touched as said; its standard error."""
    draw, habits = np.random.default_rng(2), Habits(0.1, 0.3, 1000.0)
    first = draw.normal(CUTS.mean_mg, CUTS.sd_mg, 1_000_000)
    boards = np.where(first > 0, habits.boards_above, habits.boards_below)
    kept = (first <= CUTS.high_mg) & (first >= CUTS.low_mg)
    left = np.where(kept | (draw.random(len(first)) < boards), first, habits.touched_mg)

    assert left.mean() == pytest.approx(habits.leaves_mg(CUTS), abs=4 * left.std() / 1000)


def test_what_single_pieces_save_spreads_as_numpy_draws() -> None:
    """A million first cuts with the bias and without it, rounded, touched alike: within 2 %."""
    draw = np.random.default_rng(3)
    habits, cuts = Habits(0.0, 0.0, 0.0, 3000.0), replace(CUTS, mean_mg=1400.0)
    first = draw.normal(0, CUTS.sd_mg, 1_000_000)
    touched = draw.normal(0, habits.touched_sd_mg, len(first))

    def left(off_mg: float) -> np.ndarray:
        shown = 1000 * np.round((first + off_mg) / 1000)
        return np.where(np.abs(shown) <= 8000, shown, touched)

    really = float((left(cuts.mean_mg) - left(0.0)).var())

    assert really == pytest.approx(cuts.moved_mg2(habits), rel=0.02)


def test_few_touched_pieces_tell_nothing_of_touches() -> None:
    habits = Habits.of(hands_of(hand(np.random.default_rng(4), 20)))

    assert (0.0, 0.0) == (habits.touched_mg, habits.touched_sd_mg)


def test_people_are_told_apart_where_each_has_two_runs() -> None:
    draw = np.random.default_rng(5)
    two = hand(draw, 20, "AB") + hand(draw, 20, "CD")
    one = two[:3]

    assert [2, 2] == [len(each.rows) for each in hands_of(two)]
    assert [3] == [len(each.rows) for each in hands_of(one)]


def test_another_band_is_another_hand() -> None:
    wider = replace(PRODUCT, limits=replace(PRODUCT.limits, over_mg=12_000))
    rows = hand(np.random.default_rng(6), 20) + [row([0, 1000] * 20, product=wider)] * 2

    assert [8500, 12_500] == [each.cuts.high_mg for each in hands_of(rows)]


def test_first_cuts_that_are_few_or_alike_or_not_known_tell_nothing() -> None:
    known = row([0, 1000] * 20)
    typed = replace(known, state=replace(known.state, first=row([]).state.first))

    assert () == hands_of([row([0, 1000] * 7)] * 2)
    assert () == hands_of([row([0] * 20)] * 2)
    assert () == hands_of([known, typed])
    assert Habits(0.0, 0.0) == Habits.of(())


def test_a_spread_far_from_the_band_is_no_fault() -> None:
    """All in the band, by 60 standard deviations; nothing is above or below it."""
    cuts = replace(CUTS, mean_mg=0.0, sd_mg=140.0)

    assert (0.0, 0.0) == (cuts.above, cuts.below)
    assert cuts.inside_mg2 == pytest.approx(140**2)
    assert Verdict.KEEP is verdict_of(0)
