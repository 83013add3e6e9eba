"""Which mark means stable is learned from how little the weight moves beside it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from weighstation.acquire.marks import MAX_PATTERNS, MarkLearner

if TYPE_CHECKING:
    from collections.abc import Iterable

D_MG = 1000
Line = tuple[tuple[str, ...], tuple[str, ...], int]


def learner_of(lines: Iterable[Line]) -> MarkLearner:
    learner = MarkLearner()
    for before, after, gross_g in lines:
        pattern = learner.pattern(before, after)
        if pattern and learner.learning:
            learner.see(pattern, gross_g * 1000, D_MG)
    return learner


def visits(still: str, moving: str, *, pieces: int = 8, rest: str | None = None) -> list[Line]:
    """Pieces of 700 to 770 g, four lines of each at rest under ``rest`` before ``still``."""
    lines: list[Line] = []
    for piece in range(pieces):
        full = 700 + 10 * piece
        on = [(moving, load) for load in (150, 480, full - 20, full)]
        lines += [((), (mark,), load) for mark, load in on]
        lines += [((), (rest or moving,), full)] * 4 + [((), (still,), full)] * 10
        lines += [((), (moving,), 300), ((), (moving,), 0)] + [((), (still,), 0)] * 8
    return lines


@pytest.mark.parametrize(("still", "moving"), [("S", "D"), ("stable", "moving"), ("1", "0")])
def test_the_mark_that_moves_never_carry_is_the_stable_one(still: str, moving: str) -> None:
    assert str(learner_of(visits(still, moving)).stable_mark) == f"'{still}'"


def test_a_mark_of_motion_means_stable_while_it_is_absent() -> None:
    lines = [(before, tuple(filter(None, after)), load) for before, after, load in visits("", "?")]

    assert str(learner_of(lines).stable_mark) == "no '?'"


def test_patterns_are_told_what_they_mean_even_those_that_come_later() -> None:
    learner = learner_of(visits("S", "D"))
    meanings = [learner.pattern((), (mark,)) for mark in ("S", "D", "I")]

    assert [True, False, False] == [known and known.stable for known in meanings]


def test_two_pieces_are_not_enough() -> None:
    assert learner_of(visits("S", "D", pieces=1)).stable_mark is None
    assert learner_of(visits("S", "D", pieces=8)).stable_mark is not None


def test_a_mark_for_an_empty_pan_is_not_the_stable_one() -> None:
    lines = [((), ("Z" if load == 0 else "N",), load) for _, _, load in visits("S", "D", pieces=40)]

    assert learner_of(lines).stable_mark is None


def test_a_mark_for_being_in_a_band_is_not_the_stable_one() -> None:
    lines = [
        ((), ("OK" if 690 <= load <= 780 and load % 10 == 0 else "LO",), load)
        for _, _, load in visits("S", "D", pieces=40)
    ]

    assert learner_of(lines).stable_mark is None


def test_a_mark_that_comes_and_goes_by_itself_is_not_the_stable_one() -> None:
    lines = [
        ((), ("AB"[place % 2],), load)
        for place, (_, _, load) in enumerate(visits("S", "D", pieces=40))
    ]

    assert learner_of(lines).stable_mark is None


def test_a_mark_that_lags_by_a_line_is_not_believed() -> None:
    seen = visits("S", "D", pieces=40)
    lagging = [(before, last[1], load) for last, (before, _, load) in pairwise(seen)]

    assert learner_of(lagging).stable_mark is None


def test_a_family_without_marks_stays_unlearned() -> None:
    learner = learner_of([((), (), load) for _, _, load in visits("S", "D", pieces=40)])

    assert learner.stable_mark is None
    assert not learner.learning


def test_noise_before_the_first_load_teaches_nothing() -> None:
    noise: list[Line] = [((), ("SD"[place % 2],), 4 * (place % 3)) for place in range(400)]

    assert str(learner_of(noise + visits("S", "D", pieces=12)).stable_mark) == "'S'"


def test_marks_on_both_sides_are_told_apart() -> None:
    lines = [((after[0], "G"), ("S",), load) for _, after, load in visits("S", "D")]

    assert str(learner_of(lines).stable_mark) == "'S'"


def test_too_many_patterns_are_left_alone() -> None:
    learner = MarkLearner()
    patterns = [learner.pattern((), (str(place),)) for place in range(MAX_PATTERNS + 1)]

    assert patterns[-1] is None
    assert None not in patterns[:-1]
