"""Equivalent minutes of proof, and when boards are ready."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.plan import (
    Law,
    ProofNeeded,
    TemperatureLog,
    core_caution,
    equivalent_minutes,
    ready_times,
)

PAN_BREAD = ProofNeeded(60, 35)  # 35 to 37 C, 60 to 65 min: baking society, "Final proof"


def held(minutes: float, temp_c: float, reference_c: float, law: Law = Law.SQUARE) -> float:
    return equivalent_minutes([0, minutes], [temp_c, temp_c], reference_c, law=law)


def test_falling_from_26_to_4_in_half_an_hour_is_ten_minutes() -> None:
    """Mean rate 1/3: own arithmetic."""
    assert 10 == pytest.approx(equivalent_minutes([0, 30], [26, 4], 26), abs=1e-12)


@pytest.mark.parametrize(
    ("law", "minutes"), [(Law.DOUBLING, 97.5), (Law.TENTH, 116.9), (Law.SQUARE, 100.1)]
)
def test_sixty_minutes_at_35_moved_to_28(law: Law, minutes: float) -> None:
    """Own arithmetic: 60 x 2^0.7, 60 x 1.1^7, 60 x (31 / 24)^2."""
    assert minutes == pytest.approx(60 / held(1, 28, 35, law), abs=0.05)
    assert 60 == pytest.approx(held(minutes, 28, 35, law), abs=0.05)


def test_half_an_hour_at_26_leaves_44_9_of_60_minutes_at_35() -> None:
    """30 (22 / 31)^2 = 15.1: own arithmetic."""
    assert 15.1 == pytest.approx(held(30, 26, 35), abs=0.05)
    log = TemperatureLog((0, 30), (26, 26))
    (ready,) = ready_times({1: 0}, log=log, needed=PAN_BREAD, ahead_c=35)

    assert 44.9 == pytest.approx(ready.ready_min - 30, abs=0.05)


def test_a_piece_that_is_12_minutes_younger_lacks_a_tenth_of_its_proof() -> None:
    """12 min at 26 C are 6.0 at 35 C: own arithmetic."""
    younger = held(12, 26, 35)

    assert 6.0 == pytest.approx(younger, abs=0.05)
    assert 0.1 == pytest.approx(younger / PAN_BREAD.minutes, abs=0.002)


def test_overnight_in_the_cold_and_six_to_eight_hours_at_18() -> None:
    """Retarding as it is done, common practice, no source: a night at 4 C, then 6 to 8 h at 18 C.

    That is 2.4 to 3.2 h at 26 C, and naturally leavened dough is proved for 2 to 4 h at 22 to 26 C
    (common practice, no source): 1.3 to 4 h at 26.
    """
    night = ([0, 12 * 60], [4, 4])
    assert 0 == equivalent_minutes(*night, 26)
    done_h = []
    for hours in (6, 8):
        minutes = [*night[0], 12 * 60, (12 + hours) * 60]
        done_h.append(equivalent_minutes(minutes, [4, 4, 18, 18], 26) / 60)

    assert [2.43, 3.24] == pytest.approx(done_h, abs=0.005)
    assert held(120, 22, 26) / 60 < done_h[0] < done_h[1] < held(240, 26, 26) / 60


def test_the_hours_that_a_tray_takes_to_cool_count() -> None:
    """One to three hours (common practice, no source) from 26 to 4 C are 20 to 60 min at 26."""
    assert [20, 60] == pytest.approx([equivalent_minutes([0, h * 60], [26, 4], 26) for h in (1, 3)])


def test_a_log_of_uneven_steps_agrees_with_a_quadrature() -> None:
    """SciPy's adaptive quadrature of the interpolated temperatures, for each law."""
    minutes, temps_c = [0, 7, 7.5, 31, 90, 95, 400], [26, 24, 21, 6, 2, 16, 36]

    def square(minute: float) -> float:
        return max(0.0, (float(np.interp(minute, minutes, temps_c)) - 4) / 26) ** 2

    expected, _ = quad(square, 0, 400, points=minutes, limit=500)

    assert expected == pytest.approx(equivalent_minutes(minutes, temps_c, 30), rel=1e-8)


logs = st.lists(st.tuples(st.floats(0, 90), st.floats(-10, 38)), min_size=1, max_size=12).map(
    lambda notes: TemperatureLog(*summed(notes))
)


def summed(notes: list[tuple[float, float]]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    minutes = np.cumsum([step for step, _ in notes])
    return tuple(float(m) for m in minutes), tuple(temp_c for _, temp_c in notes)


def total(log: TemperatureLog, law: Law = Law.SQUARE) -> float:
    return equivalent_minutes(log.minutes, log.temps_c, 30, law=law)


@given(logs, st.floats(0, 1), st.sampled_from(Law))
def test_a_log_split_at_any_point_is_the_same_in_all(
    log: TemperatureLog, share: float, law: Law
) -> None:
    first, last = log.minutes[0], log.minutes[-1]
    at = min(last, first + share * (last - first))
    after = log.since(at)
    before = [(m, c) for m, c in zip(log.minutes, log.temps_c, strict=True) if m < at]
    minutes, temps_c = zip(*before, (at, after.temps_c[0]), strict=True)

    assert total(log, law) == pytest.approx(
        equivalent_minutes(minutes, temps_c, 30, law=law) + total(after, law), abs=1e-7
    )


@given(logs, st.floats(0, 1), st.sampled_from(Law))
def test_a_note_that_says_what_was_so_anyway_changes_nothing(
    log: TemperatureLog, share: float, law: Law
) -> None:
    first, last = log.minutes[0], log.minutes[-1]
    at = min(last, first + share * (last - first))
    notes = list(zip(log.minutes, log.temps_c, strict=True))
    place = sum(minute < at for minute in log.minutes)
    notes.insert(place, (at, log.since(at).temps_c[0]))
    minutes, temps_c = zip(*notes, strict=True)

    assert total(log, law) == pytest.approx(
        equivalent_minutes(minutes, temps_c, 30, law=law), abs=1e-7
    )


@given(logs, st.floats(-1e4, 1e4))
def test_the_clock_of_a_log_does_not_matter(log: TemperatureLog, shift: float) -> None:
    moved = [minute + shift for minute in log.minutes]

    assert total(log) == pytest.approx(equivalent_minutes(moved, log.temps_c, 30), abs=1e-6)


@given(logs, st.floats(1, 400), st.floats(5, 38))
def test_a_board_is_ready_when_it_has_had_its_proof(
    log: TemperatureLog, needed_min: float, ahead_c: float
) -> None:
    needed = ProofNeeded(needed_min, 30)
    (ready,) = ready_times({1: log.minutes[0]}, log=log, needed=needed, ahead_c=ahead_c)
    end = log.minutes[-1]
    if ready.ready_min <= end:
        late = log.since(ready.ready_min)
        had = total(log) - total(late)
    else:
        had = total(log) + held(ready.ready_min - end, ahead_c, 30)

    assert needed_min == pytest.approx(had, abs=1e-6)
    assert ready.earliest_min <= ready.ready_min <= ready.latest_min
    assert total(log) / needed_min == pytest.approx(ready.done)


def test_the_band_is_that_of_the_three_laws() -> None:
    """60 min at 35 C moved to 28 C: 97.5, 100.1 and 116.9 min, own arithmetic."""
    log = TemperatureLog((0,), (28,))
    (ready,) = ready_times({3: 0}, log=log, needed=PAN_BREAD, ahead_c=28)

    assert [97.5, 100.1, 116.9] == pytest.approx(
        [ready.earliest_min, ready.ready_min, ready.latest_min], abs=0.05
    )
    assert "Board 3 is ready in 100 min (97 to 117), if it stays as warm." == ready.text


def test_at_the_reference_the_laws_agree() -> None:
    log = TemperatureLog((0, 20), (35, 35))
    (ready,) = ready_times({1: 0}, log=log, needed=PAN_BREAD, ahead_c=35)

    assert [60, 60, 60] == pytest.approx([ready.earliest_min, ready.ready_min, ready.latest_min])


def test_each_board_has_its_own_begin_and_the_first_comes_first() -> None:
    log = TemperatureLog((0, 30), (35, 35))
    found = ready_times({2: 20, 1: 10, 3: 40}, log=log, needed=PAN_BREAD, ahead_c=35)

    assert [1, 2, 3] == [ready.board for ready in found]
    assert [70, 80, 100] == pytest.approx([ready.ready_min for ready in found])


def test_a_board_that_was_ready_says_since_when() -> None:
    log = TemperatureLog((0, 70), (35, 35))
    (ready,) = ready_times({1: 0}, log=log, needed=PAN_BREAD, ahead_c=35)

    assert "Board 1 has been ready for 10 min: look at it now." == ready.text


def test_in_the_cold_a_board_is_never_ready() -> None:
    log = TemperatureLog((0, 60), (26, 4))
    (ready,) = ready_times({1: 0}, log=log, needed=ProofNeeded(60, 26), ahead_c=4)

    assert math.inf == ready.ready_min
    assert "Board 1 stands still in the cold, 33 % proved." == ready.text


@pytest.mark.parametrize(
    ("minutes", "temps_c", "words"),
    [
        ([], [], "0 times and 0 temperatures"),
        ([0, 1], [26], "2 times and 1 temperatures"),
        ([0, 10, 9], [26, 26, 26], "Time runs backward at note 3, from 10 to 9 min."),
        ([0, math.nan], [26, 26], "The time of note 2 is nan."),
        ([0, math.inf], [26, 26], "The time of note 2 is inf."),
        ([0, 10], [26, math.nan], "not for nan C"),
        ([0, 10], [26, 38.5], "not for 38.5 C"),
        ([0, 10], [26, "warm"], "row of minutes and a row of temperatures"),
        (30, 26, "row of minutes and a row of temperatures"),
    ],
)
def test_a_log_that_cannot_be_is_refused(minutes: object, temps_c: object, words: str) -> None:
    with pytest.raises(SpecificationError) as refused:
        equivalent_minutes(minutes, temps_c, 26)  # type: ignore[arg-type]

    assert words in str(refused.value)
    assert refused.value.hint


@pytest.mark.parametrize("reference_c", [4, 39, math.nan])
def test_a_reference_without_a_rate_is_refused(reference_c: float) -> None:
    with pytest.raises(SpecificationError):
        equivalent_minutes([0, 30], [26, 26], reference_c)


@pytest.mark.parametrize("begin", [-1, math.nan])
def test_what_a_log_does_not_know_is_refused(begin: float) -> None:
    log = TemperatureLog((0, 30), (26, 26))

    with pytest.raises(SpecificationError, match="knows nothing"):
        ready_times({1: begin}, log=log, needed=PAN_BREAD, ahead_c=35)


@pytest.mark.parametrize(("minutes", "reference_c"), [(0, 35), (math.inf, 35), (60, 4)])
def test_a_proof_that_is_none_is_refused(minutes: float, reference_c: float) -> None:
    with pytest.raises(SpecificationError):
        ProofNeeded(minutes, reference_c)


def test_arrays_are_taken_too() -> None:
    assert 10 == pytest.approx(equivalent_minutes(np.array([0, 30]), np.array([26.0, 4.0]), 26))


def test_a_cold_core_waits() -> None:
    """Past 16 C before the oven: trade compendium, "Retarded fermentation", excerpt read."""
    assert core_caution(16.5) is None
    assert core_caution(16) is not None
