"""What waits for a disk that refuses is counted, and said to be written when it is."""

from __future__ import annotations

import pytest

from weighstation.errors import JournalFullError, SequenceError
from weighstation.events import Piece, PieceKept, PieceLifted, Verdict, Voided
from weighstation.station.bench.backlog import Backlog

PIECE = Piece(1, 9.0, 4.0, 741_000, 741_000, 0, Verdict.KEEP)
FULL = JournalFullError("The disk is full.", hint="Free some space.")


@pytest.fixture
def backlog() -> Backlog:
    return Backlog()


def test_a_disk_that_takes_lines_is_no_alarm(backlog: Backlog) -> None:
    backlog.given(PieceKept(PIECE))

    assert (1, "", False) == (backlog.lines, backlog.alarm, backlog.is_refused)
    assert "" == backlog.durable(PieceKept(PIECE))
    assert 0 == backlog.lines


def test_the_alarm_says_how_many_pieces_wait(backlog: Backlog) -> None:
    backlog.refused(FULL)
    nothing = backlog.alarm
    for _ in range(5):
        backlog.given(PieceKept(PIECE))
    backlog.given(PieceLifted(PIECE))

    assert "The disk is full. Free some space. Until then no piece is counted." == nothing
    assert backlog.alarm.endswith(
        "no piece is counted: 5 pieces wait for the disk and are written when there is room."
    )


def test_a_piece_struck_out_waits_no_longer(backlog: Backlog) -> None:
    backlog.refused(FULL)
    backlog.given(PieceKept(PIECE))
    backlog.given(PieceKept(PIECE))
    backlog.given(Voided(10.0, PIECE, "struck out"))

    assert backlog.alarm.endswith(": 1 piece waits for the disk and is written when there is room.")


def test_nothing_is_promised_where_nothing_will_be_written(backlog: Backlog) -> None:
    backlog.given(PieceKept(PIECE))
    backlog.refused(SequenceError("The writer stopped."))

    assert "wait" not in backlog.alarm


def test_recovery_is_said_once_all_that_waited_is_written(backlog: Backlog) -> None:
    backlog.refused(FULL)
    for _ in range(2):
        backlog.given(PieceKept(PIECE))
    backlog.resumed()
    backlog.given(PieceKept(PIECE))

    assert "" == backlog.alarm
    assert [
        "",
        "The disk takes lines again: 2 pieces that waited were written.",
        "",
    ] == [backlog.durable(PieceKept(PIECE)) for _ in range(3)]
