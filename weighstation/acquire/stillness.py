"""Indications of a learning session -> where the display stood still, and where it moved."""

from __future__ import annotations

import statistics
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.acquire.fields import read_fields
from weighstation.acquire.marks import marks_of
from weighstation.acquire.resolution import Resolution, counts_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.acquire.shape import Shape
    from weighstation.events import Reading

_MOVED_SHARE = 0.005  # of the span of all weights
_MOVED_DIVISIONS = 3
_SILENT = str.maketrans("", "", " +-")
_STILL_LEAST = 3  # readings


@dataclass(frozen=True, slots=True)
class Indication:
    """One weight and how its line was written.

    Parameters
    ----------
    t_s : float, seconds
    gross_mg : int, milligrams
    counts : int
        In units of the last printed place.
    resolution : Resolution
    run : str
        Digits with points and commas.
    marks : frozenset of str
        Each with its side of the number; a unit is one too.
    unit_named : bool
    rest : str
        The line without its weight, signs and blanks.
    """

    t_s: float
    gross_mg: int
    counts: int
    resolution: Resolution
    run: str
    marks: frozenset[str]
    unit_named: bool
    rest: str

    @classmethod
    def of(cls, reading: Reading, shape: Shape) -> Indication | None:
        """Return a reading with its marks; None where its line does not fit the shape.

        Parameters
        ----------
        reading : Reading
            With a weight.
        shape : Shape

        Returns
        -------
        Indication or None
        """
        fields = read_fields(reading.raw, shape.grammar)
        if fields is None or reading.gross_mg is None:
            return None
        signs = shape.signs.get(fields.unit)
        decimals = None if signs is None else signs.decimals(fields.run)
        if decimals is None:
            return None
        after = (*fields.after, "unit") if fields.unit else fields.after
        counts = counts_of(fields.run)
        return cls(
            t_s=reading.t_s,
            gross_mg=reading.gross_mg,
            counts=-counts if fields.sign == "-" else counts,
            resolution=Resolution(fields.unit or shape.unit, decimals or shape.implied_decimals),
            run=fields.run,
            marks=marks_of(fields.before, after),
            unit_named=fields.unit is not None,
            rest=(reading.raw[: fields.start] + reading.raw[fields.end :]).translate(_SILENT),
        )


@dataclass(frozen=True, slots=True)
class Plateaus:
    """Which indications stand still, and at what levels.

    Parameters
    ----------
    moved : tuple of bool
        The display had just moved, for each indication.
    still : tuple of bool
        It was one of at least three at one level.
    levels_mg : tuple of float, milligrams
        Of the stretches at one level, in order.
    settle_s : float or None, seconds
        Of the largest change from one to the next.
    """

    moved: tuple[bool, ...]
    still: tuple[bool, ...]
    levels_mg: tuple[float, ...]
    settle_s: float | None

    @property
    def step_mg(self) -> int | None:
        """The load: the largest difference of two levels, milligrams."""
        if len(self.levels_mg) < 2:
            return None
        return round(max(self.levels_mg) - min(self.levels_mg))

    @classmethod
    def of(cls, rows: Sequence[Indication], division_mg: int) -> Plateaus:
        """Return the plateaus of some indications.

        Parameters
        ----------
        rows : sequence of Indication
        division_mg : int, milligrams

        Returns
        -------
        Plateaus
        """
        y_mg = [row.gross_mg for row in rows]
        span_mg = max(y_mg) - min(y_mg)
        least_mg = max(_MOVED_DIVISIONS * division_mg, _MOVED_SHARE * span_mg)
        moved = (False, *(abs(b - a) >= least_mg for a, b in pairwise(y_mg)))
        runs = _runs(y_mg, 1.5 * division_mg)
        still = [False] * len(rows)
        for first, last in runs:
            still[first : last + 1] = [True] * (last + 1 - first)
        levels = tuple(statistics.fmean(y_mg[first : last + 1]) for first, last in runs)
        return cls(moved, tuple(still), levels, _settle_s(rows, runs, levels))


def _runs(y_mg: Sequence[int], most_mg: float) -> list[tuple[int, int]]:
    """Return first and last of each stretch that stays within a division and a half."""
    runs, first = [], 0
    for at in range(1, len(y_mg) + 1):
        window = y_mg[first : at + 1]
        if at < len(y_mg) and max(window) - min(window) <= 2 * most_mg:
            continue
        if at - first >= _STILL_LEAST:
            runs.append((first, at - 1))
        first = at
    return runs


def _settle_s(
    rows: Sequence[Indication], runs: Sequence[tuple[int, int]], levels_mg: Sequence[float]
) -> float | None:
    """Return from the last reading before the largest change to the first that stayed after it."""
    changes = [abs(b - a) for a, b in pairwise(levels_mg)]
    if not changes:
        return None
    at = changes.index(max(changes))
    return rows[runs[at + 1][0]].t_s - rows[runs[at][1]].t_s
