"""Streams written as text, and what a detector says of them as short tuples.

A script is words with spaces between: a number is a reading in grams, ``ov`` an overload, ``-`` a
line that was lost, ``xN`` repeats the word before so that it stands N times in all. Readings come
at a fixed rate from 0 s on.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.detect import Detector
from weighstation.events import DivisionLearned, PanLeft, Reading, Status, Weighing
from weighstation.specification import Way

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

USUAL_MG = 740_000
SMALLEST_MG = USUAL_MG // 4

Said = tuple[str, int, int, float] | tuple[str, int, float, float, int]
"""("maybe" | "firm", visit, touch, grams) or ("left", visit, first grams, final grams, touches)."""


def words(script: str) -> Iterator[str]:
    """Yield the words of a script, repeats written out."""
    last = ""
    for word in script.split():
        if word.startswith("x"):
            yield from [last] * (int(word[1:]) - 1)
        else:
            last = word
            yield word


def reading(t_s: float, grams: float | None, status: Status = Status.WEIGHT) -> Reading:
    """Return one indication; None for a line without a weight."""
    gross_mg = None if grams is None else round(grams * 1000)
    return Reading(t_s, gross_mg, None, status, "")


def readings(script: str, *, rate_hz: float = 10.0, start_s: float = 0.0) -> list[Reading]:
    """Return the readings of a script."""
    found = []
    for place, word in enumerate(words(script)):
        t_s = round(start_s + place / rate_hz, 6)
        if word == "ov":
            found.append(reading(t_s, None, Status.OVERLOAD))
        elif word != "-":
            found.append(reading(t_s, float(word)))
    return found


def said(item: Weighing | PanLeft) -> Said:
    """Return an event without its times, in grams."""
    if isinstance(item, PanLeft):
        return ("left", item.visit, item.first_mg / 1000, item.final_mg / 1000, item.touches)
    return ("firm" if item.firm else "maybe", item.visit, item.touch, item.net_mg / 1000)


def detect(
    items: Iterable[Reading | DivisionLearned],
    *,
    way: Way = Way.SINGLE,
    usual_mg: int | None = USUAL_MG,
) -> list[Weighing | PanLeft]:
    """Return all that a new detector says of a whole stream."""
    detector = Detector(way=way, smallest_load_mg=SMALLEST_MG, usual_load_mg=usual_mg)
    events: list[Weighing | PanLeft] = []
    last_s = 0.0
    for item in items:
        events += detector.feed(item)
        last_s = item.t_s
    return events + list(detector.finish(last_s))


def played(script: str, *, way: Way = Way.SINGLE, rate_hz: float = 10.0) -> list[Said]:
    """Return what a new detector says of a script."""
    return [said(item) for item in detect(readings(script, rate_hz=rate_hz), way=way)]


def firm_and_left(script: str, *, way: Way = Way.SINGLE, rate_hz: float = 10.0) -> list[Said]:
    """Return what it says for good: firm weights and leavings."""
    return [item for item in played(script, way=way, rate_hz=rate_hz) if item[0] != "maybe"]
