"""First cuts of each hand, as a normal law beside the band -> what another mean would give away."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.journal.sums import NO_WEIGHTS, Sums
from weighstation.monitor.distributions import normal_cdf, normal_density
from weighstation.monitor.process.giveaway import CERTAIN, expected_over_g

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from weighstation.report.giveaway.rows import RunRow

KEPT = frozenset({Verdict.KEEP})
HEAVY = frozenset({Verdict.TRIM, Verdict.ONE_AT_A_TIME})
LIGHT = frozenset({Verdict.ADD})
"""Verdicts of pieces that left in the band, above and below it."""

FEWEST = 30
"""From fewer pieces, first cuts or touched ones, no habit is known; house figure."""


@dataclass(frozen=True, slots=True)
class Cuts:
    """First cuts of one hand by the normal law, and the band that they meet.

    Parameters
    ----------
    n : int
    mean_mg, sd_mg : float, milligrams
        Of first cut less scaling weight; the spread above 0.
    low_mg, high_mg : float, milligrams
        Between these the scale says keep: the band, and half a division more on either side.
    division_mg : int, milligrams
    """

    n: int
    mean_mg: float
    sd_mg: float
    low_mg: float
    high_mg: float
    division_mg: int

    @classmethod
    def of(cls, row: RunRow, first: Sums) -> Cuts | None:
        """Return the first cuts of runs that are like one of them; None without a spread.

        Parameters
        ----------
        row : RunRow
        first : Sums
            Of all these runs.

        Returns
        -------
        Cuts or None
        """
        mean_mg, sd_mg = first.mean_d_mg, first.sd_mg
        if mean_mg is None or not sd_mg:
            return None
        limits, division_mg = row.product.limits, row.state.division_mg
        low_mg, high_mg = -limits.under_mg - division_mg / 2, limits.over_mg + division_mg / 2
        return cls(first.n, float(mean_mg), sd_mg, low_mg, high_mg, division_mg)

    @property
    def above(self) -> float:
        """Share of them above the band."""
        return _upper_share(self.mean_mg - self.high_mg, self.sd_mg)

    @property
    def below(self) -> float:
        """Share of them below the band."""
        return _upper_share(self.low_mg - self.mean_mg, self.sd_mg)

    @property
    def above_mg(self) -> float:
        """What those above the band give away, of a piece of all; milligrams."""
        over_mg = expected_over_g(self.mean_mg, sd_g=self.sd_mg, target_g=self.high_mg)
        return over_mg + self.high_mg * self.above

    @property
    def below_mg(self) -> float:
        """The same of those below the band; below 0."""
        short_mg = expected_over_g(-self.mean_mg, sd_g=self.sd_mg, target_g=-self.low_mg)
        return self.low_mg * self.below - short_mg

    @property
    def inside_mg(self) -> float:
        """The same of those in the band."""
        return self.mean_mg - self.above_mg - self.below_mg

    @property
    def inside_mg2(self) -> float:
        """The sum of squares of those in the band, of a piece of all; milligrams squared."""
        whole_mg2, ends = self.mean_mg**2 + self.sd_mg**2, (self.low_mg, self.high_mg)
        low, high = ((self.mean_mg + end) * self._density(end) for end in ends)
        return whole_mg2 * (1 - self.above - self.below) - self.sd_mg * (high - low)

    def _density(self, end_mg: float) -> float:
        return normal_density(max(-CERTAIN, min(CERTAIN, (end_mg - self.mean_mg) / self.sd_mg)))

    def moved_mg2(self, habits: Habits) -> float:
        """Return the variance of what single pieces save without the bias; milligrams squared.

        Parameters
        ----------
        habits : Habits

        Returns
        -------
        float

        Notes
        -----
        A piece that is in the band with and without the bias saves it, in whole divisions: rounded
        up or down, with variance f (1 - f) for the fraction f. One that crosses a limit saves the
        way from there to where touched pieces lie, with their spread. One that is touched both
        times saves nothing: it is taken to come out alike.
        """
        one, touched_mg2 = self.without_bias(), habits.touched_sd_mg**2
        low, high = abs(self.below - one.below), abs(self.above - one.above)
        both = min(self.below, one.below) + min(self.above, one.above)
        half_mg = abs(self.mean_mg) / 2
        to_low, to_high = (
            (end - habits.touched_mg) ** 2 + half_mg**2 / 3 + touched_mg2
            for end in (self.low_mg + half_mg, self.high_mg - half_mg)
        )
        part = self.mean_mg / self.division_mg % 1
        in_band = self.mean_mg**2 + part * (1 - part) * self.division_mg**2
        squares = max(0.0, 1 - low - high - both) * in_band + low * to_low + high * to_high
        mean_mg = habits.leaves_mg(self) - habits.leaves_mg(one)
        return max(0.0, squares - mean_mg**2)

    def without_bias(self) -> Cuts:
        """Return them as they would be on the scaling weight on average.

        Returns
        -------
        Cuts
        """
        return replace(self, mean_mg=0.0)


def _upper_share(off_mg: float, sd_mg: float) -> float:
    """Return the chance of being above what lies so far below the mean."""
    return normal_cdf(max(-CERTAIN, min(CERTAIN, off_mg / sd_mg)))


@dataclass(frozen=True, slots=True)
class Habits:
    """What becomes of first cuts out of the band.

    Parameters
    ----------
    boards_above, boards_below : float
        Share of them that is boarded as it was cut.
    touched_mg, touched_sd_mg : float, milligrams
        Mean and standard deviation of what the others weigh in the end, less the scaling weight.
    """

    boards_above: float
    boards_below: float
    touched_mg: float = 0.0
    touched_sd_mg: float = 0.0

    @classmethod
    def of(cls, hands: Sequence[Hand]) -> Habits:
        """Return what some hands make of first cuts out of the band, all together.

        Parameters
        ----------
        hands : sequence of Hand

        Returns
        -------
        Habits
        """
        every = [hand.cuts for hand in hands]
        above, below = _all(every, "above"), _all(every, "below")
        heavy, in_band, light = (_left(hands, verdicts) for verdicts in (HEAVY, KEPT, LIGHT))
        boards = _share(heavy.n, above), _share(light.n, below)
        touched = above + below - heavy.n - light.n
        if touched < FEWEST:
            return cls(*boards)
        least, most = max(each.low_mg for each in every), min(each.high_mg for each in every)
        found_mg = (in_band.sum_d_mg - _all(every, "inside_mg")) / touched
        touched_mg = max(least, min(most, found_mg))
        found_mg2 = (in_band.sum_d2_mg2 - _all(every, "inside_mg2")) / touched
        variance_mg2 = max(0.0, found_mg2 - touched_mg**2)
        return cls(*boards, touched_mg, min(most - least, math.sqrt(variance_mg2)))

    def leaves_mg(self, cuts: Cuts) -> float:
        """Return what a piece gives away in the end, on average.

        Parameters
        ----------
        cuts : Cuts

        Returns
        -------
        float, milligrams
        """
        boarded_mg = self.boards_above * cuts.above_mg + self.boards_below * cuts.below_mg
        touched = (1 - self.boards_above) * cuts.above + (1 - self.boards_below) * cuts.below
        return cuts.inside_mg + boarded_mg + touched * self.touched_mg


def left(row: RunRow, verdicts: Collection[Verdict]) -> Sums:
    """Return the pieces of a run that left with certain verdicts.

    Parameters
    ----------
    row : RunRow
    verdicts : collection of Verdict

    Returns
    -------
    Sums
    """
    cells = (sums for key, sums in row.tally.items() if key.verdict in verdicts)
    return sum(cells, NO_WEIGHTS)


def _left(hands: Iterable[Hand], verdicts: Collection[Verdict]) -> Sums:
    return sum((left(row, verdicts) for hand in hands for row in hand.rows), NO_WEIGHTS)


def _all(every: Iterable[Cuts], name: str) -> float:
    """Return a share, a mean or a square of single pieces, added up over all pieces."""
    return math.fsum(each.n * getattr(each, name) for each in every)


def _share(boarded: int, out: float) -> float:
    return min(1.0, boarded / out) if out > 0 else 0.0


@dataclass(frozen=True, slots=True)
class Hand:
    """Runs of one person, with one scaling weight, band and division.

    Parameters
    ----------
    rows : tuple of RunRow
    cuts : Cuts
    """

    rows: tuple[RunRow, ...]
    cuts: Cuts

    @property
    def first(self) -> Sums:
        """First cuts of all its runs."""
        return first_of(self.rows)


def first_of(rows: Iterable[RunRow]) -> Sums:
    """Return the first cuts of runs.

    Parameters
    ----------
    rows : iterable of RunRow

    Returns
    -------
    Sums
    """
    return sum((row.state.first for row in rows), NO_WEIGHTS)


def hands_of(rows: Sequence[RunRow]) -> tuple[Hand, ...]:
    """Return the hands of some runs of one product.

    Parameters
    ----------
    rows : sequence of RunRow

    Returns
    -------
    tuple of Hand
        None where a first cut is not known, there are too few, or all of a hand are alike. People
        are told apart where each has two runs and more.
    """
    first = first_of(rows)
    if first.n < FEWEST or first.n != sum(row.state.kept.n for row in rows):
        return ()
    by_person = _grouped(rows, by_person=True)
    if min(len(each) for each in by_person.values()) < 2:
        by_person = _grouped(rows, by_person=False)
    found = [(group, Cuts.of(group[0], first_of(group))) for group in by_person.values()]
    hands = tuple(Hand(tuple(group), cuts) for group, cuts in found if cuts is not None)
    return hands if len(hands) == len(found) else ()


def _grouped(rows: Iterable[RunRow], *, by_person: bool) -> Mapping[object, list[RunRow]]:
    groups: dict[object, list[RunRow]] = {}
    for row in rows:
        person = row.person if by_person else ""
        key = person, row.product.limits, row.state.division_mg
        groups.setdefault(key, []).append(row)
    return groups
