"""What makes a dough fit its time does make it fit."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.plan import (
    Remedy,
    Suggestion,
    TimeLimit,
    before_mixing,
    largest_dough,
    rate,
    while_cutting,
)

LIMIT = TimeLimit()


def numbers(suggestion: Suggestion) -> list[float]:
    return [float(each) for each in re.findall(r"\d+(?:\.\d+)?", suggestion.text)]


def test_a_dough_that_fits_needs_nothing() -> None:
    assert () == before_mixing(75, every_s=12, limit=LIMIT, dough_c=26)
    assert () == while_cutting(50, every_s=12, left_s=600)


def test_before_mixing_all_three_are_open() -> None:
    found = before_mixing(90, every_s=12, limit=LIMIT, dough_c=26)

    assert [Remedy.SPLIT_MIX, Remedy.SECOND_SCALER, Remedy.COOLER_DOUGH] == [
        each.remedy for each in found
    ]


@given(st.integers(1, 500), st.floats(4, 60), st.floats(20, 30))
def test_each_suggestion_makes_it_fit(pieces: int, every_s: float, dough_c: float) -> None:
    needed = pieces * every_s / LIMIT.aim_s
    for each in before_mixing(pieces, every_s=every_s, limit=LIMIT, dough_c=dough_c):
        said = numbers(each)
        if each.remedy is Remedy.SPLIT_MIX:
            assert said[1] <= largest_dough(every_s)
            assert said[0] * said[1] >= pieces
        elif each.remedy is Remedy.SECOND_SCALER:
            assert said[0] >= needed - 1e-6
        else:
            assert dough_c == pytest.approx(said[0] + said[1], abs=1e-4)
            assert rate(said[1], reference_c=dough_c) * needed <= 1 + 1e-6


def test_a_dough_is_not_cooled_by_more_than_four_degrees_or_blindly() -> None:
    """Twice the time wants 26 to 19.5 C, which is another ferment: house figure."""
    remedies = [Remedy.SPLIT_MIX, Remedy.SECOND_SCALER]

    assert remedies == [e.remedy for e in before_mixing(150, every_s=12, limit=LIMIT, dough_c=26)]
    assert remedies == [e.remedy for e in before_mixing(90, every_s=12, limit=LIMIT)]


def test_more_than_four_scalers_are_no_help() -> None:
    assert [Remedy.SPLIT_MIX] == [e.remedy for e in before_mixing(400, every_s=12, limit=LIMIT)]


def test_pieces_that_take_longer_than_the_limit_are_not_split() -> None:
    assert [Remedy.SECOND_SCALER] == [e.remedy for e in before_mixing(1, every_s=1000, limit=LIMIT)]


def test_while_cutting_the_rest_can_wait_in_the_cold() -> None:
    found = while_cutting(80, every_s=12, left_s=600)

    assert [
        "Put 2 scalers to it.",
        "Put the dough for the last 30 pieces in the cold, covered, until the others are cut.",
    ] == [each.text for each in found]


def test_beyond_the_limit_only_the_cold_helps() -> None:
    (cold,) = while_cutting(1, every_s=12, left_s=-600)

    assert Remedy.COOLER_DOUGH is cold.remedy
    assert cold.text.startswith("Put the dough for the last piece in the cold")
