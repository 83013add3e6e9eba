"""A statement -> what each change would save, with the range that the days show, the most first."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.quantities import MG_PER_G, decimals, grams, up_to_division
from weighstation.report.giveaway.cuts import first_of
from weighstation.report.giveaway.parts import Amount, Given, Part, given_away
from weighstation.report.giveaway.ranges import (
    Interval,
    bias_saving_mg,
    part_interval_mg,
    trim_saving_mg,
)
from weighstation.report.giveaway.too_light import too_light
from weighstation.report.page.local import Local

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from weighstation.report.giveaway.rows import LabelBasis, RunRow
    from weighstation.report.giveaway.statement import Statement

_ONE_RUN = "How sure that is cannot be said: it was a single batch, and it takes two."
PLAIN = Local()


@dataclass(frozen=True, slots=True)
class Saving:
    """What one change of one product would save in days like these.

    Parameters
    ----------
    product : str
    part : Part
        What it takes away.
    change : str
        What to do, in one plain sentence.
    amount : Amount
        What it would save.
    interval_mg : (2,) tuple of int, milligrams, or None
        Where that may lie; None where nobody can say.
    is_most : bool
        Whether it is the most that could be had: nobody scales, and no oven bakes, without spread.
    no_range : str
        Why there is no interval, in one or two plain sentences; empty where there is one.
    waits : bool
        Whether the product is scaled below its least lawful weight, which comes first.
    """

    product: str
    part: Part
    change: str
    amount: Amount
    interval_mg: Interval | None
    is_most: bool = False
    no_range: str = ""
    waits: bool = False

    @property
    def is_sure(self) -> bool:
        """Whether these days show that it saves something, and how much at least."""
        return self.interval_mg is not None and not (self.is_most or self.may_be_nothing)

    @property
    def may_be_nothing(self) -> bool:
        """Whether these days leave open that it saves nothing, or costs.

        An aim may lie below the lawful one, wherever nobody can say where that lies.
        """
        if self.interval_mg is None:
            return self.part is Part.AIM_ABOVE_LAWFUL
        return not self.is_most and self.interval_mg[0] <= 0

    @property
    def worth(self) -> tuple[bool, bool, bool, Fraction, Fraction]:
        """What savings are put in order by: at cost where there is one, else by weight.

        Of a product that is scaled too light for the law nothing is to be saved until it is scaled
        heavier, so those come last. What may be nothing comes after what is shown: nobody is sent
        to lower an aim towards the law by chance. Of what is the most that could be had, half is
        expected (house rules).
        """
        share = Fraction(1, 2) if self.is_most else Fraction(1)
        at_cost = share * self.amount.at_cost
        shown = not self.may_be_nothing
        return not self.waits, shown, bool(at_cost), at_cost, share * self.amount.mg

    def at_ends(self) -> tuple[Amount, Amount] | None:
        """Return the amounts at both ends of the interval, at the same prices.

        Returns
        -------
        (Amount, Amount) or None
        """
        if self.interval_mg is None:
            return None
        low, high = (_scaled(self.amount, mg) for mg in self.interval_mg)
        return low, high


def _scaled(amount: Amount, mg: int) -> Amount:
    share = Fraction(mg, amount.mg) if amount.mg else Fraction(0)
    return Amount(mg, amount.at_cost * share, amount.at_price * share)


def savings(found: Statement, local: Local = PLAIN) -> tuple[Saving, ...]:
    """Return what each change would save, the one that saves most first.

    Parameters
    ----------
    found : Statement
    local : Local
        How numbers are written in what to do.

    Returns
    -------
    tuple of Saving
        Changes that would save nothing are left out; those that may save nothing come last.
    """
    products = dict.fromkeys(row.product.name for row in found.rows)
    light = {each.product for each in too_light(found)}
    every = [
        replace(saving, waits=name in light)
        for name in products
        for saving in _of([row for row in found.rows if row.product.name == name], local)
        if saving.amount.mg > 0
    ]
    return tuple(sorted(every, key=lambda saving: saving.worth, reverse=True))


def _of(rows: Sequence[RunRow], local: Local) -> Iterator[Saving]:
    each = [given_away(row) for row in rows]
    given = sum(each, Given())
    yield _nearer(rows, given, local)
    yield _trimmed(rows, given)
    yield from _evener(rows, each)
    yield from _lower_aim(rows, local)


def _evener(rows: Sequence[RunRow], each: Sequence[Given]) -> Iterator[Saving]:
    """Yield the most that less spread would save; nothing of a spread that is assumed."""
    newest, name = rows[-1].basis, rows[-1].product.name
    for part, change, is_known in (
        (
            Part.OVEN_SPREAD,
            f"Even out the oven for '{name}'.",
            newest is not None and newest.knows_oven,
        ),
        (
            Part.BENCH_SPREAD,
            f"Scale '{name}' more evenly.",
            newest is not None and newest.knows_bench,
        ),
    ):
        if is_known:
            most = sum((_without_spread(given, part) for given in each), Amount())
            yield Saving(name, part, change, most, (0, most.mg), is_most=True)


def _without_spread(given: Given, part: Part) -> Amount:
    """Return what a run would save without a spread: what its scaling weight could come down by.

    Where it is below the lawful one, less spread makes good for that first.
    """
    spread, short_mg = given.part(part), min(0, given.part(Part.AIM_ABOVE_LAWFUL).mg)
    return _scaled(spread, max(0, spread.mg + short_mg))


def _nearer(rows: Sequence[RunRow], given: Given, local: Local) -> Saving:
    """Return what cutting on the scaling weight would save; its part, where no first cut is known.

    A hand that is off moves pieces out of the band too, which the part does not hold.
    """
    name, part = rows[-1].product.name, Part.MEAN_OFF_AIM
    found = bias_saving_mg(rows)
    if found is None:
        in_band = given.kept.n - given.heavy - given.light
        off_mg = Fraction(given.part(part).mg, in_band) if in_band else Fraction(0)
        amount, interval, which = (
            given.part(part),
            part_interval_mg(rows, part),
            "pieces in the band",
        )
    else:
        off_mg = first_of(rows).mean_d_mg or Fraction(0)
        amount, interval, which = _worth(rows, found[0]), found[1], "first cuts"
    off = local.signed(off_mg / MG_PER_G, decimals(min(rows[-1].state.division_mg, 100)))
    change = f"Cut '{name}' nearer to its scaling weight: {which} average {off} g."
    return Saving(name, part, change, amount, interval, no_range=_no_range(interval))


def _trimmed(rows: Sequence[RunRow], given: Given) -> Saving:
    """Return what trimming every heavy piece would save."""
    name, part = rows[-1].product.name, Part.HEAVY_OUT_OF_BAND
    saving_mg, interval = trim_saving_mg(rows)
    pieces = "1 piece" if given.heavy == 1 else f"{given.heavy} pieces"
    return Saving(
        name,
        part,
        f"Trim '{name}' where the scale says so: {pieces} went out above the band.",
        _scaled(given.part(part), round(saving_mg)),
        interval,
        no_range=_no_range(interval),
    )


def _no_range(interval: Interval | None) -> str:
    return "" if interval else _ONE_RUN


def _worth(rows: Sequence[RunRow], mg: float) -> Amount:
    """Return what so much of the dough of these runs is worth, at the prices of each."""
    costs = _mean_per_mg(rows, [row.cost_per_mg for row in rows])
    prices = _mean_per_mg(rows, [row.price_per_mg for row in rows])
    return Amount(round(mg), round(mg) * costs, round(mg) * prices)


def _mean_per_mg(rows: Sequence[RunRow], each: Sequence[Fraction | None]) -> Fraction:
    pairs = zip(rows, each, strict=True)
    money = sum((row.state.kept.n * (per_mg or Fraction(0)) for row, per_mg in pairs), Fraction(0))
    return money / sum(row.state.kept.n for row in rows)


def _lower_aim(rows: Sequence[RunRow], local: Local) -> Iterator[Saving]:
    """Yield what the least lawful scaling weight of the newest promise would save."""
    newest = rows[-1]
    basis, target_mg = newest.basis, newest.state.target_mg
    if basis is None:
        return
    lawful_mg = up_to_division(basis.lawful_mg, newest.state.division_mg)
    same = [row for row in rows if row.is_scaled_as(newest)]
    pieces = sum(row.state.kept.n for row in same)
    part = sum(map(given_away, same), Given()).part(Part.AIM_ABOVE_LAWFUL)
    if lawful_mg >= target_mg or part.mg <= 0:
        return
    at, in_place_of = (local.sentence(f"{grams(mg):g}") for mg in (lawful_mg, target_mg))
    yield Saving(
        newest.product.name,
        Part.AIM_ABOVE_LAWFUL,
        f"Scale '{newest.product.name}' at {at} g in place of {in_place_of} g,"
        " if your local code and your own records agree.",
        _scaled(part, pieces * (target_mg - lawful_mg)),
        _lower_by_mg(newest, basis, pieces),
        no_range=basis.no_range,
    )


def _lower_by_mg(newest: RunRow, basis: LabelBasis, pieces: int) -> Interval | None:
    """Return between what an aim lowered to the lawful weight saves, as far as that is known."""
    if basis.lawful_interval_mg is None:
        return None
    low, high = (up_to_division(end, newest.state.division_mg) for end in basis.lawful_interval_mg)
    return pieces * (newest.state.target_mg - high), pieces * (newest.state.target_mg - low)
