"""Did the station's clock step: against the lines before, or against the run's own clock."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal.chain import SET_BACK_MS
from weighstation.monitor.plausibility.flag import Flag, FlagKind

if TYPE_CHECKING:
    from collections.abc import Sequence

APART_MS = 5000
"""What UTC and a run's own clock may come apart in a run; house figure.

Both go by one oscillator, so without a step they come apart by what is rounded and written late.
"""


def clock_set_back(utc_ms: Sequence[int], *, more_than_ms: int = SET_BACK_MS) -> Flag | None:
    """Return a flag if a line is dated before the line before it.

    Parameters
    ----------
    utc_ms : (n,) sequence of int, milliseconds since 1970
        Of all lines of a journal, or a stretch of it, in order.
    more_than_ms : int, milliseconds
        What is still borne; as `journal.first_set_back` has it.

    Returns
    -------
    Flag or None
        Its figures name the first such line by its place, from 0.
    """
    steps = [(one - two, place) for place, (one, two) in enumerate(pairwise(utc_ms), 1)]
    back = [(step_ms, place) for step_ms, place in steps if step_ms > more_than_ms]
    if not back:
        return None
    worst_ms, first = max(back)[0], min(place for _, place in back)
    times = "once" if len(back) == 1 else f"{len(back)} times"
    text = (
        f"The clock was set back {times} between lines, by at most {worst_ms / 1000:.0f} s:"
        " times of lines about there cannot be trusted."
    )
    figures = {"first_place": first, "furthest_back_ms": worst_ms}
    return Flag(FlagKind.CLOCK, text, len(utc_ms), figures, count=len(back))


def clock_disagrees(
    utc_ms: Sequence[int], own_ms: Sequence[int], *, clock_utc_ms: int, bound_ms: int = APART_MS
) -> Flag | None:
    """Return a flag if the dates of a run's lines do not go with its own clock.

    Parameters
    ----------
    utc_ms : (n,) sequence of int, milliseconds since 1970
        When each piece left the pan, as its line is dated.
    own_ms : (n,) sequence of int, milliseconds
        The same on the run's own clock, which nobody can set: ``placed_ms + ms`` of a piece.
    clock_utc_ms : int, milliseconds since 1970
        UTC of 0 on the run's own clock, as the run's first line has it.
    bound_ms : int, milliseconds
        What is still borne, either way.

    Returns
    -------
    Flag or None
        Its figures name the first such line by its place, from 0.

    Raises
    ------
    SpecificationError
        If there are not as many times of one kind as of the other.
    """
    if len(utc_ms) != len(own_ms):
        raise SpecificationError("Give the time of every line on the run's own clock.")
    apart = [utc - clock_utc_ms - own for utc, own in zip(utc_ms, own_ms, strict=True)]
    beyond = [place for place, each_ms in enumerate(apart) if abs(each_ms) > bound_ms]
    if not beyond:
        return None
    worst_ms = max(apart, key=abs)
    way = "forward" if worst_ms > 0 else "back"
    text = (
        f"The clock was set {way} while the run went on: {len(beyond)} of {len(apart)} lines are"
        f" dated up to {abs(worst_ms) / 1000:.0f} s off the run's own clock."
    )
    figures = {"first_place": beyond[0], "furthest_ms": worst_ms}
    return Flag(FlagKind.CLOCK, text, len(apart), figures, count=len(beyond))
