"""Runs -> what the pictures of a statement show, as plain figures."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.quantities import MG_PER_G
from weighstation.report.giveaway.groups import By, grouped, hours_of, week_of
from weighstation.report.giveaway.parts import (
    BENCH_PARTS,
    LABEL_PARTS,
    Given,
    Part,
    given_away,
)
from weighstation.report.giveaway.ranges import giveaway_interval_mg
from weighstation.report.page.local import GROUPED_FROM

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.report.giveaway.rows import LabelBasis, RunRow
    from weighstation.report.giveaway.statement import Statement
    from weighstation.specification import Limits

MOST_PRODUCTS = 6
"""That have pictures of their own; more would bury the tables."""
FEWEST_PIECES = 30
"""Below, a shape says nothing that the mean and the spread do not."""
_MOST_BINS = 48
_WINDOW = 4
"""What lies further from the aim than so many bands is counted and not drawn."""
_KEPT, _ABOVE, _BELOW = range(3)
_WHERE = {
    Verdict.KEEP: _KEPT,
    Verdict.TRIM: _ABOVE,
    Verdict.ONE_AT_A_TIME: _ABOVE,
    Verdict.ADD: _BELOW,
}


@dataclass(frozen=True, slots=True)
class Bin:
    """Pieces of about one weight.

    Parameters
    ----------
    centre_mg : int, milligrams
    kept, above, below : int
        In the band, boarded above it, boarded below it.
    """

    centre_mg: int
    kept: int
    above: int
    below: int


@dataclass(frozen=True, slots=True)
class Distribution:
    """How the pieces of one promise lie beside what was asked of them.

    Parameters
    ----------
    product : str
    limits : Limits
        As promised, before a guard drew them in.
    basis : LabelBasis or None
    width_mg : int, milligrams
        Of a bin: an odd number of divisions.
    bins : (n,) tuple of Bin
        Lightest first; empty ones are left out.
    mean_mg : Fraction, milligrams
    left_out : int
        Pieces of the product with another scaling weight, band or division.
    """

    product: str
    limits: Limits
    basis: LabelBasis | None
    width_mg: int
    bins: tuple[Bin, ...]
    mean_mg: Fraction
    left_out: int

    @property
    def window_mg(self) -> tuple[int, int]:
        """Between which weights it is drawn, in milligrams."""
        reach = _reach_mg(self.limits, self.width_mg)
        return self.limits.target_mg - reach, self.limits.target_mg + reach

    @property
    def beyond(self) -> int:
        """How many pieces lie outside what is drawn."""
        low, high = self.window_mg
        return sum(
            each.kept + each.above + each.below
            for each in self.bins
            if not low <= each.centre_mg <= high
        )


@dataclass(frozen=True, slots=True)
class Waterfall:
    """How the mean piece came to weigh what it weighs, cause by cause.

    Parameters
    ----------
    pieces : int
    is_a_piece : bool
        Whether it is told of a piece; else of all together, because pieces of several sizes have
        no mean.
    is_from_label : bool
        Whether it begins at the dough that bakes to just the declared weight; else at the scaling
        weight.
    steps : tuple of (Part, Fraction)
        Milligrams, in their order.
    """

    pieces: int
    is_a_piece: bool
    is_from_label: bool
    steps: tuple[tuple[Part, Fraction], ...]

    @property
    def total_mg(self) -> Fraction:
        """What leaves the bench, above where it begins; milligrams."""
        return sum((mg for _, mg in self.steps), Fraction(0))

    @property
    def unit(self) -> str:
        """What its figures are in: grams of a piece, grams or kilograms of all."""
        if self.is_a_piece:
            return "g a piece"
        return "kg" if max(abs(mg) for _, mg in self.steps) >= MG_PER_G * GROUPED_FROM else "g"

    @property
    def unit_mg(self) -> int:
        """How many milligrams are one of these."""
        return MG_PER_G**2 if self.unit == "kg" else MG_PER_G


@dataclass(frozen=True, slots=True)
class Week:
    """What a product gave away in a week.

    Parameters
    ----------
    monday : date
    name : str
        By ISO 8601, like 2026-W10.
    pieces : int
    mean_mg : Fraction, milligrams
        Give-away a piece.
    interval_mg : (low, high) tuple of Fraction, milligrams, or None
        At 95 %; None where one run shows no range.
    """

    monday: date
    name: str
    pieces: int
    mean_mg: Fraction
    interval_mg: tuple[Fraction, Fraction] | None


def distributions(found: Statement) -> tuple[Distribution, ...]:
    """Return how pieces lie, product by product.

    Parameters
    ----------
    found : Statement

    Returns
    -------
    tuple of Distribution
        Of the products that gave away the most, those with too few pieces left out.
    """
    every = (_distribution(_of(found, name)) for name in shown_products(found))
    return tuple(each for each in every if each is not None)


def waterfall(found: Statement) -> Waterfall | None:
    """Return how the mean piece came to weigh what it weighs.

    Parameters
    ----------
    found : Statement

    Returns
    -------
    Waterfall or None
        Of the pieces with a label, where there are any, else of all; None where it has no step.
    """
    labelled = [given_away(row) for row in found.rows if row.basis is not None]
    given = sum(labelled, Given()) if labelled else found.whole
    parts = (*LABEL_PARTS, *BENCH_PARTS) if labelled else BENCH_PARTS
    per = given.kept.n if given.is_alike else 1
    steps = tuple((part, Fraction(given.part(part).mg, per)) for part in parts)
    if not any(mg for _, mg in steps):
        return None
    return Waterfall(given.kept.n, given.is_alike, bool(labelled), steps)


def trends(found: Statement) -> dict[str, tuple[Week, ...]]:
    """Return give-away a piece, week by week.

    Parameters
    ----------
    found : Statement

    Returns
    -------
    dict of str to tuple of Week
        By product, those of one week left out.
    """
    every = {name: _weeks(_of(found, name), found) for name in shown_products(found)}
    return {name: weeks for name, weeks in every.items() if len(weeks) > 1}


def shown_products(found: Statement) -> tuple[str, ...]:
    """Return the products that have pictures: those that gave away the most dough.

    Parameters
    ----------
    found : Statement

    Returns
    -------
    tuple of str
    """
    groups = found.by(By.PRODUCT)
    most = sorted(groups, key=lambda group: abs(group.given.giveaway.mg), reverse=True)
    return tuple(group.name for group in most[:MOST_PRODUCTS])


def _of(found: Statement, product: str) -> list[RunRow]:
    return [row for row in found.rows if row.product.name == product]


def _distribution(rows: Sequence[RunRow]) -> Distribution | None:
    newest = rows[-1]
    limits, division_mg = newest.promised_limits, newest.state.division_mg
    same = [
        row for row in rows if (row.promised_limits, row.state.division_mg) == (limits, division_mg)
    ]
    n = sum(row.state.kept.n for row in same)
    if n < FEWEST_PIECES:
        return None
    counts = _counts(same)
    width = _width(counts, _reach_mg(limits, division_mg) // division_mg)
    sum_d_mg = sum(row.state.kept.sum_d_mg for row in same)
    return Distribution(
        product=newest.product.name,
        limits=limits,
        basis=newest.basis,
        width_mg=width * division_mg,
        bins=_bins(counts, width, limits.target_mg, division_mg),
        mean_mg=limits.target_mg + Fraction(sum_d_mg, n),
        left_out=sum(row.state.kept.n for row in rows) - n,
    )


def _reach_mg(limits: Limits, division_mg: int) -> int:
    return _WINDOW * max(limits.under_mg, limits.over_mg, division_mg)


def _counts(rows: Iterable[RunRow]) -> Counter[tuple[int, int]]:
    counts: Counter[tuple[int, int]] = Counter()
    for row in rows:
        for key, sums in row.tally.items():
            counts[key.step, _WHERE[key.verdict]] += sums.n
    return counts


def _width(counts: Iterable[tuple[int, int]], reach: int) -> int:
    """Return how many divisions a bin is wide: odd, so that one lies on the aim."""
    steps = [step for step, _ in counts if -reach <= step <= reach]
    least = math.ceil((max(steps) - min(steps) + 1) / _MOST_BINS) if steps else 1
    return least + (least + 1) % 2


def _bins(
    counts: Counter[tuple[int, int]], width: int, target_mg: int, division_mg: int
) -> tuple[Bin, ...]:
    found: dict[int, list[int]] = {}
    for (step, where), n in counts.items():
        found.setdefault((step + width // 2) // width, [0, 0, 0])[where] += n
    return tuple(
        Bin(target_mg + place * width * division_mg, *found[place])
        for place in sorted(found)
        if any(found[place])
    )


def _weeks(rows: Sequence[RunRow], found: Statement) -> tuple[Week, ...]:
    weeks = []
    for group in grouped(hours_of(rows), By.WEEK, zone=found.span.zone):
        n = group.given.kept.n
        ends = giveaway_interval_mg(
            [row for row in rows if week_of(row, found.span.zone) == group.name]
        )
        year, week = group.name.split("-W")
        weeks.append(
            Week(
                monday=date.fromisocalendar(int(year), int(week), 1),
                name=group.name,
                pieces=n,
                mean_mg=Fraction(group.given.giveaway.mg, n),
                interval_mg=None if ends is None else (Fraction(ends[0], n), Fraction(ends[1], n)),
            )
        )
    return tuple(weeks)
