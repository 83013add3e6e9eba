"""A line of the journal -> text for a person, or JSON."""

from __future__ import annotations

import json
from datetime import datetime, timedelta, timezone
from typing import TYPE_CHECKING

from weighstation.events import TookFor
from weighstation.journal import BoardStage, Kind, codec, read_body, read_stage
from weighstation.quantities import MG_PER_G
from weighstation.report.page.printable import printable

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.journal import Body, Entry


def entry_json(entry: Entry) -> str:
    """Return a line of the journal as one JSON object.

    Parameters
    ----------
    entry : Entry

    Returns
    -------
    str
    """
    fields = {
        "seq": entry.seq,
        "station": entry.station,
        "t_utc_ms": entry.t_utc_ms,
        "kind": entry.kind.value,
        "body": read_body(entry.body),
        "digest": entry.digest,
    }
    return json.dumps(fields, ensure_ascii=False)


def entry_text(entry: Entry) -> str:
    """Return a line of the journal as a person reads it.

    Parameters
    ----------
    entry : Entry

    Returns
    -------
    str
    """
    when = datetime.fromtimestamp(entry.t_utc_ms / 1000).astimezone()
    said = printable(_said(entry.kind, read_body(entry.body)))
    return f"{entry.seq:>6}  {when:%Y-%m-%d %H:%M:%S}  {entry.kind.value:<13}  {said}".rstrip()


def _said(kind: Kind, body: Body) -> str:
    """Return what a line says, in a few words."""
    say = _SAID.get(kind)
    return say(body) if say else ""


def _grams(body: Body, key: str) -> str:
    return f"{codec.integer(body, key) / MG_PER_G:g} g"


def _said_piece(body: Body) -> str:
    first = f", first {_grams(body, 'first_mg')}" if "first_mg" in body else ""
    return f"piece {body['number']}: {_grams(body, 'final_mg')}{first}, {body['verdict']}"


def _said_imported(body: Body) -> str:
    zone = timezone(timedelta(minutes=codec.integer(body, "offset_min")))
    at = datetime.fromtimestamp(codec.integer(body, "at_utc_ms") / 1000, zone)
    return f"{_said_piece(body)}, weighed {at:%Y-%m-%d %H:%M:%S %z}"


def _said_started(body: Body) -> str:
    product, target = str(body["product"]), _grams(body, "target_mg")
    said = target if product == target else f"{product}, {target}"
    guard = body.get("guard")
    drawn_in = f", band drawn in by {_grams(guard, 'width_mg')}" if isinstance(guard, dict) else ""
    return f"run {body['run']}: {said}{drawn_in}"


def _said_turned(body: Body) -> str:
    """Return what a piece was turned to, and what that changes in what counts."""
    number = codec.integer(body, "number")
    change = codec.change(Kind.LIFTED_TURNED, body)
    counts = {piece.number: f"{piece.final_mg / MG_PER_G:g} g" for piece in change.adds}
    gone = [piece.number for piece in change.removes if piece.number not in counts]
    own = f"counts {counts.pop(number)}" if number in counts else "is open again"
    others = [f"and piece {other} ({said}) on its own" for other, said in counts.items()]
    others += [f"and piece {other} no longer" for other in gone if other != number]
    return f"piece {number}: {_TOOK_FOR[TookFor(body['took_for'])]}; {', '.join([own, *others])}"


def _said_moved(body: Body) -> str:
    return f"board {body['board']}: {_STAGES[read_stage(body)]}"


def _said_checked(body: Body) -> str:
    who = f" by {body['person']}" if body.get("person") else ""
    return f"{body['scale']}: {body['verdict']}{who}; {body['text']}"


def _said_noted(body: Body) -> str:
    settles = (
        f" failed by mistake, says {body['person']}, settled by line {body['settled_by']}"
        if "settled_by" in body
        else ""
    )
    done = f"; done: {body['action']}, says {body['person']}" if "action" in body else ""
    return f"line {body['about']}{settles}: {body['text']}{done}"


def _said_baked(body: Body) -> str:
    piece = f", of piece {body['piece']}" if "piece" in body else ""
    gone = f", {body['reason']}" if "reason" in body else ""
    return f"batch {body['batch']}, loaf {body['number']}: {_grams(body, 'baked_mg')}{piece}{gone}"


_STAGES = {
    BoardStage.AT_BENCH: "to the bench",
    BoardStage.IN_OVEN: "into the oven",
    BoardStage.OUT: "out of the oven",
}
_TOOK_FOR = {TookFor.CAME_BACK: "brought back", TookFor.BOARDED: "boarded"}
_SAID: dict[Kind, Callable[[Body], str]] = {
    Kind.RUN_STARTED: _said_started,
    Kind.RUN_ENDED: lambda body: f"run {body['run']}: {body['why']}",
    Kind.PIECE_KEPT: _said_piece,
    Kind.PIECE_LIFTED: _said_piece,
    Kind.IMPORTED: _said_imported,
    Kind.LIFTED_TURNED: _said_turned,
    Kind.VOIDED: lambda body: (
        f"piece {body['number']}: {_grams(body, 'final_mg')}, {body['reason']}"
    ),
    Kind.NOTED: _said_noted,
    Kind.SIGNAL: lambda body: f"{body['text']} {body['reaction']}",
    Kind.BOARD_OPENED: lambda body: f"board {body['board']}: {body['places']} places",
    Kind.BOARD_CLOSED: lambda body: f"board {body['board']}: closed before it was full",
    Kind.BOARD_MOVED: _said_moved,
    Kind.DOUGH_WEIGHED: lambda body: (
        f"{_grams(body, 'left_mg')} of dough left after piece {body['after']}"
    ),
    Kind.PAN_SHIFTED: lambda body: (
        f"the empty pan shows {_grams(body, 'to_mg')} after piece {body['after']}, before"
        f" {_grams(body, 'from_mg')}"
    ),
    Kind.SCALE_CHECKED: _said_checked,
    Kind.BAKED: _said_baked,
    Kind.GAP: lambda body: f"{codec.integer(body, 'ms') / 1000:.1f} s: {body['why']}",
}
