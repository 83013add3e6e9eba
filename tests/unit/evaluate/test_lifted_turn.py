"""Turning is arithmetic: what one turn adds the next removes, and no gram is made or lost."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.evaluate.lifted import Lift, joined, turned
from weighstation.events import Piece, TookFor, Verdict

LIFTED = Piece(5, 20.0, 14.0, 790_000, 765_000, 1, Verdict.TRIM)
FRESH = Piece(6, 31.0, 26.0, 744_000, 741_000, 1, Verdict.KEEP)


def test_a_piece_brought_back_has_the_facts_of_both_stays() -> None:
    assert joined(LIFTED, FRESH) == Piece(5, 31.0, 14.0, 790_000, 741_000, 3, Verdict.KEEP)


@pytest.mark.parametrize("took_for", [None, TookFor.CAME_BACK])
def test_before_the_next_load_counts_only_the_lifted_piece_is_added(
    took_for: TookFor | None,
) -> None:
    lift, outcome = turned(Lift(LIFTED, 0, took_for), 40.0)

    assert lift.took_for is TookFor.BOARDED
    assert ((), (LIFTED,)) == (outcome.removes, outcome.adds)


@pytest.mark.parametrize("took_for", TookFor)
@pytest.mark.parametrize("fresh", [None, FRESH])
def test_the_second_turn_undoes_the_first(took_for: TookFor, fresh: Piece | None) -> None:
    before = Lift(LIFTED, 0, took_for, met=fresh is not None, fresh=fresh)

    once, first = turned(before, 40.0)
    twice, second = turned(once, 41.0)

    assert before == twice
    assert (first.removes, first.adds) == (second.adds, second.removes)


def test_what_is_on_the_boards_is_the_last_weight_of_each_piece() -> None:
    lift = Lift(LIFTED, 0, TookFor.CAME_BACK, met=True, fresh=FRESH)

    _, outcome = turned(lift, 40.0)

    more_mg = sum(p.final_mg for p in outcome.adds) - sum(p.final_mg for p in outcome.removes)
    assert more_mg == LIFTED.final_mg


@pytest.mark.parametrize(
    ("verdict", "first_g", "bits"),
    [(Verdict.ADD, 735, 2), (Verdict.ADD, 700, 1), (Verdict.TRIM, 741, 1)],
)
def test_a_piece_lifted_for_add_that_returns_heavier_has_one_bit_more(
    verdict: Verdict, first_g: int, bits: int
) -> None:
    lift = Lift(replace(LIFTED, final_mg=715_000, verdict=verdict), bits=1)

    assert bits == lift.bits_if_back(first_g * 1000)
