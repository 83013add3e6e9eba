"""The values that flow are immutable and know how long a piece took."""

from __future__ import annotations

from typing import Any

import pytest

from weighstation.events import (
    Cue,
    DivisionLearned,
    LiftedTurned,
    PanLeft,
    Piece,
    PieceKept,
    PieceLifted,
    Reading,
    Status,
    TookFor,
    TurnLifted,
    Verdict,
    Voided,
    VoidLast,
    Weighing,
)

PIECE = Piece(3, 9.5, 4.25, 752_000, 741_000, 1, Verdict.KEEP)
EVERY_VALUE = [
    Reading(0.1, 740_000, True, Status.WEIGHT, "S 740 g"),
    DivisionLearned(0.1, 1000),
    Weighing(1.0, 1, 0, 740_000, firm=True),
    PanLeft(7.75, 1, 3.25, 752_000, 741_000, 1),
    Cue(1.0, 3, 0, 740_000, Verdict.KEEP, 0, firm=True),
    PIECE,
    PieceKept(PIECE),
    PieceLifted(PIECE),
    LiftedTurned(10.0, 3, TookFor.BOARDED, (), (PIECE,)),
    Voided(11.0, PIECE, "dropped"),
    TurnLifted(10.0),
    VoidLast(11.0),
]


@pytest.mark.parametrize("value", EVERY_VALUE, ids=lambda value: type(value).__name__)
def test_no_value_can_be_changed_once_made(value: Any) -> None:
    name = next(iter(getattr(value, "_fields", None) or value.__slots__))

    with pytest.raises(AttributeError):  # of which FrozenInstanceError is one
        setattr(value, name, None)


def test_a_piece_took_from_first_on_the_pan_to_last_off_it() -> None:
    assert PIECE.seconds == 5.25


def test_striking_out_has_a_reason_without_being_asked() -> None:
    assert VoidLast(1.0).reason == "struck out at the bench"
