"""A product's days with another aim, band, spread or price -> what they would have given away."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import BatchSpread
from weighstation.quantities import grams, mg_from_grams, up_to_division
from weighstation.report.giveaway.basis import label_basis
from weighstation.report.giveaway.bench_model import reckoned

if TYPE_CHECKING:
    from collections.abc import Iterable
    from decimal import Decimal

    from weighstation.report.giveaway.basis import Known
    from weighstation.report.giveaway.bench_model import BenchModel, Reckoned
    from weighstation.specification import Limits

_WIDTHS = 12
_S_PER_H = 3600


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
        Of dough.
    wage_per_h : Decimal or None
        Of whoever divides; None leaves labour in seconds.
    """

    model: BenchModel
    limits: Limits
    division_mg: int
    known: Known | None = None
    cost_per_kg: Decimal | None = None
    wage_per_h: Decimal | None = None

    @property
    def pieces(self) -> int:
        """How many pieces there were."""
        return len(self.model.first_g)


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
    """

    aim_mg: int | None = None
    under_mg: int | None = None
    over_mg: int | None = None
    spread_times: float = 1.0
    is_lawful_aim: bool = False


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
    dough_money : Fraction or None
        What that costs.
    labour_s : float, seconds, or None
        On the pan, all pieces.
    labour_money : Fraction or None
    """

    limits: Limits
    bench: Reckoned
    lawful_mg: int | None
    dough_mg: int
    dough_money: Fraction | None
    labour_s: float | None
    labour_money: Fraction | None

    @property
    def is_lawful(self) -> bool | None:
        """Whether the scaling weight is at least the lawful one; None where that is not known."""
        return None if self.lawful_mg is None else self.limits.target_mg >= self.lawful_mg

    @property
    def money(self) -> Fraction | None:
        """Dough and, where it has a price, labour; None where dough has none."""
        if self.dough_money is None:
            return None
        return self.dough_money + (self.labour_money or 0)


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
    under_mg = days.limits.under_mg if change.under_mg is None else change.under_mg
    over_mg = days.limits.over_mg if change.over_mg is None else change.over_mg
    is_other_band = (under_mg, over_mg) != (days.limits.under_mg, days.limits.over_mg)
    if is_other_band and not days.model.touched_g and days.model.leaves(under_mg, over_mg):
        raise SpecificationError(
            "Nobody touched a piece in these days, so nothing says what another band would do.",
            hint="Choose other days with --from and --to.",
        )
    bench = reckoned(
        days.model,
        under_g=grams(under_mg),
        over_g=grams(over_mg),
        spread_times=change.spread_times,
    )
    lawful_mg = _lawful_mg(days, bench)
    target_mg = days.limits.target_mg if change.aim_mg is None else change.aim_mg
    if change.is_lawful_aim:
        target_mg = up_to_division(_required(lawful_mg), days.division_mg)
    limits = replace(days.limits, target_mg=target_mg, under_mg=under_mg, over_mg=over_mg)
    dough_mg = days.pieces * (target_mg + mg_from_grams(bench.mean_g))
    labour_s = None if bench.seconds is None else days.pieces * bench.seconds
    return Outcome(
        limits=limits,
        bench=bench,
        lawful_mg=lawful_mg,
        dough_mg=dough_mg,
        dough_money=None
        if days.cost_per_kg is None
        else Fraction(days.cost_per_kg) * Fraction(dough_mg, 1_000_000),
        labour_s=labour_s,
        labour_money=None
        if labour_s is None or days.wage_per_h is None
        else Fraction(days.wage_per_h) * Fraction(labour_s) / _S_PER_H,
    )


def bands(days: Days) -> tuple[Outcome, ...]:
    """Return what bands from narrow to wide would do, each at its own lawful scaling weight.

    Parameters
    ----------
    days : Days

    Returns
    -------
    tuple of Outcome
        As wide below as above, in steps of the scale; those that nothing is known of are left out.
        Empty where the lawful scaling weight is not known.
    """
    widest_mg = 2 * max(days.limits.under_mg, days.limits.over_mg)
    step_mg = days.division_mg * max(1, round(widest_mg / days.division_mg / _WIDTHS))
    changes = (
        Change(under_mg=mg, over_mg=mg, is_lawful_aim=True)
        for mg in range(step_mg, widest_mg + 1, step_mg)
    )
    return tuple(_known(days, changes))


def _known(days: Days, changes: Iterable[Change]) -> Iterable[Outcome]:
    for change in changes:
        try:
            yield what_if(days, change)
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


def _lawful_mg(days: Days, bench: Reckoned) -> int | None:
    """Return the least lawful scaling weight, its spread moved as the band moves that of pieces."""
    known = days.known
    if known is None:
        return None
    now = reckoned(
        days.model, under_g=grams(days.limits.under_mg), over_g=grams(days.limits.over_mg)
    )
    sd_g = known.bench.sd_g * (bench.sd_g / now.sd_g if now.sd_g else 1.0)
    measured = known.bench.measured or BatchSpread(1, days.pieces, known.bench.sd_g, 0.0)
    moved = replace(known.bench, measured=replace(measured, sd_g=sd_g))
    loaves = known.loaves
    if loaves is not None:
        oven = known.evenness_of_the_oven.sd_g
        carried = moved.evenness(carry=known.loss.carry).sd_g
        loaves = replace(loaves, sd_g=math.hypot(oven, carried))
    basis = label_basis(replace(known, bench=moved, loaves=loaves))
    return None if basis is None else basis.lawful_mg


def _required(lawful_mg: int | None) -> int:
    if lawful_mg is None:
        raise SpecificationError(
            "Nothing says what the lawful scaling weight is.",
            hint="Give the product declared_g and [product.losses] in products.toml.",
        )
    return lawful_mg
