"""A product, and what was done of it -> the scaling weight for its declared weight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import Declared, ScalingTarget, Week, scaling_target
from weighstation.quantities import grams
from weighstation.quantity import PUBLISHED, published_rule, read_rule
from weighstation.station.commands.planning.shop import declared_g, require_losses

if TYPE_CHECKING:
    from weighstation.plan import Evenness
    from weighstation.quantity import QuantityRule
    from weighstation.specification import Product
    from weighstation.station.commands.home import Home
    from weighstation.station.commands.planning.history import History

USUAL_RULE = "oiml-r87"
"""Where a product names no rule: the recommendation that national ones follow."""
RISK = 0.05
_PLACES = 6


@dataclass(frozen=True, slots=True)
class Aiming:
    """What an aim rests on.

    Parameters
    ----------
    product : Product
    weight_g : float, grams
        Declared.
    rule : QuantityRule
    history : History
    risk : float
        Chance that a batch fails that is aimed so.
    oven_sd_g : float, grams, or None
        What the oven adds to the spread of loaves; None where nobody knows, and nothing is added.
    batch_size : int or None
        Loaves in a batch; None takes what the journal says.
    """

    product: Product
    weight_g: float
    rule: QuantityRule
    history: History
    risk: float = RISK
    oven_sd_g: float | None = None
    batch_size: int | None = None

    @property
    def evenness(self) -> Evenness:
        """How loaves vary, as far as it is known.

        Raises
        ------
        SpecificationError
            If the oven's spread makes no sense.
        """
        return self.history.bench.evenness(
            carry=self.history.loss.carry,
            oven_sd_g=self.oven_sd_g or 0.0,
            batch_size=self.batch_size,
        )

    def target(self, week: Week | None = None) -> ScalingTarget:
        """Return the scaling weight.

        Parameters
        ----------
        week : Week or None
            For what a gram more costs.

        Returns
        -------
        ScalingTarget

        Raises
        ------
        SpecificationError
            If nothing says what the oven takes, or a number makes no sense.
        """
        require_losses(self.product, self.history.loss)
        return scaling_target(
            Declared(self.weight_g, self.rule, self.risk),
            loss=self.history.loss,
            evenness=self.evenness,
            division_g=grams(self.history.division_mg),
            week=week,
        )


def rule_for(product: Product, home: Home, name: str | None = None) -> QuantityRule:
    """Return the rule of average quantity that a product is held against.

    Parameters
    ----------
    product : Product
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
    wanted = name or product.quantity_rule or USUAL_RULE
    if wanted in PUBLISHED or not wanted.endswith(".toml"):
        return published_rule(wanted)
    path = home.folder / wanted
    try:
        return read_rule(path.read_bytes(), source=str(path))
    except OSError as exc:
        raise SpecificationError(
            f"The rule file {path} cannot be read ({(exc.strerror or str(exc)).lower()}).",
            hint=f"Put it there, or name one of {', '.join(PUBLISHED)}.",
        ) from exc


def floor_g(product: Product, home: Home, history: History) -> float:
    """Return the scaling weight that nothing is planned below.

    Parameters
    ----------
    product : Product
    home : Home
    history : History

    Returns
    -------
    float, grams
        To the microgram: what a sum of doubles leaves beyond it is noise. 0 where nothing is
        declared, or nothing says what the oven takes.

    Raises
    ------
    SpecificationError
        If the rule of the product cannot be read.
    """
    weight_g = declared_g(product)
    if weight_g is None or not history.loss.is_known:
        return 0.0
    aiming = Aiming(product, weight_g, rule_for(product, home), history)
    return round(aiming.target().least_scaling_g, _PLACES)
