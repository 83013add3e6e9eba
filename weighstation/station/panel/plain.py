"""Snapshots -> plain lines, for a pipe, a log, a screen reader or a terminal without a screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, TextIO

from weighstation.events import Verdict
from weighstation.plan.boards.rest import Rested
from weighstation.quantities import grams_text
from weighstation.station.bench.board_words import moved_text
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.wording import (
    armed_text,
    cue_word,
    lain_text,
    lifted_key_text,
    lifted_text,
)
from weighstation.station.panel.plain_lines import (
    SCENES,
    PlainLines,
    Topic,
    alarm_text,
    counted_text,
    last_number,
    notice_text,
)

if TYPE_CHECKING:
    from weighstation.station.bench.snapshot import Snapshot


def _scene(snapshot: Snapshot) -> str:
    if snapshot.scene is Scene.LADEN:
        return f"{lain_text(snapshot)}."
    return SCENES.get(snapshot.scene, "")


def _cue(snapshot: Snapshot) -> str:
    cue = snapshot.cue
    if cue is None or not cue.firm:
        return ""
    line = f"Piece {cue.piece}: {cue_word(cue).lower()}"
    if cue.verdict is Verdict.ONE_AT_A_TIME:
        return line
    division_mg = snapshot.division_mg
    error = grams_text(cue.error_mg, division_mg, signed=True)
    return f"{line}, {error} g ({grams_text(cue.net_mg, division_mg)} g)"


def _told(snapshot: Snapshot) -> object:
    """Return what a firm cue is about: other decimals are no news."""
    cue = snapshot.cue
    if cue is None or not cue.firm:
        return ""
    return cue.piece, cue.verdict, cue.net_mg, cue.touch


def _counted(snapshot: Snapshot) -> str:
    return counted_text("Piece", snapshot, snapshot.kept_mean_mg)


def _lifted(snapshot: Snapshot) -> str:
    note = snapshot.lifted
    if note is None:
        return ""
    return f"{lifted_text(note, snapshot.division_mg)} ({lifted_key_text(note)})"


def _full(snapshot: Snapshot) -> str:
    full = snapshot.clocks.newest_full
    return "" if full is None else moved_text(full, None)


def _rest(snapshot: Snapshot) -> str:
    rest = snapshot.clocks.resting(snapshot.t_s)
    return "" if rest is None or rest.rested is Rested.TOO_SHORT else rest.text


def _rested(snapshot: Snapshot) -> object:
    rest = snapshot.clocks.resting(snapshot.t_s)
    return None if rest is None else (rest.board, rest.rested)


def _caution(snapshot: Snapshot) -> str:
    caution = snapshot.clocks.caution(snapshot.t_s, snapshot.pieces_left)
    return f"Caution: {caution.text}" if caution else ""


def _cautioned(snapshot: Snapshot) -> object:
    caution = snapshot.clocks.caution(snapshot.t_s, snapshot.pieces_left)
    return None if caution is None else caution.about


def _signal(snapshot: Snapshot) -> str:
    return snapshot.signal


def _offer(snapshot: Snapshot) -> str:
    return snapshot.offer


_TOPICS: tuple[Topic[Snapshot], ...] = (
    Topic(alarm_text),
    Topic(_scene),
    Topic(_counted, last_number, counts=True),
    Topic(_cue, _told),
    Topic(_lifted),
    Topic(_signal),
    Topic(_full),
    Topic(_rest, _rested),
    Topic(_caution, _cautioned),
    Topic(_offer),
    Topic(notice_text),
    Topic(armed_text),
)


def piece_lines(stream: TextIO, counted: int = 0) -> PlainLines[Snapshot]:
    """Return the plain lines of a batch.

    Parameters
    ----------
    stream : TextIO
        Where they go; each is flushed.
    counted : int
        Pieces that earlier runs of the batch have counted.

    Returns
    -------
    PlainLines of Snapshot
    """
    return PlainLines(stream, _TOPICS, counted)
