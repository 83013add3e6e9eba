"""Which lifted pieces the station took for what by itself, from the lines alone."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from journal_lines import kept, lifted, piece, started, turned, voided, written

from weighstation.events import TookFor, Verdict
from weighstation.journal import Lifts, StruckOut, codec, lifts_of, read_body

if TYPE_CHECKING:
    from weighstation.journal import Line, PieceFacts

HEAVY = piece(2, 765_000, 765_000, 0)


def lifts(*lines: Line) -> Lifts:
    entries, _ = written(started(), *lines)
    counted: dict[int, PieceFacts] = {}
    for entry in entries:
        change = codec.change(entry.kind, read_body(entry.body))
        for gone in change.removes:
            del counted[gone.number]
        counted |= {came.number: came for came in change.adds}
    return lifts_of(entries, counted.values())


def test_a_piece_that_was_corrected_was_taken_for_come_back() -> None:
    assert Lifts(came_back=(2,)) == lifts(
        kept(piece(1)), lifted(HEAVY), kept(piece(2, 765_000, 741_000, 1))
    )


def test_a_piece_that_counts_as_it_was_lifted_was_taken_for_boarded() -> None:
    assert Lifts(boarded=(2,)) == lifts(lifted(HEAVY), kept(HEAVY), kept(piece(3)))


def test_a_piece_brought_back_out_of_band_and_boarded_then_was_taken_for_both() -> None:
    again = piece(2, 765_000, 755_000, 1)

    assert Lifts(came_back=(2,), boarded=(2,)) == lifts(lifted(HEAVY), lifted(again), kept(again))


def test_a_piece_boarded_by_policy_was_never_said_to_be_lifted() -> None:
    assert Lifts(boarded=(2,)) == lifts(kept(HEAVY))


def test_what_a_person_said_is_no_guess() -> None:
    joined, fresh = piece(2, 765_000, 741_000, 1), piece(3, 741_000, 741_000, 0)
    said = turned(2, TookFor.BOARDED, (joined,), (HEAVY, fresh))

    assert Lifts() == lifts(lifted(HEAVY), kept(joined), said)


def test_a_piece_still_open_was_not_taken_for_anything() -> None:
    assert Lifts() == lifts(lifted(HEAVY))


def test_two_at_once_are_told_and_leave_nothing_open() -> None:
    pile = replace(piece(1, 1_482_000, 1_482_000, 0), verdict=Verdict.ONE_AT_A_TIME)
    lines = (lifted(pile), kept(piece(1)), lifted(replace(pile, number=2)))
    _, states = written(started(), *lines)

    assert Lifts(two_at_once=2) == lifts(*lines)
    assert () == states["r1"].open_lifted
    assert 1 == states["r1"].kept.n


def test_struck_out_pieces_are_named_and_were_not_guessed() -> None:
    joined = piece(2, 765_000, 741_000, 1)

    struck = StruckOut(2, "floor")

    assert Lifts(struck_out=(struck,)) == lifts(lifted(HEAVY), kept(joined), voided(joined))
