"""Earlier weeks of a person at a product -> what a week of a dossier is held against."""

from __future__ import annotations

import statistics
from array import array
from collections import deque
from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.monitor.plausibility import FEWEST, FormerWeeks

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from weighstation.journal import PieceFacts
    from weighstation.specification import Limits

MOST_WEEKS = 13
"""Weeks before a week that it is held against: a quarter; house figure."""


@dataclass(frozen=True, slots=True)
class FormerRun:
    """A run before those of the dossier.

    Parameters
    ----------
    product, person : str
    limits : Limits
    division_mg : int, milligrams
    began_utc_ms : int, milliseconds since 1970 UTC
    kept_mg : (n,) array of int, milligrams
        Kept pieces in band, in the order they came.
    first_mg : (m,) array of int, milligrams
        First cuts, where they are known.
    is_typed : bool
        Whether they were entered from a file.
    """

    product: str
    person: str
    limits: Limits
    division_mg: int
    began_utc_ms: int
    kept_mg: array[int]
    first_mg: array[int]
    is_typed: bool = False


def in_band_mg(pieces: Iterable[PieceFacts]) -> array[int]:
    """Return what the pieces in band weigh.

    Parameters
    ----------
    pieces : iterable of PieceFacts

    Returns
    -------
    array of int, milligrams
    """
    return array("q", (piece.final_mg for piece in pieces if piece.verdict is Verdict.KEEP))


def first_cuts_mg(pieces: Iterable[PieceFacts]) -> array[int]:
    """Return what the first cuts weigh that are known.

    Parameters
    ----------
    pieces : iterable of PieceFacts

    Returns
    -------
    array of int, milligrams
    """
    return array("q", (piece.first_mg for piece in pieces if piece.first_mg is not None))


class History:
    """The weeks before a week; each is added once it has been asked about.

    Parameters
    ----------
    former : mapping of str to sequence of FormerRun
        By their week, as ``2026-W10``.
    """

    def __init__(self, former: Mapping[str, Sequence[FormerRun]]) -> None:
        self._weeks: deque[tuple[str, FormerWeeks]] = deque(maxlen=MOST_WEEKS)
        for week in sorted(former):
            runs = former[week]
            self.add(week, [run.kept_mg for run in runs], [run.first_mg for run in runs])

    def add(
        self, week: str, kept_mg: Sequence[Sequence[int]], first_mg: Sequence[Sequence[int]]
    ) -> None:
        """Take a week into the history.

        Parameters
        ----------
        week : str
        kept_mg, first_mg : sequence of (n,) sequences of int, milligrams
            Run by run.
        """
        self._weeks.append((week, FormerWeeks(_sd_mg(kept_mg), _sd_mg(first_mg), kept_mg)))

    def before(self, week: str) -> FormerWeeks:
        """Return what there is of earlier weeks.

        Parameters
        ----------
        week : str

        Returns
        -------
        FormerWeeks
        """
        found = [former for name, former in self._weeks if name < week]
        return FormerWeeks(
            tuple(chain.from_iterable(each.kept_sd_mg for each in found)),
            tuple(chain.from_iterable(each.first_sd_mg for each in found)),
            tuple(chain.from_iterable(each.kept_mg for each in found)),
        )


def _sd_mg(runs_mg: Sequence[Sequence[int]]) -> tuple[float, ...]:
    """Return the standard deviation of a week; none of a week of too few pieces."""
    weights_mg = list(chain.from_iterable(runs_mg))
    return (statistics.stdev(weights_mg),) if len(weights_mg) >= FEWEST else ()
