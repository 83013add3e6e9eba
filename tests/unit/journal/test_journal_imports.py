"""Lines that were entered from a file: they count, and claim nothing that nobody said."""

from __future__ import annotations

import pytest
from journal_lines import ended, promised, written

from weighstation.errors import SequenceError
from weighstation.events import Verdict
from weighstation.journal import (
    Kind,
    Line,
    PieceFacts,
    Sums,
    TallyKey,
    advance,
    codec,
    file_of_scale,
    happened_utc_ms,
    imported,
    read_body,
    scale_of_file,
)

ENTERED_MS = 2_000_000
AT_MS = 1_000_000
BARE = PieceFacts(1, None, 741_000, None, None, 0, Verdict.KEEP, None)
FULL = PieceFacts(2, 752_000, 743_000, 1, None, 20_000, Verdict.KEEP, 3_700_000)


def entered(piece: PieceFacts) -> Line:
    body = imported("r1", piece, at_utc_ms=AT_MS + piece.placed_ms, offset_min=60)
    return Line(Kind.IMPORTED, body, ENTERED_MS)


def started() -> Line:
    return Line(Kind.RUN_STARTED, codec.run_started(promised()), ENTERED_MS)


@pytest.mark.parametrize("piece", [BARE, FULL])
def test_a_line_tells_just_what_was_said(piece: PieceFacts) -> None:
    body = entered(piece).body

    assert piece == codec.read_piece(body)
    assert codec.Change(adds=(piece,)) == codec.change(Kind.IMPORTED, body)


def test_what_nobody_said_is_not_in_the_line() -> None:
    assert {
        "run": "r1",
        "number": 1,
        "final_mg": 741_000,
        "placed_ms": 0,
        "verdict": "keep",
        "at_utc_ms": AT_MS,
        "offset_min": 60,
    } == entered(BARE).body


def test_a_piece_without_a_first_cut_is_kept_and_is_no_first_cut() -> None:
    """Scaling weight 740 g: 741 and 743 g kept are d = 1 and 3 g; one first cut, d = 12 g."""
    _, states = written(started(), entered(BARE), entered(FULL), ended())
    state = states["r1"]

    assert Sums(2, 4000, 1000**2 + 3000**2, 4000) == state.kept
    assert Sums(1, 12_000, 12_000**2, 12_000) == state.first
    assert (1, 0, 2, True) == (state.touches, state.ms, state.last_number, state.is_imported)


def test_a_dough_age_that_nobody_said_is_no_hour() -> None:
    entries, states = written(started(), entered(BARE), entered(FULL))
    bodies = [(entry, read_body(entry.body)) for entry in entries[1:]]
    ages = [
        advance(states["r1"], entry, body, codec.change(entry.kind, body))[1][0][0]
        for entry, body in bodies
    ]

    assert [TallyKey(-1, Verdict.KEEP, 1), TallyKey(1, Verdict.KEEP, 3)] == ages


def test_a_line_tells_when_it_happened_and_when_it_was_entered() -> None:
    entries, _ = written(started(), entered(FULL), ended())

    assert AT_MS + 20_000 == happened_utc_ms(entries[1])
    assert ENTERED_MS == entries[1].t_utc_ms
    assert entries[2].t_utc_ms == happened_utc_ms(entries[2])


def test_a_piece_is_struck_out_as_it_was_entered() -> None:
    gone = Line(Kind.VOIDED, codec.struck_out("r1", BARE, "misread"), ENTERED_MS)
    _, states = written(started(), entered(BARE), entered(FULL), gone)

    assert Sums(1, 3000, 3000**2, 3000) == states["r1"].kept
    assert 1 == states["r1"].first.n


def test_a_piece_needs_an_open_run() -> None:
    with pytest.raises(SequenceError, match="needs a run that is open"):
        written(started(), ended(), entered(BARE))


def test_a_file_stands_for_the_scale_whatever_its_name() -> None:
    name = "Woche 45/ä?#.csv"

    assert name == file_of_scale(scale_of_file(name))
    assert file_of_scale("serial:///dev/ttyUSB0") is None
