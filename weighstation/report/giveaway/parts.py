"""Counted pieces -> what they gave away, cause by cause, in integers that add up."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.journal.sums import NO_WEIGHTS, Sums
from weighstation.monitor.process.giveaway import expected_over_g
from weighstation.quantities import MG_PER_G

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from weighstation.report.giveaway.rows import LabelBasis, RunRow


class Part(StrEnum):
    """A cause of give-away; from the label up to the last gram."""

    OVEN_SPREAD = "oven_spread"
    BENCH_SPREAD = "bench_spread"
    AIM_ABOVE_LAWFUL = "aim_above_lawful"
    MEAN_OFF_AIM = "mean_off_aim"
    HEAVY_OUT_OF_BAND = "heavy_out_of_band"
    LIGHT_OUT_OF_BAND = "light_out_of_band"


LABEL_PARTS = (Part.OVEN_SPREAD, Part.BENCH_SPREAD, Part.AIM_ABOVE_LAWFUL)
"""From the declared weight to the scaling weight: what was decided before the first piece."""
BENCH_PARTS = (Part.MEAN_OFF_AIM, Part.HEAVY_OUT_OF_BAND, Part.LIGHT_OUT_OF_BAND)
"""From the scaling weight to the scale: what the bench did."""


_FREE = Fraction(0)


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount of dough, and what it is worth.

    Parameters
    ----------
    mg : int, milligrams
    at_cost, at_price : Fraction
        At the cost of dough, and as bread that could have been sold; exact.
    """

    mg: int = 0
    at_cost: Fraction = _FREE
    at_price: Fraction = _FREE

    def __add__(self, other: Amount) -> Amount:
        return Amount(
            self.mg + other.mg, self.at_cost + other.at_cost, self.at_price + other.at_price
        )


NO_AMOUNT = Amount()


def expected_overs_mg(kept: Sums) -> float | None:
    """Return the sum of overs that weights with this mean and spread have if they are normal.

    Parameters
    ----------
    kept : Sums
        Over d = net - scaling weight, of one product.

    Returns
    -------
    float, milligrams, or None
        None below two weights, and of weights without spread.

    Notes
    -----
    ``n`` times `weighstation.monitor.expected_over_g` of d about 0. Far more overs than
    that are a few heavy pieces; about as many come of mean and spread.
    """
    mean_mg, sd_mg = kept.mean_d_mg, kept.sd_mg
    if mean_mg is None or not sd_mg:
        return None
    each_g = expected_over_g(float(mean_mg) / MG_PER_G, sd_g=sd_mg / MG_PER_G, target_g=0)
    return kept.n * MG_PER_G * each_g


@dataclass(frozen=True, slots=True)
class Given:
    """What some counted pieces gave away.

    Parameters
    ----------
    kept : Sums
        Over d = net - scaling weight.
    net_mg : int, milligrams
        What they weigh together.
    parts : Mapping of Part to Amount
        A part that no piece has is left out.
    labelled : int
        How many of them the parts from the label on are known of.
    labelled_d_mg : int, milligrams
        Sum of d of those.
    overs : Amount
        Sum of the positive d alone.
    costed, priced : int
        How many of them have a cost of dough, and a selling price.
    heavy, light : int
        How many of them left above and below the band.
    sold_as : frozenset of int or str
        The declared weights of them in milligrams; the name of a product that declares none.
    """

    kept: Sums = NO_WEIGHTS
    net_mg: int = 0
    parts: Mapping[Part, Amount] = field(default_factory=dict)
    labelled: int = 0
    labelled_d_mg: int = 0
    overs: Amount = NO_AMOUNT
    costed: int = 0
    priced: int = 0
    heavy: int = 0
    light: int = 0
    sold_as: frozenset[int | str] = frozenset()

    def __add__(self, other: Given) -> Given:
        return Given(
            self.kept + other.kept,
            self.net_mg + other.net_mg,
            {
                part: self.part(part) + other.part(part)
                for part in Part
                if part in self.parts or part in other.parts
            },
            self.labelled + other.labelled,
            self.labelled_d_mg + other.labelled_d_mg,
            self.overs + other.overs,
            self.costed + other.costed,
            self.priced + other.priced,
            self.heavy + other.heavy,
            self.light + other.light,
            self.sold_as | other.sold_as,
        )

    def part(self, part: Part) -> Amount:
        """Return a part; nothing where no piece has it.

        Parameters
        ----------
        part : Part

        Returns
        -------
        Amount
        """
        return self.parts.get(part, NO_AMOUNT)

    @property
    def is_alike(self) -> bool:
        """Whether all are sold by one weight; else a mean of them says nothing."""
        return len(self.sold_as) < 2

    @property
    def mean_mg(self) -> Fraction | None:
        """Mean weight of a piece, in milligrams; None of none, and of products of several sizes."""
        return Fraction(self.net_mg, self.kept.n) if self.kept.n and self.is_alike else None

    @property
    def sd_mg(self) -> float | None:
        """Standard deviation of d, in milligrams; None below two, and where there is no mean."""
        return self.kept.sd_mg if self.is_alike else None

    @property
    def giveaway(self) -> Amount:
        """Mean minus scaling weight, times pieces."""
        return sum((self.part(part) for part in BENCH_PARTS), NO_AMOUNT)

    @property
    def from_label(self) -> Amount:
        """What lies between the label and the scaling weight, of the pieces that have both."""
        return sum((self.part(part) for part in LABEL_PARTS), NO_AMOUNT)

    @property
    def causes(self) -> tuple[Part, ...]:
        """The parts that it is taken into: from the label on where some pieces have one."""
        return (*LABEL_PARTS, *BENCH_PARTS) if self.labelled else BENCH_PARTS

    @property
    def over_label_mg(self) -> int | None:
        """Dough beyond what the label asks for, in milligrams; None unless all pieces have one."""
        if not self.kept.n or self.labelled != self.kept.n:
            return None
        return self.from_label.mg + self.giveaway.mg

    @property
    def target_mg(self) -> int:
        """The scaling weights of the pieces together."""
        return self.net_mg - self.kept.sum_d_mg


_OF_VERDICT = {
    Verdict.KEEP: Part.MEAN_OFF_AIM,
    Verdict.TRIM: Part.HEAVY_OUT_OF_BAND,
    Verdict.ONE_AT_A_TIME: Part.HEAVY_OUT_OF_BAND,
    Verdict.ADD: Part.LIGHT_OUT_OF_BAND,
}


def given_away(row: RunRow) -> Given:
    """Return what a run gave away.

    Parameters
    ----------
    row : RunRow

    Returns
    -------
    Given
    """
    return sum((given for _, given in by_dough_age(row)), Given())


def by_dough_age(row: RunRow) -> Iterator[tuple[int, Given]]:
    """Yield what a run gave away in each hour of its dough.

    Parameters
    ----------
    row : RunRow

    Yields
    ------
    int, hours
        Whole hours of dough age; below 0 where nobody said.
    Given
    """
    ages: dict[int, dict[Part, Sums]] = {}
    for key, sums in row.tally.items():
        bench = ages.setdefault(key.dough_age_h, {})
        part = _OF_VERDICT[key.verdict]
        bench[part] = bench.get(part, NO_WEIGHTS) + sums
    for age_h in sorted(ages):
        yield age_h, _given(row, ages[age_h])


def _given(row: RunRow, bench: Mapping[Part, Sums]) -> Given:
    kept, basis = sum(bench.values(), NO_WEIGHTS), row.basis
    mg = {part: sums.sum_d_mg for part, sums in bench.items()}
    if basis is not None:
        mg |= {part: kept.n * step for part, step in _steps(basis, row.state.target_mg)}
    return Given(
        kept=kept,
        net_mg=kept.n * row.state.target_mg + kept.sum_d_mg,
        parts={part: _amount(row, mg[part]) for part in Part if part in mg},
        labelled=0 if basis is None else kept.n,
        labelled_d_mg=0 if basis is None else kept.sum_d_mg,
        overs=_amount(row, kept.sum_over_mg),
        costed=0 if row.cost_per_mg is None else kept.n,
        priced=0 if row.price_per_mg is None else kept.n,
        heavy=bench.get(Part.HEAVY_OUT_OF_BAND, NO_WEIGHTS).n,
        light=bench.get(Part.LIGHT_OUT_OF_BAND, NO_WEIGHTS).n,
        sold_as=frozenset({row.product.declared_mg or row.product.name}),
    )


def _steps(basis: LabelBasis, target_mg: int) -> Iterable[tuple[Part, int]]:
    """Return what lies between label and scaling weight of one piece, step by step."""
    at_mg = (basis.label_mg, basis.oven_mg, basis.lawful_mg, target_mg)
    return [
        (part, high - low) for part, low, high in zip(LABEL_PARTS, at_mg, at_mg[1:], strict=False)
    ]


def _amount(row: RunRow, mg: int) -> Amount:
    return Amount(mg, mg * (row.cost_per_mg or _FREE), mg * (row.price_per_mg or _FREE))
