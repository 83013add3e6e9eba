"""A statement -> what to do, in plain sentences: what the law needs first, then what saves most."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.report.giveaway.savings import savings
from weighstation.report.giveaway.too_light import too_light

if TYPE_CHECKING:
    from weighstation.report.giveaway.parts import Amount
    from weighstation.report.giveaway.savings import Saving
    from weighstation.report.giveaway.statement import Statement
    from weighstation.report.page.local import Local


def urgent(found: Statement, local: Local) -> tuple[str, ...]:
    """Return what is scaled too light for the law, a product each.

    Parameters
    ----------
    found : Statement
    local : Local
        How the shop writes numbers.

    Returns
    -------
    tuple of str
    """
    return tuple(f"First of all: {each.said(local)}" for each in too_light(found))


def advice(found: Statement, local: Local) -> str:
    """Return the one change that would save most; after what is at most so, what is surest.

    Parameters
    ----------
    found : Statement
    local : Local
        How the shop writes numbers.

    Returns
    -------
    str
    """
    return _Savings(found, local).said()


class _Savings:
    """Savings in the words and numbers of a shop."""

    def __init__(self, found: Statement, local: Local) -> None:
        self.every = savings(found, local)
        self.currency = found.currency
        self.local = local

    def said(self) -> str:
        if not self.every:
            return "Nothing was given away that a change would save."
        most = self.every[0]
        told = f"What would save most: {most.change}"
        if not most.is_most:
            return f"{told} {self._would_save(most)}"
        at_most = f"{told} Days like these would save at most {self._amount(most.amount)}."
        sure = next((each for each in self.every if each.is_sure and not each.waits), None)
        if sure is None:
            return at_most
        return f"{at_most} What is surest: {sure.change} {self._would_save(sure)}"

    def _would_save(self, saving: Saving) -> str:
        ends, between = saving.at_ends(), ""
        if ends is not None and ends[0] != ends[1]:
            low, high = map(self._amount, ends)
            between = f" ({low} to {high}, 95 % sure)"
        open_ = f" {saving.no_range}" if saving.no_range else ""
        if saving.interval_mg is not None and saving.may_be_nothing:
            open_ = " They do not show that it saves anything."
        return f"Days like these would save {self._amount(saving.amount)}{between}.{open_}"

    def _amount(self, amount: Amount) -> str:
        if amount.at_cost:
            return self.local.money(amount.at_cost, self.currency)
        return f"{self.local.grams(amount.mg)} of dough"
