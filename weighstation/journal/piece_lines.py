"""Lines about pieces, and back; and which pieces a line counts, or counts no longer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.events import TookFor, Verdict
from weighstation.journal.facts import PieceFacts, facts
from weighstation.journal.held import integer, integer_or_none, one_of, parts
from weighstation.journal.kinds import Kind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.events import LiftedTurned, Piece, Voided
    from weighstation.journal.entry import Body, Value


def piece_part(piece: PieceFacts) -> dict[str, Value]:
    """Return a piece as part of a body; what nobody said is left out.

    Parameters
    ----------
    piece : PieceFacts

    Returns
    -------
    dict
    """
    may_lack = {
        "number": piece.number,
        "first_mg": piece.first_mg,
        "final_mg": piece.final_mg,
        "touches": piece.touches,
        "ms": piece.ms,
        "placed_ms": piece.placed_ms,
        "verdict": piece.verdict.value,
        "dough_age_ms": piece.dough_age_ms,
    }
    return {key: value for key, value in may_lack.items() if value is not None}


def read_piece(body: Body) -> PieceFacts:
    """Return the piece that a body, or a part of one, holds.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    PieceFacts

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    return PieceFacts(
        number=integer(body, "number"),
        first_mg=integer_or_none(body, "first_mg"),
        final_mg=integer(body, "final_mg"),
        touches=integer_or_none(body, "touches"),
        ms=integer_or_none(body, "ms"),
        placed_ms=integer(body, "placed_ms"),
        verdict=one_of(Verdict, body, "verdict"),
        dough_age_ms=integer_or_none(body, "dough_age_ms"),
    )


def piece_kept(run: str, piece: Piece, *, dough_t_s: float) -> Body:
    """Return the body for a piece that counts; the same form serves ``piece_lifted``.

    Parameters
    ----------
    run : str
    piece : Piece
    dough_t_s : float, seconds
        See `weighstation.journal.facts.facts`.

    Returns
    -------
    Mapping
    """
    return {"run": run, **piece_part(facts(piece, dough_t_s=dough_t_s))}


piece_lifted = piece_kept


def lifted_turned(run: str, turned: LiftedTurned, *, dough_t_s: float) -> Body:
    """Return the body for a lifted piece that was turned round.

    Parameters
    ----------
    run : str
    turned : LiftedTurned
    dough_t_s : float, seconds
        See `weighstation.journal.facts.facts`.

    Returns
    -------
    Mapping
    """

    def forms(pieces: Iterable[Piece]) -> list[Value]:
        return [piece_part(facts(piece, dough_t_s=dough_t_s)) for piece in pieces]

    return {
        "run": run,
        "number": turned.number,
        "took_for": turned.took_for.value,
        "removes": forms(turned.removes),
        "adds": forms(turned.adds),
    }


def voided(run: str, struck: Voided, *, dough_t_s: float) -> Body:
    """Return the body for a piece that is struck out.

    Parameters
    ----------
    run : str
    struck : Voided
    dough_t_s : float, seconds
        See `weighstation.journal.facts.facts`.

    Returns
    -------
    Mapping
    """
    return struck_out(run, facts(struck.piece, dough_t_s=dough_t_s), struck.reason)


def struck_out(run: str, piece: PieceFacts, reason: str) -> Body:
    """Return the body for a piece that is struck out, exactly as it was counted.

    Parameters
    ----------
    run : str
    piece : PieceFacts
    reason : str

    Returns
    -------
    Mapping
    """
    return {"run": run, **piece_part(piece), "reason": reason}


@dataclass(frozen=True, slots=True)
class Change:
    """What a line does to the counted pieces of its run.

    Parameters
    ----------
    adds, removes : tuple of PieceFacts
    """

    adds: tuple[PieceFacts, ...] = ()
    removes: tuple[PieceFacts, ...] = ()


def change(kind: Kind, body: Body) -> Change:
    """Return which pieces a line counts, and which it counts no longer.

    Parameters
    ----------
    kind : Kind
    body : Mapping

    Returns
    -------
    Change

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    if kind in (Kind.PIECE_KEPT, Kind.IMPORTED):
        return Change(adds=(read_piece(body),))
    if kind is Kind.VOIDED:
        return Change(removes=(read_piece(body),))
    if kind is Kind.LIFTED_TURNED:
        one_of(TookFor, body, "took_for")
        return Change(adds=_pieces(body, "adds"), removes=_pieces(body, "removes"))
    return Change()


def _pieces(body: Body, key: str) -> tuple[PieceFacts, ...]:
    return tuple(read_piece(each) for each in parts(body, key))
