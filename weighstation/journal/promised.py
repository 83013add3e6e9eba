"""What a run promised beside its band: name of the dough, losses, rule and price, and back."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, TypedDict

from weighstation.errors import JournalError
from weighstation.specification import LossBasis, StageLosses

if TYPE_CHECKING:
    from weighstation.journal.entry import Body, Value
    from weighstation.specification import Product

_STAGES = ("fermentation_pct", "handling_pct", "oven_pct", "cooling_pct", "shelf_pct")


class Promised(TypedDict):
    """Parts of a `Product` that the money and the law of a batch hang on."""

    dough: str | None
    losses: StageLosses | None
    quantity_rule: str | None
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
    price = _text(body, "sale_price_each")
    try:
        return Promised(
            dough=_text(body, "dough"),
            losses=_read_losses(body),
            quantity_rule=_text(body, "quantity_rule"),
            sale_price_each=None if price is None else Decimal(price),
        )
    except (ValueError, ArithmeticError) as exc:
        raise JournalError("A journal line holds losses or a price that are none.") from exc


def _text(body: Body, key: str) -> str | None:
    held = body.get(key)
    if held is not None and not isinstance(held, str):
        raise JournalError(f"A journal line holds a '{key}' that is no text.")
    return held


def _read_losses(body: Body) -> StageLosses | None:
    part = body.get("losses")
    if part is None:
        return None
    if not isinstance(part, dict):
        raise JournalError("A journal line holds 'losses' that are none.")
    said = {stage: float(str(part[stage])) for stage in _STAGES if stage in part}
    return StageLosses(LossBasis(_text(part, "basis")), **said)
