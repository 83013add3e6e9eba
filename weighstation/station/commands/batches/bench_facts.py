"""Lines of a batch -> what happened at its bench besides pieces, in order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.journal import (
    Kind,
    codec,
    read_body,
    read_dough_weighed,
    read_pan_shifted,
)
from weighstation.report.sheet.figures import Dough
from weighstation.report.sheet.trace import FirstCutsMoved, Pile

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weighstation.journal import DoughWeighed, Entry
    from weighstation.report.sheet.trace import BenchFact


def bench_facts(lines: Iterable[Entry]) -> Iterator[BenchFact]:
    """Yield what happened besides pieces.

    Parameters
    ----------
    lines : iterable of Entry
        Of one batch, in order.

    Yields
    ------
    DoughWeighed, PanShifted, Pile or FirstCutsMoved

    Raises
    ------
    JournalError
        If a line lacks what its kind must hold.
    """
    for entry in lines:
        body = read_body(entry.body)
        match entry.kind:
            case Kind.DOUGH_WEIGHED:
                yield read_dough_weighed(body)
            case Kind.PAN_SHIFTED:
                yield read_pan_shifted(body)
            case Kind.SIGNAL:
                yield FirstCutsMoved(
                    *(codec.integer(body, key) for key in ("first", "last", "error_mg"))
                )
            case Kind.PIECE_LIFTED:
                piece = codec.read_piece(body)
                if piece.verdict is Verdict.ONE_AT_A_TIME:
                    yield Pile(piece.final_mg, piece.number - 1)
            case _:
                pass


def dough_of(
    promised_mg: int | None, weighed: Iterable[DoughWeighed], last_number: int
) -> Dough | None:
    """Return the dough of a batch as it was typed, or else as it was weighed back.

    Parameters
    ----------
    promised_mg : int, milligrams, or None
        As typed when dividing began.
    weighed : iterable of DoughWeighed
    last_number : int
        Of its pieces.

    Returns
    -------
    Dough or None
        None where nobody weighed it before the first piece.
    """
    weighings = list(weighed)
    before = [each.left_mg for each in weighings if each.after == 0]
    after = [each.left_mg for each in weighings if 0 < last_number <= each.after]
    on_hand_mg = before[-1] if promised_mg is None and before else promised_mg
    if on_hand_mg is None:
        return None
    return Dough(on_hand_mg, left_mg=after[-1] if after else None)
