"""How a dough stands against its time."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import DoughClock, Fit, Pace, Remedy, TimeLimit

PACE = Pace(12.0, 12)
ON_THE_SCALE = "This dough has been on the scale"
BEGUN = DoughClock(mixed_s=-3600.0, first_cut_s=0.0)


def test_dough_age_runs_from_the_first_cut_and_beside_it_stands_the_time_since_the_mix() -> None:
    found = BEGUN.outlook(600.0, pace=PACE, pieces_left=10)

    assert (4200.0, 600.0, 600.0) == (found.since_mix_s, found.dough_age_s, found.left_s)


def test_pieces_that_fit_at_this_pace() -> None:
    """15 min at 12 s a piece are 75, own arithmetic; here 20 min less the 5 that have gone."""
    found = BEGUN.outlook(300.0, pace=PACE, pieces_left=75)

    assert 75 == found.pieces_that_fit
    assert Fit.TIGHT == found.fit
    assert () == found.suggestions


@pytest.mark.parametrize(
    ("t_s", "pieces_left", "fit"),
    [
        (300, 50, Fit.IN_TIME),
        (300, 51, Fit.TIGHT),
        (300, 75, Fit.TIGHT),
        (300, 76, Fit.TOO_LONG),
        (1201, 1, Fit.TOO_LONG),
        (1201, None, Fit.TOO_LONG),
        (300, None, Fit.UNKNOWN),
    ],
)
def test_fit_by_the_end_at_this_pace(t_s: float, pieces_left: int | None, fit: Fit) -> None:
    assert fit == BEGUN.outlook(t_s, pace=PACE, pieces_left=pieces_left).fit


def test_a_dough_that_took_too_long_is_said_so_and_needs_nothing_more() -> None:
    assert Fit.TOO_LONG == BEGUN.outlook(1300, pace=PACE, pieces_left=0).fit
    assert () == BEGUN.outlook(1300, pace=PACE, pieces_left=0).suggestions


@pytest.mark.parametrize(
    ("t_s", "pace", "pieces_left", "text"),
    [
        (0, None, None, "This dough is not cut yet; 20 min are left."),
        (600, None, 80, f"{ON_THE_SCALE} for 10 min; 10 min are left."),
        (
            600,
            PACE,
            8,
            f"{ON_THE_SCALE} for 10 min; at this pace 50 more pieces fit, 8 are wanted.",
        ),
        (
            1185,
            PACE,
            None,
            f"{ON_THE_SCALE} for 20 min; at this pace 1 more piece fits.",
        ),
        (
            1500,
            PACE,
            3,
            f"{ON_THE_SCALE} for 25 min, 5 min longer than it should.",
        ),
    ],
)
def test_it_says_so_in_a_sentence(
    t_s: float, pace: Pace | None, pieces_left: int | None, text: str
) -> None:
    assert text == BEGUN.outlook(t_s, pace=pace, pieces_left=pieces_left).text


def test_before_the_first_cut_the_mix_can_be_split() -> None:
    found = DoughClock(dough_c=26).outlook(0.0, pace=PACE, pieces_left=110)

    assert (0.0, None) == (found.dough_age_s, found.since_mix_s)
    assert [Remedy.SPLIT_MIX, Remedy.SECOND_SCALER, Remedy.COOLER_DOUGH] == [
        each.remedy for each in found.suggestions
    ]


def test_once_it_is_cut_hands_or_the_cold_help() -> None:
    found = BEGUN.outlook(600.0, pace=PACE, pieces_left=80)

    assert [Remedy.SECOND_SCALER, Remedy.COOLER_DOUGH] == [e.remedy for e in found.suggestions]


def test_without_a_pace_nothing_can_be_suggested() -> None:
    found = BEGUN.outlook(1300.0, pace=None, pieces_left=80)

    assert (Fit.TOO_LONG, ()) == (found.fit, found.suggestions)


def test_a_warm_dough_has_less_time_and_a_limit_that_is_given_goes_first() -> None:
    warm = DoughClock(first_cut_s=0.0, dough_c=30)
    own = DoughClock(first_cut_s=0.0, dough_c=30, limit=TimeLimit(1200, 1800))

    assert 720 == warm.outlook(0.0, pace=None, pieces_left=None).left_s
    assert 1800 == own.outlook(0.0, pace=None, pieces_left=None).left_s


@given(st.floats(0, 3000), st.floats(2, 60), st.integers(1, 200))
def test_suggestions_come_if_and_only_if_it_takes_too_long(
    t_s: float, every_s: float, pieces_left: int
) -> None:
    found = BEGUN.outlook(t_s, pace=Pace(every_s, 12), pieces_left=pieces_left)

    assert (found.fit is Fit.TOO_LONG) == bool(found.suggestions)


@pytest.mark.parametrize(
    ("mixed_s", "first_cut_s", "dough_c"),
    [(10.0, 0.0, None), (math.nan, None, None), (None, math.inf, None), (None, None, 75)],
)
def test_a_clock_that_cannot_be_is_refused(
    mixed_s: float | None, first_cut_s: float | None, dough_c: float | None
) -> None:
    with pytest.raises(SpecificationError) as refused:
        DoughClock(mixed_s, first_cut_s, dough_c)

    assert refused.value.hint


@pytest.mark.parametrize(("t_s", "pieces_left"), [(math.nan, 5), (0.0, -1)])
def test_an_outlook_that_means_nothing_is_refused(t_s: float, pieces_left: int) -> None:
    with pytest.raises(SpecificationError):
        BEGUN.outlook(t_s, pace=PACE, pieces_left=pieces_left)
