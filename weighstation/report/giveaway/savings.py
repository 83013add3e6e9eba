"""A statement -> what each change would save, with the range that the days show, the most first."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import t_quantile
from weighstation.quantities import decimals, grams, up_to_division
from weighstation.report.giveaway.lawful_range import CONFIDENCE
from weighstation.report.giveaway.parts import BENCH_PARTS, Amount, Given, Part, given_away
from weighstation.report.page.local import Local

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from weighstation.report.giveaway.rows import LabelBasis, RunRow
    from weighstation.report.giveaway.statement import Statement

_ONE_RUN = "How sure that is cannot be said: it was a single batch, and it takes two."
PLAIN = Local()
Interval = tuple[int, int]


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
    """

    product: str
    part: Part
    change: str
    amount: Amount
    interval_mg: Interval | None
    is_most: bool = False
    no_range: str = ""

    @property
    def may_be_nothing(self) -> bool:
        """Whether these days leave open that it saves nothing, or costs.

        An aim may lie below the lawful one, wherever nobody can say where that lies.
        """
        if self.interval_mg is None:
            return self.part is Part.AIM_ABOVE_LAWFUL
        return not self.is_most and self.interval_mg[0] <= 0

    @property
    def worth(self) -> tuple[bool, bool, Fraction, Fraction]:
        """What savings are put in order by: at cost where there is one, else by weight.

        What may be nothing comes after what is shown: nobody is sent to lower an aim towards the
        law by chance. Of what is the most that could be had, half is expected (house rules).
        """
        share = Fraction(1, 2) if self.is_most else Fraction(1)
        at_cost = share * self.amount.at_cost
        return not self.may_be_nothing, bool(at_cost), at_cost, share * self.amount.mg

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
    share = Fraction(mg, amount.mg)
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
    every = [
        saving
        for name in products
        for saving in _of([row for row in found.rows if row.product.name == name], local)
        if saving.amount.mg > 0
    ]
    return tuple(sorted(every, key=lambda saving: saving.worth, reverse=True))


def part_interval_mg(rows: Sequence[RunRow], part: Part) -> Interval | None:
    """Return where a part of days like these lies, as far as its runs differ.

    Parameters
    ----------
    rows : sequence of RunRow
        Of one product.
    part : Part

    Returns
    -------
    (2,) tuple of int, milligrams, or None
        None where there are fewer than two runs, or a label without a range of its lawful weight.

    Notes
    -----
    What the bench did: the total of a ratio estimator over runs, x_r per n_r pieces, with
    SE^2 = R / (R - 1) sum (x_r - m n_r)^2 and Student's t (Cochran 1977, Sampling Techniques,
    section 6.4, without the finite population's factor: next week is drawn anew). What the label
    asks for: the ends of the lawful scaling weight.
    """
    if part in BENCH_PARTS:
        return _between_runs_mg([(given.part(part).mg, given.kept.n) for given in _each(rows)])
    low = high = 0
    for row in rows:
        if row.basis is None or row.basis.lawful_interval_mg is None:
            return None
        ends = [end - row.basis.lawful_mg for end in row.basis.lawful_interval_mg]
        if part is Part.AIM_ABOVE_LAWFUL:
            ends = [-ends[1], -ends[0]]
        low, high = low + row.state.kept.n * ends[0], high + row.state.kept.n * ends[1]
    middle = sum(given_away(row).part(part).mg for row in rows)
    return middle + low, middle + high


def giveaway_interval_mg(rows: Sequence[RunRow]) -> Interval | None:
    """Return where the give-away of days like these lies, as `part_interval_mg` does for a part.

    Parameters
    ----------
    rows : sequence of RunRow
        Of one product.

    Returns
    -------
    (2,) tuple of int, milligrams, or None
        None where there are fewer than two runs.
    """
    return _between_runs_mg([(given.giveaway.mg, given.kept.n) for given in _each(rows)])


def _each(rows: Iterable[RunRow]) -> list[Given]:
    return [given_away(row) for row in rows]


def _between_runs_mg(given: Sequence[tuple[int, int]]) -> Interval | None:
    """Return the interval of a total from what each run gave, in milligrams, and its pieces."""
    runs = len(given)
    if runs < 2:
        return None
    total = sum(mg for mg, _ in given)
    mean = Fraction(total, sum(n for _, n in given))
    squares = sum(float(mg - mean * n) ** 2 for mg, n in given)
    se = math.sqrt(runs / (runs - 1) * squares)
    reach = round(t_quantile((1 + CONFIDENCE) / 2, df=runs - 1) * se)
    return total - reach, total + reach


def _of(rows: Sequence[RunRow], local: Local) -> Iterator[Saving]:
    given = sum(map(given_away, rows), Given())
    name, division_mg = rows[-1].product.name, rows[-1].state.division_mg
    in_band = given.kept.n - given.heavy - given.light
    for part, change in (
        (Part.MEAN_OFF_AIM, _lighter(given, in_band, name, division_mg, local)),
        (Part.HEAVY_OUT_OF_BAND, _trim(given.heavy, name)),
    ):
        ends = part_interval_mg(rows, part)
        no_range = "" if ends else _ONE_RUN
        yield Saving(name, part, f"{change}.", given.part(part), ends, no_range=no_range)
    for part, change in (
        (Part.OVEN_SPREAD, f"Even out the oven for '{name}'."),
        (Part.BENCH_SPREAD, f"Scale '{name}' more evenly."),
    ):
        most = given.part(part)
        yield Saving(name, part, change, most, (0, most.mg), is_most=True)
    yield from _lower_aim(rows, local)


def _lighter(given: Given, in_band: int, name: str, division_mg: int, local: Local) -> str:
    off_mg = round(Fraction(given.part(Part.MEAN_OFF_AIM).mg, in_band)) if in_band else 0
    off = local.signed(Fraction(off_mg, 1000), decimals(min(division_mg, 100)))
    return f"Cut '{name}' nearer to its scaling weight: pieces in the band average {off} g"


def _trim(heavy: int, name: str) -> str:
    pieces = "1 piece" if heavy == 1 else f"{heavy} pieces"
    return f"Trim '{name}' where the scale says so: {pieces} went out above the band"


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
