"""What truly went on in a simulated year, fixed by its seed before the first day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from random import Random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.simulate.year.bakery import Bakery
    from weighstation.simulate.year.causes import YearCauses


@dataclass(frozen=True, slots=True)
class Drifted:
    """A hand that drifted.

    Parameters
    ----------
    person : str
    since, until : date
        First day, and the first on which it was put right.
    per_week : float, fraction of the scaling weight
    """

    person: str
    since: date
    until: date
    per_week: float

    def shift(self, day: date) -> float:
        """Return by how much first cuts are too heavy on a day.

        Parameters
        ----------
        day : date

        Returns
        -------
        float, fraction of the scaling weight
        """
        if not self.since <= day < self.until:
            return 0.0
        return self.per_week * ((day - self.since).days + 1) / 7


@dataclass(frozen=True, slots=True)
class ScaleOff:
    """A scale that showed too much.

    Parameters
    ----------
    scale : str
    last_good, since, found : date
        Last good check; first day on which it was off; the check that found it, before work.
    offset_mg : int, milligrams
    """

    scale: str
    last_good: date
    since: date
    found: date
    offset_mg: int

    def is_off(self, day: date) -> bool:
        """Return whether it showed too much while dough was divided that day.

        Parameters
        ----------
        day : date

        Returns
        -------
        bool
        """
        return self.since <= day < self.found


@dataclass(frozen=True, slots=True)
class Typed:
    """A person who typed round numbers instead of weighing.

    Parameters
    ----------
    person : str
    days : tuple of date
    """

    person: str
    days: tuple[date, ...]


@dataclass(frozen=True, slots=True)
class YearTruth:
    """What went on.

    Parameters
    ----------
    year, seed : int
    open_days : tuple of date
    drifted : Drifted or None
    scale_off : ScaleOff or None
    typed : Typed or None
        None where the cause was taken out.
    """

    year: int
    seed: int
    open_days: tuple[date, ...]
    drifted: Drifted | None
    scale_off: ScaleOff | None
    typed: Typed | None


def truth_of(bakery: Bakery, causes: YearCauses, *, year: int, seed: int) -> YearTruth:
    """Return what will go on in a year.

    Parameters
    ----------
    bakery : Bakery
    causes : YearCauses
    year : int
    seed : int

    Returns
    -------
    YearTruth
    """
    days = _open_days(bakery, year)
    return YearTruth(
        year=year,
        seed=seed,
        open_days=days,
        drifted=_drifted(bakery, days, seed) if causes.hand_drifts else None,
        scale_off=_scale_off(bakery, days, seed) if causes.scale_goes_off else None,
        typed=_typed(bakery, days, seed) if causes.weights_are_typed else None,
    )


def _open_days(bakery: Bakery, year: int) -> tuple[date, ...]:
    first = date(year, 1, 1)
    length = (date(year + 1, 1, 1) - first).days
    days = (first + timedelta(days=after) for after in range(length))
    return tuple(day for day in days if bakery.weekdays[day.weekday()] > 0)


def _drifted(bakery: Bakery, days: tuple[date, ...], seed: int) -> Drifted:
    rng = Random(f"{seed} drift")
    since = rng.choice(days[len(days) // 8 : len(days) // 2])
    until = since + timedelta(weeks=bakery.drift_weeks)
    return Drifted(rng.choice(bakery.people).name, since, until, bakery.drift_per_week)


def _scale_off(bakery: Bakery, days: tuple[date, ...], seed: int) -> ScaleOff | None:
    """Return a scale that goes off on a day between two checks; None where there is no such day."""
    rng = Random(f"{seed} scale off")
    checks = [day for day in days if day.weekday() in bakery.check_weekdays]
    spans = [
        (good, tuple(day for day in days if good < day < found), found)
        for good, found in pairwise(checks)
    ]
    spans = [span for span in spans if span[1]]
    if not spans:
        return None
    good, between, found = rng.choice(spans)
    scale = rng.choice(bakery.scales).name
    return ScaleOff(scale, good, rng.choice(between), found, bakery.off_mg)


def _typed(bakery: Bakery, days: tuple[date, ...], seed: int) -> Typed:
    rng = Random(f"{seed} typed")
    first = rng.randrange(len(days) // 2, max(len(days) // 2 + 1, len(days) - bakery.typed_days))
    return Typed(rng.choice(bakery.people).name, days[first : first + bakery.typed_days])
