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

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.station.bench.snapshot import Snapshot

_SCENES: dict[Scene, str] = {
    Scene.NO_SCALE_YET: "Waiting for the scale.",
    Scene.OVERLOADED: "Too much for the scale: take it off.",
    Scene.SCALE_LOST: "The scale is lost.",
    Scene.PAUSED: "Paused: press P to go on.",
    Scene.DOUGH_LEFT: "Put on the dough that is left, and press D when it is all weighed.",
}


def _alarm(snapshot: Snapshot) -> str:
    return f"ALARM: {snapshot.alarm}" if snapshot.alarm else ""


def _scene(snapshot: Snapshot) -> str:
    if snapshot.scene is Scene.LADEN:
        return f"{lain_text(snapshot)}."
    return _SCENES.get(snapshot.scene, "")


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


def _counted(snapshot: Snapshot) -> str:
    if snapshot.last_number is None or snapshot.last_mg is None:
        return ""
    line = f"Piece {snapshot.last_number} counted: "
    line += f"{grams_text(snapshot.last_mg, snapshot.division_mg)} g, {snapshot.counted} in all"
    if snapshot.planned is not None:
        line += f", {max(snapshot.planned - snapshot.counted, 0)} left"
    if snapshot.kept_mean_mg is not None:
        line += f", mean {snapshot.kept_mean_mg / 1000:.1f} g"
    return line


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


def _caution(snapshot: Snapshot) -> str:
    caution = snapshot.clocks.caution(snapshot.t_s, snapshot.pieces_left)
    return f"Caution: {caution.text}" if caution else ""


def _notice(snapshot: Snapshot) -> str:
    return snapshot.notice


def _signal(snapshot: Snapshot) -> str:
    return snapshot.signal


def _offer(snapshot: Snapshot) -> str:
    return snapshot.offer


_TOPICS: tuple[Callable[[Snapshot], str], ...] = (
    _alarm,
    _scene,
    _counted,
    _cue,
    _lifted,
    _signal,
    _full,
    _rest,
    _caution,
    _offer,
    _notice,
    armed_text,
)


def _matter(topic: Callable[[Snapshot], str], snapshot: Snapshot) -> object:
    """Return what a line is about: other decimals, or another mean, are no news."""
    if topic is _counted:
        return snapshot.last_number
    if topic is _cue and snapshot.cue is not None and snapshot.cue.firm:
        cue = snapshot.cue
        return cue.piece, cue.verdict, cue.net_mg, cue.touch
    if topic is _rest:
        rest = snapshot.clocks.resting(snapshot.t_s)
        return None if rest is None else (rest.board, rest.rested)
    if topic is _caution:
        caution = snapshot.clocks.caution(snapshot.t_s, snapshot.pieces_left)
        return None if caution is None else caution.about
    return topic(snapshot)


class PlainLines:
    """One line for each thing that a person would want to be told.

    Parameters
    ----------
    stream : TextIO
        Where the lines go; each is flushed.
    counted : int
        Pieces that earlier runs of the batch have counted.
    """

    def __init__(self, stream: TextIO, counted: int = 0) -> None:
        self._stream = stream
        self._said: dict[Callable[[Snapshot], str], object] = {}
        self._counted = counted

    def show(self, snapshot: Snapshot) -> None:
        """Write what is new since the snapshot before; nothing where nothing is.

        Parameters
        ----------
        snapshot : Snapshot
        """
        lines = self.lines(snapshot)
        if lines:
            text = "".join(f"{line}\n" for line in lines)
            encoding = getattr(self._stream, "encoding", None) or "utf-8"
            self._stream.write(text.encode(encoding, "replace").decode(encoding))
            self._stream.flush()

    def lines(self, snapshot: Snapshot) -> tuple[str, ...]:
        """Return what is new since the snapshot before, and remember it as said.

        Parameters
        ----------
        snapshot : Snapshot

        Returns
        -------
        tuple of str
        """
        told = tuple(text for topic in _TOPICS if (text := self._news(topic, snapshot)))
        self._counted = snapshot.counted
        return told

    def _news(self, topic: Callable[[Snapshot], str], snapshot: Snapshot) -> str:
        """Return what is new of one thing, or an empty text."""
        if topic is _counted and snapshot.counted <= self._counted:
            return ""  # a piece that was struck out, or that another run has counted
        about = _matter(topic, snapshot)
        if self._said.get(topic) == about:
            return ""
        self._said[topic] = about
        return topic(snapshot)
