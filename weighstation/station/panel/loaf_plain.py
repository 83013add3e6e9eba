"""Pictures of baked loaves -> plain lines, for a pipe, a log or a terminal without a screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, TextIO

from weighstation.station.bench.loaf_words import loaf_armed_text, loaf_lain_text
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
    from weighstation.station.bench.loaf_snapshot import LoafSnapshot


def _scene(snapshot: LoafSnapshot) -> str:
    lain = loaf_lain_text(snapshot)
    return f"{lain}." if lain else SCENES.get(snapshot.scene, "")


def _counted(snapshot: LoafSnapshot) -> str:
    return counted_text("Loaf", snapshot, snapshot.mean_mg)


_TOPICS: tuple[Topic[LoafSnapshot], ...] = (
    Topic(alarm_text),
    Topic(_scene),
    Topic(_counted, last_number, counts=True),
    Topic(notice_text),
    Topic(loaf_armed_text),
)


def loaf_lines(stream: TextIO, counted: int = 0) -> PlainLines[LoafSnapshot]:
    """Return the plain lines where baked loaves are weighed.

    Parameters
    ----------
    stream : TextIO
        Where they go; each is flushed.
    counted : int
        Loaves of the batch that were weighed before.

    Returns
    -------
    PlainLines of LoafSnapshot
    """
    return PlainLines(stream, _TOPICS, counted)
