"""Pictures of baked loaves -> plain lines, for a pipe, a log or a terminal without a screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, TextIO

from weighstation.quantities import grams_text
from weighstation.station.bench.loaf_words import loaf_armed_text, loaf_lain_text
from weighstation.station.bench.snapshot import Scene
from weighstation.station.panel.facts import TENTH_MG

if TYPE_CHECKING:
    from weighstation.station.bench.loaf_snapshot import LoafSnapshot

_SCENES: dict[Scene, str] = {
    Scene.NO_SCALE_YET: "Waiting for the scale.",
    Scene.OVERLOADED: "Too much for the scale: take it off.",
    Scene.SCALE_LOST: "The scale is lost.",
}


def _alarm(snapshot: LoafSnapshot) -> str:
    return f"ALARM: {snapshot.alarm}" if snapshot.alarm else ""


def _scene(snapshot: LoafSnapshot) -> str:
    lain = loaf_lain_text(snapshot)
    return f"{lain}." if lain else _SCENES.get(snapshot.scene, "")


def _counted(snapshot: LoafSnapshot) -> str:
    if snapshot.last_number is None or snapshot.last_mg is None:
        return ""
    line = f"Loaf {snapshot.last_number} counted: "
    line += f"{grams_text(snapshot.last_mg, snapshot.division_mg)} g, {snapshot.counted} in all"
    if snapshot.planned is not None:
        line += f", {max(snapshot.planned - snapshot.counted, 0)} left"
    if snapshot.mean_mg is not None:
        line += f", mean {grams_text(round(snapshot.mean_mg), TENTH_MG)} g"
    return line


def _notice(snapshot: LoafSnapshot) -> str:
    return snapshot.notice


_TOPICS = (_alarm, _scene, _counted, _notice, loaf_armed_text)


class LoafPlainLines:
    """One line for each thing that a person would want to be told.

    Parameters
    ----------
    stream : TextIO
        Where the lines go; each is flushed.
    counted : int
        Loaves of the batch that were weighed before.
    """

    def __init__(self, stream: TextIO, counted: int = 0) -> None:
        self._stream = stream
        self._said: dict[object, object] = {}
        self._counted = counted

    def show(self, snapshot: LoafSnapshot) -> None:
        """Write what is new since the picture before; nothing where nothing is.

        Parameters
        ----------
        snapshot : LoafSnapshot
        """
        lines = self.lines(snapshot)
        if lines:
            text = "".join(f"{line}\n" for line in lines)
            encoding = getattr(self._stream, "encoding", None) or "utf-8"
            self._stream.write(text.encode(encoding, "replace").decode(encoding))
            self._stream.flush()

    def lines(self, snapshot: LoafSnapshot) -> tuple[str, ...]:
        """Return what is new since the picture before, and remember it as said.

        Parameters
        ----------
        snapshot : LoafSnapshot

        Returns
        -------
        tuple of str
        """
        told = []
        for topic in _TOPICS:
            if topic is _counted and snapshot.counted <= self._counted:
                continue  # a loaf that was struck out, or weighed before
            about = snapshot.last_number if topic is _counted else topic(snapshot)
            if self._said.get(topic) != about:
                self._said[topic] = about
                told.append(topic(snapshot))
        self._counted = snapshot.counted
        return tuple(line for line in told if line)
