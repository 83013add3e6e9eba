"""What a run promised beside its band: name of the dough, losses, rule and price, and back."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypedDict

from weighstation.journal.held import decimal_or_none, one_of, part, word_or_empty
from weighstation.specification import LossBasis, StageLosses

if TYPE_CHECKING:
    from decimal import Decimal

    from weighstation.journal.entry import Body, Value
    from weighstation.specification import Product

_STAGES = ("fermentation_pct", "handling_pct", "oven_pct", "cooling_pct", "shelf_pct")


class Promised(TypedDict):
    """Parts of a `Product` that the money and the law of a batch hang on."""

    dough: str | None
    losses: StageLosses | None
    quantity_rule: str | None
    rule_text: str | None
    sale_price_each: Decimal | None


def promised(product: Product) -> dict[str, Value | None]:
    """Return the parts of a run's first line that its money and its law hang on.

    Parameters
    ----------
    product : Product

    Returns
    -------
    dict
        Numbers with decimals as text; None where nobody said.
    """
    price = product.sale_price_each
    return {
        "dough": product.dough,
        "losses": None if product.losses is None else _losses(product.losses),
        "quantity_rule": product.quantity_rule,
        "quantity_rule_text": product.rule_text,
        "sale_price_each": None if price is None else str(price),
    }


def _losses(losses: StageLosses) -> Body:
    said = {stage: getattr(losses, stage) for stage in _STAGES}
    return {"basis": losses.basis.value} | {
        stage: str(pct) for stage, pct in said.items() if pct is not None
    }


def read_promised(body: Body) -> Promised:
    """Return what a run promised beside its band.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    Promised

    Raises
    ------
    JournalError
        If something is not of its kind.
    """
    return Promised(
        dough=word_or_empty(body, "dough") or None,
        losses=_read_losses(body),
        quantity_rule=word_or_empty(body, "quantity_rule") or None,
        rule_text=word_or_empty(body, "quantity_rule_text") or None,
        sale_price_each=decimal_or_none(body, "sale_price_each"),
    )


def _read_losses(body: Body) -> StageLosses | None:
    if "losses" not in body:
        return None
    held = part(body, "losses")
    said = {stage: decimal_or_none(held, stage) for stage in _STAGES}
    percent = {stage: float(pct) for stage, pct in said.items() if pct is not None}
    return StageLosses(one_of(LossBasis, held, "basis"), **percent)
