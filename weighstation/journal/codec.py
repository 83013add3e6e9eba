"""Facts -> bodies of lines, and back; each body is complete, so that no line needs another."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from typing import TYPE_CHECKING, TypeVar

from weighstation.errors import JournalError
from weighstation.events import TookFor, Verdict
from weighstation.journal.facts import LastCheck, PieceFacts, RunStarted, facts
from weighstation.journal.kinds import Kind
from weighstation.journal.promised import promised, read_promised
from weighstation.specification import Guard, LiftedPolicy, Limits, Product, Way

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.events import LiftedTurned, Piece, Voided
    from weighstation.journal.entry import Body, Value
    from weighstation.journal.facts import Why

MS_PER_MIN = 60_000
Choice = TypeVar("Choice", bound=Enum)


def run_started(started: RunStarted) -> Body:
    """Return the body of a run's first line.

    Parameters
    ----------
    started : RunStarted

    Returns
    -------
    Mapping
    """
    product = started.product
    cost = product.dough_cost_per_kg
    may_lack: dict[str, Value | None] = {
        "declared_mg": product.declared_mg,
        "dough_cost_per_kg": None if cost is None else str(cost),
        "currency": started.currency or None,
        "division_mg": started.division_mg,
        "continues": started.continues or None,
        "planned": started.planned,
        "dough_mg": started.dough_mg,
        "scale_identity": started.scale_identity or None,
        "last_check": None if started.last_check is None else _last_check(started.last_check),
        "guard": None if started.guard is None else _guard(started.guard),
        "clock_utc_ms": started.clock_utc_ms,
        "mixed_utc_ms": started.mixed_utc_ms,
        "person": started.person or None,
        "began_utc_ms": started.began_utc_ms,
        "batch": started.batch or None,
        **_rest_and_boards(product),
        **promised(product),
    }
    body: dict[str, Value] = {
        "run": started.run,
        "product": product.name,
        "target_mg": product.limits.target_mg,
        "under_mg": product.limits.under_mg,
        "over_mg": product.limits.over_mg,
        "way": started.way.value,
        "lifted": started.lifted.value,
        "scale": started.scale,
        "software": started.software,
    }
    return body | {key: value for key, value in may_lack.items() if value is not None}


def _rest_and_boards(product: Product) -> dict[str, Value | None]:
    least_min, most_min = product.rest_min or (None, None)
    return {
        "board_places": product.board_places,
        "rest_least_ms": _ms(least_min),
        "rest_most_ms": _ms(most_min),
        "dough_limit_ms": _ms(product.dough_limit_min),
    }


def _ms(minutes: float | None) -> int | None:
    return None if minutes is None else round(minutes * MS_PER_MIN)


def _minutes(body: Body, key: str) -> float | None:
    ms = _integer_or_none(body, key)
    return None if ms is None else ms / MS_PER_MIN


def _read_rest_min(body: Body) -> tuple[float, float] | None:
    least_min, most_min = (_minutes(body, f"rest_{end}_ms") for end in ("least", "most"))
    return None if least_min is None or most_min is None else (least_min, most_min)


def _last_check(check: LastCheck) -> Body:
    return {"line": check.line, "t_utc_ms": check.t_utc_ms, "is_fit": int(check.is_fit)}


def _read_last_check(body: Body) -> LastCheck | None:
    part = body.get("last_check")
    if part is None:
        return None
    if not isinstance(part, dict):
        raise JournalError("A journal line lacks its part 'last_check'.")
    return LastCheck(integer(part, "line"), integer(part, "t_utc_ms"), integer(part, "is_fit") == 1)


def _guard(guard: Guard) -> Body:
    return {"width_mg": guard.width_mg, "check_line": guard.check_line}


def _read_guard(body: Body) -> Guard | None:
    part = body.get("guard")
    if part is None:
        return None
    if not isinstance(part, dict):
        raise JournalError("A journal line lacks its part 'guard'.")
    return Guard(integer(part, "width_mg"), integer(part, "check_line"))


def read_run_started(body: Body) -> RunStarted:
    """Return what a run's first line promised.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    RunStarted

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    guard = _read_guard(body)
    limits = Limits(*(integer(body, key) for key in ("target_mg", "under_mg", "over_mg")))
    return RunStarted(
        run=word(body, "run"),
        product=Product(
            name=word(body, "product"),
            limits=limits,
            declared_mg=_integer_or_none(body, "declared_mg"),
            dough_cost_per_kg=_decimal_or_none(body, "dough_cost_per_kg"),
            is_guarded=guard is not None,
            board_places=_integer_or_none(body, "board_places"),
            rest_min=_read_rest_min(body),
            dough_limit_min=_minutes(body, "dough_limit_ms"),
            **read_promised(body),
        ),
        way=_one_of(Way, body, "way"),
        lifted=_one_of(LiftedPolicy, body, "lifted"),
        scale=word(body, "scale"),
        software=word(body, "software"),
        division_mg=_integer_or_none(body, "division_mg"),
        currency=str(body.get("currency", "")),
        continues=str(body.get("continues", "")),
        planned=_integer_or_none(body, "planned"),
        dough_mg=_integer_or_none(body, "dough_mg"),
        scale_identity=str(body.get("scale_identity", "")),
        last_check=_read_last_check(body),
        guard=guard,
        clock_utc_ms=_integer_or_none(body, "clock_utc_ms"),
        mixed_utc_ms=_integer_or_none(body, "mixed_utc_ms"),
        person=str(body.get("person", "")),
        began_utc_ms=_integer_or_none(body, "began_utc_ms"),
        batch=str(body.get("batch", "")),
    )


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
        first_mg=_integer_or_none(body, "first_mg"),
        final_mg=integer(body, "final_mg"),
        touches=_integer_or_none(body, "touches"),
        ms=_integer_or_none(body, "ms"),
        placed_ms=integer(body, "placed_ms"),
        verdict=_one_of(Verdict, body, "verdict"),
        dough_age_ms=_integer_or_none(body, "dough_age_ms"),
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

    def parts(pieces: Iterable[Piece]) -> list[Value]:
        return [piece_part(facts(piece, dough_t_s=dough_t_s)) for piece in pieces]

    return {
        "run": run,
        "number": turned.number,
        "took_for": turned.took_for.value,
        "removes": parts(turned.removes),
        "adds": parts(turned.adds),
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


def noted(about: int, text: str) -> Body:
    """Return the body for a note about an earlier line.

    Parameters
    ----------
    about : int
        Number of that line.
    text : str

    Returns
    -------
    Mapping
    """
    return {"about": about, "text": text}


def gap(run: str, why: str, ms: int) -> Body:
    """Return the body for a time in which nothing could be weighed.

    Parameters
    ----------
    run : str
    why : str
    ms : int, milliseconds

    Returns
    -------
    Mapping
    """
    return {"run": run, "why": why, "ms": ms}


def signal(run: str, *, pieces: tuple[int, int], error_mg: int, text: str, reaction: str) -> Body:
    """Return the body for first cuts that have moved by more than chance.

    Parameters
    ----------
    run : str
    pieces : (2,) tuple of int
        The first and the last that it rests on.
    error_mg : int, milligrams
        How far off the scaling weight they were first cut, on average.
    text, reaction : str
        What was seen and what to do, one plain sentence each.

    Returns
    -------
    Mapping
    """
    first, last = pieces
    return {
        "run": run,
        "first": first,
        "last": last,
        "error_mg": error_mg,
        "text": text,
        "reaction": reaction,
    }


def run_ended(run: str, why: Why) -> Body:
    """Return the body of a run's last line; the store adds ``counts`` and ``unresolved``.

    Parameters
    ----------
    run : str
    why : Why

    Returns
    -------
    Mapping
    """
    return {"run": run, "why": why.value}


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
        _one_of(TookFor, body, "took_for")
        return Change(adds=_pieces(body, "adds"), removes=_pieces(body, "removes"))
    return Change()


def _pieces(body: Body, key: str) -> tuple[PieceFacts, ...]:
    parts = body.get(key)
    if not isinstance(parts, list) or not all(isinstance(part, dict) for part in parts):
        raise JournalError(f"A journal line lacks its list '{key}'.")
    return tuple(read_piece(part) for part in parts if isinstance(part, dict))


def integer(body: Body, key: str) -> int:
    """Return an integer of a body.

    Parameters
    ----------
    body : Mapping
    key : str

    Returns
    -------
    int

    Raises
    ------
    JournalError
        If there is none.
    """
    value = body.get(key)
    if isinstance(value, bool) or not isinstance(value, int):
        raise JournalError(f"A journal line lacks its number '{key}'.")
    return value


def word(body: Body, key: str) -> str:
    """Return a text of a body.

    Parameters
    ----------
    body : Mapping
    key : str

    Returns
    -------
    str

    Raises
    ------
    JournalError
        If there is none.
    """
    value = body.get(key)
    if not isinstance(value, str):
        raise JournalError(f"A journal line lacks its text '{key}'.")
    return value


def _one_of(choices: type[Choice], body: Body, key: str) -> Choice:
    try:
        return choices(word(body, key))
    except ValueError as exc:
        raise JournalError(f"A journal line holds a '{key}' that is not known.") from exc


def _decimal_or_none(body: Body, key: str) -> Decimal | None:
    try:
        return Decimal(word(body, key)) if key in body else None
    except ArithmeticError as exc:
        raise JournalError(f"A journal line holds a '{key}' that is no number.") from exc


def _integer_or_none(body: Body, key: str) -> int | None:
    return integer(body, key) if key in body else None
