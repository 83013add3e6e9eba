"""Marks of many lines -> which of them says that the weight is stable."""

from __future__ import annotations

from dataclasses import dataclass

MIN_EXPECTED_MOVES = 6.0  # moves that would have fallen on a mark that means nothing
MAX_SHARE_OF_EXPECTED = 1 / 6
MIN_CARRIED = 10
MOVE_DIVISIONS = 3
MOVE_SHARE_OF_SPAN = 1 / 200
MIN_SPAN_DIVISIONS = 20  # below that nothing but noise has been seen
MIN_SHARE_OF_SPAN = 1 / 4
SETTLE_EVERY = 4
MAX_PATTERNS = 64


_AT = "\t"  # no mark holds a blank


def marks_of(before: tuple[str, ...], after: tuple[str, ...]) -> frozenset[str]:
    """Return the marks of a line, each with its side of the number.

    Digits carry their place too, counted from the number: the same digit there means another thing.

    Parameters
    ----------
    before, after : tuple of str

    Returns
    -------
    frozenset of str
    """
    left = [f"<{_placed(mark, place)}" for place, mark in enumerate(reversed(before))]
    return frozenset(left + [f">{_placed(mark, place)}" for place, mark in enumerate(after)])


def _placed(mark: str, place: int) -> str:
    return f"{mark}{_AT}{place}" if mark.isdigit() else mark


@dataclass(slots=True)
class MarkPattern:
    """All the marks of a line together, and what happened on lines that carried them.

    Parameters
    ----------
    marks : frozenset of str
        Each with its side of the number.
    stable : bool or None
        What they are known to mean.
    """

    marks: frozenset[str]
    stable: bool | None = None
    lines: int = 0
    moves: int = 0
    low_mg: int = 0
    high_mg: int = 0

    def see(self, gross_mg: int) -> None:
        """Count one line that carried these marks."""
        if not self.lines or gross_mg < self.low_mg:
            self.low_mg = gross_mg
        if not self.lines or gross_mg > self.high_mg:
            self.high_mg = gross_mg
        self.lines += 1


@dataclass(frozen=True, slots=True)
class StableMark:
    """The mark that says the weight is stable.

    Parameters
    ----------
    mark : str
    present : bool
        False where the weight is stable while the mark is absent.
    """

    mark: str
    present: bool

    def holds(self, pattern: MarkPattern) -> bool:
        """Return whether lines of a pattern are stable."""
        return self.holds_for(pattern.marks)

    def holds_for(self, marks: frozenset[str]) -> bool:
        """Return whether lines with these marks are stable."""
        return (self.mark in marks) is self.present

    def __str__(self) -> str:
        name = self.mark[1:].partition(_AT)[0]
        return f"'{name}'" if self.present else f"no '{name}'"


class MarkLearner:
    """Learns the stable mark: lines that carry it barely move, at more loads than one.

    A mark is believed when at least ``MIN_EXPECTED_MOVES`` moves would have fallen on it by
    chance and at most a sixth of that did, and when it was seen over a quarter of the span of
    weights at rest (so that a mark for zero, or for being in a band, is not taken for it).

    Parameters
    ----------
    stable_mark : StableMark or None
        Where it is known beforehand.
    """

    def __init__(self, stable_mark: StableMark | None = None) -> None:
        self.learning = False
        self.stable_mark = stable_mark
        self._patterns: dict[frozenset[str], MarkPattern] = {}
        self._last_mg = 0
        self._low_mg = 0
        self._high_mg = 0
        self._moves = 0

    def pattern(self, before: tuple[str, ...], after: tuple[str, ...]) -> MarkPattern | None:
        """Return the pattern of these marks, or None when there are too many different ones.

        Parameters
        ----------
        before, after : tuple of str

        Returns
        -------
        MarkPattern or None
        """
        key = marks_of(before, after)
        known = self._patterns.get(key)
        if known is None and len(self._patterns) < MAX_PATTERNS:
            known = self._patterns[key] = MarkPattern(key)
            if self.stable_mark:
                known.stable = self.stable_mark.holds(known)
            self.learning = self.stable_mark is None and len(self._patterns) > 1
        return known

    def see(self, pattern: MarkPattern, gross_mg: int, division_mg: int) -> None:
        """Take one line in; may settle what the patterns mean.

        Parameters
        ----------
        pattern : MarkPattern
        gross_mg : int, milligrams
        division_mg : int, milligrams
        """
        moved_mg = abs(gross_mg - self._last_mg)
        self._last_mg = gross_mg
        pattern.see(gross_mg)
        if moved_mg <= MOVE_DIVISIONS * division_mg:
            self._low_mg = min(self._low_mg, gross_mg)
            self._high_mg = max(self._high_mg, gross_mg)
            return
        span_mg = self._high_mg - self._low_mg
        if span_mg < MIN_SPAN_DIVISIONS * division_mg or moved_mg < span_mg * MOVE_SHARE_OF_SPAN:
            return
        pattern.moves += 1
        self._moves += 1
        if self._moves % SETTLE_EVERY == 0:
            self._settle()

    def _settle(self) -> None:
        marks = sorted({mark for known in self._patterns for mark in known})
        candidates = [StableMark(mark, present) for present in (True, False) for mark in marks]
        believed = [candidate for candidate in candidates if self._is_believed(candidate)]
        if believed:
            self.stable_mark = min(believed, key=self._moves_carried)
            self.learning = False
            for pattern in self._patterns.values():
                pattern.stable = self.stable_mark.holds(pattern)

    def _carriers(self, candidate: StableMark) -> list[MarkPattern]:
        return [pattern for pattern in self._patterns.values() if candidate.holds(pattern)]

    def _moves_carried(self, candidate: StableMark) -> int:
        return sum(pattern.moves for pattern in self._carriers(candidate))

    def _is_believed(self, candidate: StableMark) -> bool:
        everything = self._patterns.values()
        carriers = self._carriers(candidate)
        carried = sum(pattern.lines for pattern in carriers)
        if carried < MIN_CARRIED:
            return False
        lines = sum(pattern.lines for pattern in everything)
        expected = sum(pattern.moves for pattern in everything) * carried / lines
        if expected < MIN_EXPECTED_MOVES:
            return False
        if self._moves_carried(candidate) > expected * MAX_SHARE_OF_EXPECTED:
            return False
        own_mg = max(p.high_mg for p in carriers) - min(p.low_mg for p in carriers)
        return own_mg >= (self._high_mg - self._low_mg) * MIN_SHARE_OF_SPAN
