"""A product's days with another aim, band, spread or price -> what they would have given away."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import BatchSpread
from weighstation.quantities import grams, mg_from_grams, up_to_division
from weighstation.report.giveaway.basis import least_lawful_mg
from weighstation.report.giveaway.bench_model import reckoned

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from decimal import Decimal

    from weighstation.report.giveaway.basis import Known
    from weighstation.report.giveaway.bench_model import BenchModel, Reckoned
    from weighstation.specification import Limits

_WIDTHS = 12
_S_PER_H = 3600
_MG_PER_KG = 1_000_000


@dataclass(frozen=True, slots=True)
class Days:
    """What the days of a product were, and what they cost.

    Parameters
    ----------
    model : BenchModel
    limits : Limits
        Scaling weight and band that were promised.
    division_mg : int, milligrams
    known : Known or None
        For the lawful scaling weight; None where nothing is declared.
    cost_per_kg : Decimal or None
        Of dough, as it was set when these days were divided.
    wage_per_h : Decimal or None
        Of whoever divides; None leaves labour in seconds.
    otherwise : int
        Pieces of the product in these days that are left out, because they had another scaling
        weight, band or label.
    """

    model: BenchModel
    limits: Limits
    division_mg: int
    known: Known | None = None
    cost_per_kg: Decimal | None = None
    wage_per_h: Decimal | None = None
    otherwise: int = 0

    @property
    def pieces(self) -> int:
        """How many pieces it is reckoned from."""
        return len(self.model.first_g)

    @property
    def left_out(self) -> str:
        """How many pieces it is not reckoned from, and why, in plain sentences; empty for none."""
        every = self.pieces + self.otherwise + self.model.unknown
        reasons = [
            f"{n} {why}"
            for n, why in (
                (self.otherwise, "had another scaling weight, band or label than the newest"),
                (self.model.unknown, "have no first cut or no touches on record"),
            )
            if n
        ]
        if not reasons:
            return ""
        return f"Left out are {every - self.pieces} of {every} pieces: {', and '.join(reasons)}."

    def now(self) -> Reckoned:
        """Return what today's band makes of the first cuts."""
        return reckoned(
            self.model, under_g=grams(self.limits.under_mg), over_g=grams(self.limits.over_mg)
        )


@dataclass(frozen=True, slots=True)
class Change:
    """What is put in the place of what was.

    Parameters
    ----------
    aim_mg : int, milligrams, or None
        Scaling weight.
    under_mg, over_mg : int, milligrams, or None
        Band.
    spread_times : float
        First cuts lie so many times as far from their mean.
    is_lawful_aim : bool
        The least lawful scaling weight that the scale can show, in the place of ``aim_mg``.
    cost_per_kg : Decimal or None
        Of dough.
    """

    aim_mg: int | None = None
    under_mg: int | None = None
    over_mg: int | None = None
    spread_times: float = 1.0
    is_lawful_aim: bool = False
    cost_per_kg: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What days would have been.

    Parameters
    ----------
    limits : Limits
    bench : Reckoned
    lawful_mg : int, milligrams, or None
        Least lawful scaling weight for the spread that comes of it.
    dough_mg : int, milligrams
        Of all pieces.
    cost_per_kg : Decimal or None
        Of dough.
    labour_s : float, seconds, or None
        On the pan, all pieces.
    labour_money : Fraction or None
    """

    limits: Limits
    bench: Reckoned
    lawful_mg: int | None
    dough_mg: int
    cost_per_kg: Decimal | None
    labour_s: float | None
    labour_money: Fraction | None

    @property
    def is_lawful(self) -> bool | None:
        """Whether the scaling weight is at least the lawful one; None where that is not known."""
        return None if self.lawful_mg is None else self.limits.target_mg >= self.lawful_mg

    @property
    def dough_money(self) -> Fraction | None:
        """What the dough costs; None where it has no price."""
        return None if self.cost_per_kg is None else cost_of(self.dough_mg, self.cost_per_kg)

    @property
    def money(self) -> Fraction | None:
        """Dough and, where it has a price, labour; None where dough has none."""
        if self.dough_money is None:
            return None
        return self.dough_money + (self.labour_money or 0)


def cost_of(dough_mg: int, cost_per_kg: Decimal) -> Fraction:
    """Return what dough costs.

    Parameters
    ----------
    dough_mg : int, milligrams
    cost_per_kg : Decimal

    Returns
    -------
    Fraction
    """
    return Fraction(cost_per_kg) * Fraction(dough_mg, _MG_PER_KG)


def what_if(days: Days, change: Change) -> Outcome:
    """Return what days would have been with something changed.

    Parameters
    ----------
    days : Days
    change : Change
        With nothing in it, the days as they are reckoned; compare with that and not with what was
        measured, so that what the reckoning leaves out stands on both sides.

    Returns
    -------
    Outcome

    Raises
    ------
    SpecificationError
        If no piece was touched, or none ever lay in such a band then, or the lawful aim is asked
        for and not known.
    """
    return _outcome(days, change, days.now())


def _outcome(days: Days, change: Change, now: Reckoned) -> Outcome:
    band = _band(days, change)
    bench = reckoned(
        days.model,
        under_g=grams(band.under_mg),
        over_g=grams(band.over_mg),
        spread_times=change.spread_times,
    )
    lawful_mg = _lawful_mg(days, bench, now)
    target_mg = days.limits.target_mg if change.aim_mg is None else change.aim_mg
    if change.is_lawful_aim:
        target_mg = up_to_division(_required(lawful_mg), days.division_mg)
    labour_s = None if bench.seconds is None else days.pieces * bench.seconds
    return Outcome(
        limits=replace(band, target_mg=target_mg),
        bench=bench,
        lawful_mg=lawful_mg,
        dough_mg=days.pieces * (target_mg + mg_from_grams(bench.mean_g)),
        cost_per_kg=days.cost_per_kg if change.cost_per_kg is None else change.cost_per_kg,
        labour_s=labour_s,
        labour_money=None
        if labour_s is None or days.wage_per_h is None
        else Fraction(days.wage_per_h) * Fraction(labour_s) / _S_PER_H,
    )


def _band(days: Days, change: Change) -> Limits:
    """Return the band that is asked for; refuse one that nothing is known of."""
    limits = replace(
        days.limits,
        under_mg=days.limits.under_mg if change.under_mg is None else change.under_mg,
        over_mg=days.limits.over_mg if change.over_mg is None else change.over_mg,
    )
    is_known = days.model.touched_g or not days.model.leaves(limits.under_mg, limits.over_mg)
    if limits != days.limits and not is_known:
        raise SpecificationError(
            "Nobody touched a piece in these days, so nothing says what another band would do.",
            hint="Choose other days with --from and --to.",
        )
    return limits


NO_CHANGE = Change()


def bands(days: Days, change: Change = NO_CHANGE) -> tuple[Outcome, ...]:
    """Return what bands from narrow to wide would do, each at its own lawful scaling weight.

    Parameters
    ----------
    days : Days
    change : Change
        Its spread and its price are taken, its aim and its band are not.

    Returns
    -------
    tuple of Outcome
        As wide below as above, in steps of the scale; those that nothing is known of are left out.
        Empty where the lawful scaling weight is not known.
    """
    now = days.now()
    changes = (
        replace(change, aim_mg=None, under_mg=mg, over_mg=mg, is_lawful_aim=True)
        for mg in widths_mg(days)
    )
    return tuple(_known(days, changes, now))


def widths_mg(days: Days) -> range:
    """Return half the widths of the bands that are tried, whether anything is known of them or not.

    Parameters
    ----------
    days : Days

    Returns
    -------
    range of int, milligrams
    """
    widest_mg = 2 * max(days.limits.under_mg, days.limits.over_mg)
    step_mg = days.division_mg * max(1, round(widest_mg / days.division_mg / _WIDTHS))
    return range(step_mg, widest_mg + 1, step_mg)


def _known(days: Days, changes: Iterable[Change], now: Reckoned) -> Iterator[Outcome]:
    for change in changes:
        try:
            yield _outcome(days, change, now)
        except SpecificationError:
            continue


def best(outcomes: Iterable[Outcome]) -> Outcome | None:
    """Return the cheapest band, dough and labour together; of those alike to the cent the widest.

    Parameters
    ----------
    outcomes : iterable of Outcome

    Returns
    -------
    Outcome or None
        None where nothing has a price.
    """
    priced = [each for each in outcomes if each.money is not None]
    return min(
        priced, key=lambda each: (round(each.money or 0, 2), -each.limits.over_mg), default=None
    )


@dataclass(frozen=True, slots=True)
class Alike:
    """Bands that cost about the same.

    Parameters
    ----------
    best, narrowest, widest : Outcome
        The cheapest of all, and the ends of what lies around it.
    more : Fraction
        The dearest of them costs so much more than the best.
    step : Fraction
        What a step of the scale on every piece costs: none of them costs more above the best.
    """

    best: Outcome
    narrowest: Outcome
    widest: Outcome
    more: Fraction
    step: Fraction


def alike(days: Days, outcomes: Sequence[Outcome]) -> Alike | None:
    """Return the bands around the cheapest that cost no more than a step of the scale a piece.

    Parameters
    ----------
    days : Days
    outcomes : sequence of Outcome
        As `bands` gives them.

    Returns
    -------
    Alike or None
        None where nothing has a price.

    Notes
    -----
    Each band is reckoned at its lawful scaling weight, rounded up to a step of the scale: what is
    less than that step on every piece is made by rounding, and says nothing of the band.
    """
    cheapest = best(outcomes)
    if cheapest is None or cheapest.cost_per_kg is None or cheapest.money is None:
        return None
    step = cost_of(days.pieces * days.division_mg, cheapest.cost_per_kg)
    more = [(each.money or 0) - cheapest.money for each in outcomes]
    first = last = outcomes.index(cheapest)
    while first and more[first - 1] <= step:
        first -= 1
    while last + 1 < len(outcomes) and more[last + 1] <= step:
        last += 1
    dearest = Fraction(max(more[first : last + 1]))
    return Alike(cheapest, outcomes[first], outcomes[last], dearest, step)


def _lawful_mg(days: Days, bench: Reckoned, now: Reckoned) -> int | None:
    """Return the least lawful scaling weight, its spread moved as the band moves that of pieces."""
    known = days.known
    if known is None:
        return None
    sd_g = known.bench.sd_g * (bench.sd_g / now.sd_g if now.sd_g else 1.0)
    measured = known.bench.measured or BatchSpread(1, days.pieces, known.bench.sd_g, 0.0)
    moved = replace(known.bench, measured=replace(measured, sd_g=sd_g))
    loaves = known.loaves
    if loaves is not None:
        oven = known.evenness_of_the_oven.sd_g
        carried = moved.evenness(carry=known.loss.carry).sd_g
        loaves = replace(loaves, sd_g=math.hypot(oven, carried))
    return least_lawful_mg(replace(known, bench=moved, loaves=loaves))


def _required(lawful_mg: int | None) -> int:
    if lawful_mg is None:
        raise SpecificationError(
            "Nothing says what the lawful scaling weight is.",
            hint="Give the product declared_g and [product.losses] in products.toml.",
        )
    return lawful_mg
