"""A bakery, its causes and a seed -> all facts of a year in time order."""

from __future__ import annotations

from datetime import UTC, datetime
from operator import attrgetter
from typing import TYPE_CHECKING

from weighstation.simulate.year.bakery import Bakery, invented_bakery
from weighstation.simulate.year.causes import YearCauses
from weighstation.simulate.year.day import BakeryDay
from weighstation.simulate.year.truth import truth_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from weighstation.simulate.year.facts import YearFact


class Year:
    """A year of a bakery whose causes are known.

    Parameters
    ----------
    bakery : Bakery or None
        None is the invented one.
    causes : YearCauses or None
        None is all of them.
    year : int
    seed : int
        The same seed gives the same facts. Every run, check, void and lot has random numbers of
        its own, so that taking out a cause changes nothing but what the cause did.

    Attributes
    ----------
    truth : YearTruth
        What truly goes on, known before the first day.
    """

    def __init__(
        self,
        bakery: Bakery | None = None,
        causes: YearCauses | None = None,
        *,
        year: int = 2025,
        seed: int = 1,
    ) -> None:
        self._bakery = bakery or invented_bakery()
        self._causes = causes or YearCauses()
        self.truth = truth_of(self._bakery, self._causes, year=year, seed=seed)

    def facts(self) -> Iterator[YearFact]:
        """Yield all facts in the order in which they were written down.

        Yields
        ------
        YearFact

        Notes
        -----
        Late voids of the last days fall into the next year.
        """
        waiting: list[YearFact] = []
        for day in self.truth.open_days:
            waiting.extend(self._day(day))
            waiting.sort(key=attrgetter("t_utc_ms"))
            ends_ms = _ends_ms(day)
            over = next(
                (place for place, fact in enumerate(waiting) if fact.t_utc_ms >= ends_ms),
                len(waiting),
            )
            yield from waiting[:over]
            del waiting[:over]
        yield from waiting

    def _day(self, day: date) -> Iterator[YearFact]:
        return BakeryDay(self._bakery, self._causes, self.truth, day).facts()


def _ends_ms(day: date) -> int:
    """Return the end of a day in UTC, milliseconds since 1970; the next begins no earlier."""
    return round(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp() * 1000) + 86_400_000
