"""Snapshots -> plain lines, for a pipe, a log, a screen reader or a terminal without a screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, TextIO

from weighstation.events import Verdict
from weighstation.quantities import grams_text
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.wording import armed_text, cue_word, lifted_key_text, lifted_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.station.bench.snapshot import Snapshot

_SCENES: dict[Scene, str] = {
    Scene.NO_SCALE_YET: "Waiting for the scale.",
    Scene.OVERLOADED: "Too much for the scale: take it off.",
    Scene.SCALE_LOST: "The scale is lost.",
    Scene.PAUSED: "Paused: press P to go on.",
}


def _alarm(snapshot: Snapshot) -> str:
    return f"ALARM: {snapshot.alarm}" if snapshot.alarm else ""


def _scene(snapshot: Snapshot) -> str:
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


def _notice(snapshot: Snapshot) -> str:
    return snapshot.notice


_TOPICS: tuple[Callable[[Snapshot], str], ...] = (
    _alarm,
    _scene,
    _counted,
    _cue,
    _lifted,
    _notice,
    armed_text,
)


class PlainLines:
    """One line for each thing that a person would want to be told.

    Parameters
    ----------
    stream : TextIO
        Where the lines go; each is flushed.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._said = [""] * len(_TOPICS)

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
        texts = [topic(snapshot) for topic in _TOPICS]
        before, self._said = self._said, texts
        return tuple(
            text for text, said in zip(texts, before, strict=True) if text and text != said
        )
