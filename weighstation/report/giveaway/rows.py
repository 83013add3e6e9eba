"""What a statement of give-away is worked out from: runs, and what their label asks for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal

    from weighstation.journal import RunState, Sums, TallyKey
    from weighstation.specification import Guard, Limits, Product


@dataclass(frozen=True, slots=True)
class LabelBasis:
    """What the declared weight of a product asks of a piece of dough, in four steps upwards.

    Parameters
    ----------
    label_mg : int, milligrams
        Dough that bakes to just the declared weight.
    oven_mg : int, milligrams
        Least lawful scaling weight if all pieces were equal: the oven's spread alone asks for it.
    lawful_mg : int, milligrams
        Least lawful scaling weight for the spread that bench and oven had.
    kept_share : Fraction
        Grams of bread for a gram of dough.
    lawful_interval_mg : (2,) tuple of int, milligrams, or None
        Where ``lawful_mg`` lies at 95 %; None where spread or loss is assumed, or lots are too few.
    said_by : str
        Where loss, spread and rule come from, in plain sentences.
    no_range : str
        Why there is no interval, in one or two plain sentences; empty where there is one.
    knows_oven, knows_bench : bool
        Whether baked loaves, and kept pieces, were enough to say how they vary; else it is assumed.
    """

    label_mg: int
    oven_mg: int
    lawful_mg: int
    kept_share: Fraction
    lawful_interval_mg: tuple[int, int] | None
    said_by: str
    no_range: str = ""
    knows_oven: bool = True
    knows_bench: bool = True


@dataclass(frozen=True, slots=True)
class RunRow:
    """One run, as a statement reads it: its promise and its integers, no piece.

    Parameters
    ----------
    state : RunState
    tally : Mapping of TallyKey to Sums
    product : Product
        As it was promised when the run began, with the band that its pieces were cued by.
    currency : str
        Of its prices; empty where it has none.
    person : str
        Initials; empty where nobody said.
    basis : LabelBasis or None
        None where nothing is declared, nothing says what the oven takes, or no rule can be held
        against it.
    guard : Guard or None
        How that band was drawn in.
    remark : str
        What is to be minded of its rule, in plain sentences; empty where nothing is.
    """

    state: RunState
    tally: Mapping[TallyKey, Sums]
    product: Product
    currency: str = ""
    person: str = ""
    basis: LabelBasis | None = None
    guard: Guard | None = None
    remark: str = ""

    @property
    def promised_limits(self) -> Limits:
        """The band as it was before it was drawn in."""
        limits = self.product.limits
        return limits if self.guard is None else self.guard.widened(limits)

    @property
    def has_money(self) -> bool:
        """Whether anything of it can be reckoned in money."""
        return self.cost_per_mg is not None or self.price_per_mg is not None

    def is_scaled_as(self, other: RunRow) -> bool:
        """Return whether both had one scaling weight, band and label; guard and prices may differ.

        Parameters
        ----------
        other : RunRow

        Returns
        -------
        bool
        """
        return self.promised_limits == other.promised_limits and self.basis == other.basis

    @property
    def cost_per_mg(self) -> Fraction | None:
        """Price of a milligram of dough; None where the run promised none."""
        cost = self.product.dough_cost_per_kg
        return None if cost is None else _per_mg(cost, 1_000_000)

    @property
    def price_per_mg(self) -> Fraction | None:
        """What a milligram of dough would have sold for; None where no price was promised.

        As much as in a loaf of the declared weight, or in a piece where none is declared or nothing
        says what the oven takes.
        """
        price = self.product.sale_price_each
        if price is None:
            return None
        return _per_mg(price, self.state.target_mg if self.basis is None else self.basis.label_mg)


def _per_mg(money: Decimal, mg: int) -> Fraction:
    return Fraction(money) / mg
