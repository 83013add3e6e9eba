"""The rule of average quantity that a product is held against, in planning and once baked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantity import QuantityRule, published_rule, read_rule
from weighstation.specification import PUBLISHED_RULES

if TYPE_CHECKING:
    from weighstation.specification import Product
    from weighstation.station.commands.shop.home import Home

USUAL_RULE = "eu-76-211"
"""Where a product names none."""


def rule_for(product: Product | None, home: Home, name: str | None = None) -> QuantityRule:
    """Return the rule of average quantity that a product is held against.

    Parameters
    ----------
    product : Product or None
        None where products.toml does not have it.
    home : Home
        Where a file of the shop's own stands.
    name : str or None
        In the place of what the product says.

    Returns
    -------
    QuantityRule

    Raises
    ------
    SpecificationError
        If there is no such rule, or its file cannot be read.
    """
    wanted = name or (product.quantity_rule if product else None) or USUAL_RULE
    if not wanted.endswith(".toml"):
        return published_rule(wanted)
    path = home.folder / wanted
    try:
        return read_rule(path.read_bytes(), source=str(path))
    except OSError as exc:
        raise SpecificationError(
            f"The rule file {path} cannot be read ({(exc.strerror or str(exc)).lower()}).",
            hint=f"Put it there, or name one of {', '.join(PUBLISHED_RULES)}.",
        ) from exc
