"""Loaves that count, or count no longer -> journal lines; durable lines -> how the batch stands."""

from __future__ import annotations

import statistics
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.events import LoafWeighed
from weighstation.journal import (
    BakedLoaf,
    Kind,
    Line,
    Loaves,
    baked,
    baked_struck_out,
    gap_of_loaves,
)

if TYPE_CHECKING:
    from weighstation.events import Loaf, LoafVoided
    from weighstation.journal import Entry
    from weighstation.station.bench.timeline import Timeline

MS_PER_S = 1000
MS_PER_MIN = 60_000


@dataclass(frozen=True, slots=True)
class LoafPromise:
    """What is said once of all loaves that are weighed now.

    Parameters
    ----------
    batch : str
        The newest run of their batch.
    product : str
    scale : str
        URL of the port.
    scale_identity : str
    software : str
    declared_mg : int, milligrams, or None
    out_of_oven_min : float, minutes, or None
        How long they had been out of the oven when weighing began.
    """

    batch: str
    product: str
    scale: str
    scale_identity: str
    software: str
    declared_mg: int | None = None
    out_of_oven_min: float | None = None

    def out_min(self, t_s: float) -> float | None:
        """Return how long they are out of the oven.

        Parameters
        ----------
        t_s : float, seconds
            Since weighing began, on the station's own clock.

        Returns
        -------
        float, minutes, or None
        """
        out_min = self.out_of_oven_min
        return None if out_min is None else out_min + t_s / 60


class LoafLines:
    """Makes the line of each loaf, none dated before the one before it.

    Parameters
    ----------
    promise : LoafPromise
    timeline : Timeline
    before : Loaves
        Of the batch, as far as they are on record.
    """

    def __init__(self, promise: LoafPromise, timeline: Timeline, before: Loaves) -> None:
        self._promise = promise
        self._timeline = timeline
        self._written = {number: found.loaf for (_, number), found in before.counted.items()}
        self._last_ms = 0

    def line(
        self, outcome: LoafWeighed | LoafVoided, now_s: float, division_mg: int | None
    ) -> Line:
        """Return the line for a loaf that counts, or that counts no longer.

        Parameters
        ----------
        outcome : LoafWeighed or LoafVoided
        now_s : float, seconds
        division_mg : int, milligrams, or None

        Returns
        -------
        Line
        """
        if isinstance(outcome, LoafWeighed):
            fact = self._written[outcome.loaf.number] = self._fact(outcome.loaf, division_mg)
            return Line(Kind.BAKED, baked(fact), self._utc_ms(outcome.loaf.t_s, now_s))
        gone = self._written.pop(outcome.loaf.number)
        body = baked_struck_out(gone, outcome.reason)
        return Line(Kind.BAKED, body, self._utc_ms(outcome.t_s, now_s))

    def gap(self, why: str, seconds: float, now_s: float) -> Line:
        """Return the line for a time in which no loaf could be weighed.

        Parameters
        ----------
        why : str
        seconds : float, seconds
        now_s : float, seconds

        Returns
        -------
        Line
        """
        body = gap_of_loaves(self._promise.batch, why, round(seconds * MS_PER_S))
        return Line(Kind.GAP, body, self._utc_ms(now_s, now_s))

    def _fact(self, loaf: Loaf, division_mg: int | None) -> BakedLoaf:
        promise = self._promise
        out_min = promise.out_min(loaf.t_s)
        return BakedLoaf(
            batch=promise.batch,
            product=promise.product,
            number=loaf.number,
            baked_mg=loaf.baked_mg,
            scale=promise.scale,
            scale_identity=promise.scale_identity,
            software=promise.software,
            declared_mg=promise.declared_mg,
            division_mg=division_mg,
            piece=loaf.piece,
            out_of_oven_ms=None if out_min is None else round(out_min * MS_PER_MIN),
        )

    def _utc_ms(self, t_s: float, now_s: float) -> int:
        """Return when a line happened: not before the line before it, if the clock allows."""
        happened_ms = self._timeline.utc_ms(t_s, now_s)
        if happened_ms < self._last_ms:
            happened_ms = min(self._last_ms, self._timeline.utc_ms(now_s, now_s))
        self._last_ms = happened_ms
        return happened_ms


class LoafStanding:
    """What of a batch's loaves is on the disk, and nothing else.

    Parameters
    ----------
    before : Loaves
        Of the batch, as they are on record when weighing begins.
    """

    def __init__(self, before: Loaves) -> None:
        self._loaves = before

    def feed(self, entry: Entry) -> None:
        """Take a line that has become durable.

        Parameters
        ----------
        entry : Entry
        """
        self._loaves.feed(entry)

    @property
    def weights_mg(self) -> list[int]:
        """Of the loaves that count, in the order they were weighed; milligrams."""
        return [found.loaf.baked_mg for found in self._loaves.counted.values()]

    @property
    def counted(self) -> int:
        """How many loaves count."""
        return len(self._loaves.counted)

    @property
    def last(self) -> tuple[int, int] | None:
        """Number and weight in milligrams of the last loaf that counts."""
        if not self._loaves.counted:
            return None
        found = next(reversed(self._loaves.counted.values()))
        return found.loaf.number, found.loaf.baked_mg

    @property
    def mean_mg(self) -> float | None:
        """Mean in milligrams; None of none."""
        weights_mg = self.weights_mg
        return statistics.fmean(weights_mg) if weights_mg else None

    @property
    def sd_mg(self) -> float | None:
        """Standard deviation (n - 1) in milligrams; None below two."""
        weights_mg = self.weights_mg
        return statistics.stdev(weights_mg) if len(weights_mg) > 1 else None
