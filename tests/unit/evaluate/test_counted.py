"""The last counted pieces, as far back as they can be struck out."""

from __future__ import annotations

from weighstation.evaluate.counted import KEPT_IN_MIND, Counted
from weighstation.events import LiftedTurned, Piece, PieceKept, TookFor, Verdict, VoidLast

ASK = VoidLast(9999.0, "dropped")


def piece(number: int, t_s: float | None = None) -> Piece:
    left_s = float(number) if t_s is None else t_s
    return Piece(number, left_s, left_s - 1, 740_000, 740_000, 0, Verdict.KEEP)


def test_the_last_counted_piece_is_struck_out_with_the_reason_given() -> None:
    counted = Counted()
    counted.note(PieceKept(piece(1)))

    voided = counted.struck_out(ASK)

    assert voided is not None
    assert (piece(1), "dropped", 9999.0) == (voided.piece, voided.reason, voided.t_s)


def test_nothing_counted_is_nothing_to_strike_out() -> None:
    assert Counted().struck_out(ASK) is None


def test_a_turn_puts_its_pieces_where_they_left_the_pan() -> None:
    counted = Counted()
    for number in (1, 2, 3):
        counted.note(PieceKept(piece(number)))
    apart = (piece(1), piece(4, t_s=1.5))
    counted.note(LiftedTurned(5.0, 1, TookFor.BOARDED, (piece(1),), apart))

    order = []
    while voided := counted.struck_out(ASK):
        counted.note(voided)
        order.append(voided.piece.number)

    assert order == [3, 2, 4, 1]


def test_a_long_batch_takes_no_more_room() -> None:
    counted = Counted()
    for number in range(3 * KEPT_IN_MIND):
        counted.note(PieceKept(piece(number)))

    struck = 0
    while voided := counted.struck_out(ASK):
        counted.note(voided)
        struck += 1

    assert struck == KEPT_IN_MIND
