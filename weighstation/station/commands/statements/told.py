"""Lines of a batch -> what was told of it: signals, what went otherwise, and notes about both."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.journal import Kind, codec, read_body
from weighstation.monitor.plausibility.late import LATE_MS
from weighstation.quantities import grams
from weighstation.report.dossier import Counting, Happened, Remark, SignalLine
from weighstation.station.commands.statements.unsigned import SOMEBODY

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.journal import Body, Entry

_ABOUT_IT = ("v", "about", "text")

Told = tuple[tuple[SignalLine, ...], tuple[Happened, ...], tuple[Remark, ...]]


def remark_of(entry: Entry, *, with_people: bool) -> Remark:
    """Return the note that a line holds.

    Parameters
    ----------
    entry : Entry
    with_people : bool
        Whether it says who signed it.

    Returns
    -------
    Remark

    Raises
    ------
    JournalError
        If it lacks something.
    """
    body = read_body(entry.body)
    shown = body if with_people or "person" not in body else {**body, "person": SOMEBODY}
    more = tuple((name, str(shown[name])) for name in shown if name not in _ABOUT_IT)
    about, text = codec.integer(body, "about"), codec.word(body, "text")
    return Remark(entry.seq, entry.t_utc_ms, about, text, more)


def batch_told(lines: Sequence[Entry], remarks: Iterable[Remark]) -> Told:
    """Return what the lines of a batch tell, each with the notes about it.

    Parameters
    ----------
    lines : sequence of Entry
        Of the batch, in order.
    remarks : iterable of Remark
        All that were noted.

    Returns
    -------
    tuple of SignalLine
    tuple of Happened
    tuple of Remark
        Notes about other lines of the batch.

    Raises
    ------
    JournalError
        If a line lacks something.
    """
    about: dict[int, list[Remark]] = {entry.seq: [] for entry in lines}
    for remark in remarks:
        if remark.about in about:
            about[remark.about].append(remark)
    signals, happened = [], []
    for entry in lines:
        body = read_body(entry.body)
        if entry.kind is Kind.SIGNAL:
            signals.append(_signal(entry, body, about.pop(entry.seq)))
        elif (said := _said(entry.kind, body)) is not None:
            what, text = said
            found = about.pop(entry.seq)
            happened.append(Happened(entry.seq, entry.t_utc_ms, what, text, tuple(found)))
    others = (remark for found in about.values() for remark in found)
    return tuple(signals), tuple(happened), tuple(sorted(others, key=lambda one: one.line))


def _signal(entry: Entry, body: Body, remarks: list[Remark]) -> SignalLine:
    return SignalLine(
        line=entry.seq,
        t_utc_ms=entry.t_utc_ms,
        pieces=(codec.integer(body, "first"), codec.integer(body, "last")),
        text=codec.word(body, "text"),
        remarks=tuple(remarks),
    )


def _said(kind: Kind, body: Body) -> tuple[str, str] | None:
    """Return what went otherwise, in two or three words and in a few more; None where nothing."""
    if kind is Kind.GAP:
        return "nothing weighed", f"{codec.integer(body, 'ms') / 1000:.1f} s: {body['why']}"
    if kind is Kind.VOIDED:
        piece = codec.read_piece(body)
        return "struck out", f"piece {piece.number}, {grams(piece.final_mg):g} g: {body['reason']}"
    if kind is Kind.LIFTED_TURNED:
        return "turned round", f"piece {body['number']}: it had been taken for {body['took_for']}"
    if kind is Kind.PIECE_LIFTED:
        return _lifted(body)
    if kind is Kind.RUN_ENDED and body["why"] == "interrupted":
        return "interrupted", f"run {body['run']}, closed when the station started again"
    return None


def _lifted(body: Body) -> tuple[str, str] | None:
    piece = codec.read_piece(body)
    if piece.verdict is Verdict.ONE_AT_A_TIME:
        return "two at once", f"{grams(piece.final_mg):g} g left together, and were not counted"
    return None


def counted_by(lines: Iterable[Entry]) -> dict[int, Counting]:
    """Return which line counted each piece, by the number of the piece.

    Parameters
    ----------
    lines : iterable of Entry
        Of one batch, in order.

    Returns
    -------
    dict of int to Counting
    """
    found: dict[int, Counting] = {}
    for entry in lines:
        body = read_body(entry.body)
        for piece in codec.change(entry.kind, body).adds:
            found[piece.number] = Counting(entry.seq, codec.word(body, "run"), entry.t_utc_ms)
    return found


def ended_at(lines: Sequence[Entry]) -> int:
    """Return the line at which the weighing of a batch was over.

    Parameters
    ----------
    lines : sequence of Entry
        Of one batch, in order.

    Returns
    -------
    int
        Its last line but for pieces that were struck out after its end.
    """
    weighed = (entry.seq for entry in reversed(lines) if entry.kind is not Kind.VOIDED)
    return next(weighed, lines[-1].seq)


def struck_out_late(lines: Iterable[Entry]) -> tuple[int, ...]:
    """Return the lines that struck out a piece long after it was counted.

    Parameters
    ----------
    lines : iterable of Entry
        Of one batch, in order.

    Returns
    -------
    tuple of int
    """
    counted_ms: dict[int, int] = {}
    found = []
    for entry in lines:
        happened = codec.change(entry.kind, read_body(entry.body))
        counted_ms |= {piece.number: entry.t_utc_ms for piece in happened.adds}
        if entry.kind is Kind.VOIDED:
            since = (entry.t_utc_ms - counted_ms[piece.number] for piece in happened.removes)
            found += [entry.seq for ms in since if ms > LATE_MS]
    return tuple(found)
