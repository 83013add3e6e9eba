"""The rule of average quantity that a product is held against, in planning and once baked.

A rule file of the shop's own is kept, word for word, in the first line of each run that it was
promised for: what was weighed then is judged by what the file said then.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantity import QuantityRule, published_rule, read_rule
from weighstation.specification import PUBLISHED_RULES

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.specification import Product
    from weighstation.station.commands.shop.home import Home

USUAL_RULE = "eu-76-211"
"""Where a product names none."""
_KEPT = "The run is judged by what it said then, as the run's first line holds it."
_NOT_KEPT = "The run does not hold what it said, so its label is judged by no rule."


def rule_for(product: Product | None, home: Home, name: str | None = None) -> QuantityRule:
    """Return the rule of average quantity that a product is held against.

    Parameters
    ----------
    product : Product or None
        As products.toml has it, or as a run promised it; None where products.toml does not have it.
    home : Home
        Where a file of the shop's own stands.
    name : str or None
        In the place of what the product says.

    Returns
    -------
    QuantityRule
        Of a product that a run promised: what its file said then, where that was kept.

    Raises
    ------
    SpecificationError
        If there is no such rule, or its file cannot be read.
    """
    if product and product.rule_text and not name:
        return read_rule(product.rule_text, source=f"{product.quantity_rule}, as a run kept it,")
    wanted = name or (product.quantity_rule if product else None) or USUAL_RULE
    if not is_own(wanted):
        return published_rule(wanted)
    path = home.folder / wanted
    return read_rule(_content(path), source=str(path))


def is_own(rule: str | None) -> bool:
    """Return whether a rule is a file of the shop's own.

    Parameters
    ----------
    rule : str or None
        As a product names it.

    Returns
    -------
    bool
    """
    return rule is not None and rule.endswith(".toml")


def with_rule(product: Product, home: Home) -> Product:
    """Return a product with what its rule file says now, to be kept with a run.

    Parameters
    ----------
    product : Product
    home : Home

    Returns
    -------
    Product
        As given where it names no file of the shop's own, or that file holds no rule: what is
        planned for the loaves stops no batch.
    """
    if not is_own(product.quantity_rule):
        return product
    try:
        return replace(product, rule_text=_text(home, product))
    except SpecificationError:
        return product


def about_rule(product: Product, home: Home) -> str:
    """Return what is to be minded of the rule that a run is judged by.

    Parameters
    ----------
    product : Product
        As the run promised it.
    home : Home

    Returns
    -------
    str
        In plain sentences; empty where nothing is declared, a published rule is taken, or the file
        is as it was.
    """
    name = product.quantity_rule
    if product.declared_mg is None or not is_own(name):
        return ""
    try:
        now = _text(home, product)
    except SpecificationError as exc:
        return f"{exc} {_KEPT if product.rule_text else _NOT_KEPT}"
    if product.rule_text is None:
        return f"{name} is not kept with the run, which is judged by what the file says now."
    if product.rule_text == now:
        return ""
    return f"{name} has changed since. {_KEPT}"


def _text(home: Home, product: Product) -> str:
    """Return what the rule file of a product says now, once it is seen to hold a rule."""
    path = home.folder / str(product.quantity_rule)
    content = _content(path)
    read_rule(content, source=str(path))
    return content.decode()


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as exc:
        raise SpecificationError(
            f"The rule file {path} cannot be read ({(exc.strerror or str(exc)).lower()}).",
            hint=f"Put it there, or name one of {', '.join(PUBLISHED_RULES)}.",
        ) from exc
