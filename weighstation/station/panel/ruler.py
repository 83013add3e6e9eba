"""The ruler: the band, the scaling weight, and where this piece stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.station.bench.wording import promised
from weighstation.station.showing.band import place_on_ruler

if TYPE_CHECKING:
    from weighstation.events import Cue
    from weighstation.specification import Limits


def ruler_lines(limits: Limits, cue: Cue | None, width: int) -> list[str]:
    """Return marker, ruler and labels, three lines.

    Parameters
    ----------
    limits : Limits
    cue : Cue or None
        Without one there is no marker.
    width : int
        Columns.

    Returns
    -------
    list of str
    """
    low, high = (
        _column(-limits.under_mg, limits, width),
        _column(limits.over_mg, limits, width),
    )
    middle = _column(0, limits, width)
    line = ["\N{BOX DRAWINGS LIGHT HORIZONTAL}"] * width
    line[low : high + 1] = ["\N{BOX DRAWINGS DOUBLE HORIZONTAL}"] * (high + 1 - low)
    line[low], line[high] = "[", "]"
    line[middle] = "\N{BOX DRAWINGS VERTICAL SINGLE AND HORIZONTAL DOUBLE}"
    above = [" "] * width
    if cue is not None:
        place = _column(cue.error_mg, limits, width)
        above[place] = "\u25bc" if cue.firm else "\u25bd"
        beyond = not 0 <= place_on_ruler(cue.error_mg, limits) <= 1
        line[place] = _beyond(cue) if beyond else "\u2588" if cue.firm else "\u2593"
    labels = (
        (low, promised(limits.target_mg - limits.under_mg)),
        (middle, promised(limits.target_mg)),
        (high, promised(limits.target_mg + limits.over_mg)),
    )
    return ["".join(above), "".join(line), _labels(labels, width)]


def _column(error_mg: int, limits: Limits, width: int) -> int:
    """Return the column of an error, the ends for those beyond the ruler."""
    share = place_on_ruler(error_mg, limits)
    return min(max(round(share * (width - 1)), 0), width - 1)


def _beyond(cue: Cue) -> str:
    """Return an arrow head that points off the ruler."""
    return "\u25c4" if cue.error_mg < 0 else "\u25ba"


def _labels(labels: tuple[tuple[int, str], ...], width: int) -> str:
    """Return labels centred under their columns, one that would touch the one before left out."""
    line = ""
    for column, text in labels:
        start = min(max(column - len(text) // 2, 0), width - len(text))
        if not line or start > len(line):
            line = line.ljust(start) + text
    return line.ljust(width)
