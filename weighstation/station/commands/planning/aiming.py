"""A product, and what was done of it -> the scaling weight for its declared weight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import Declared, Evenness, LossLaw, ScalingTarget, Week, scaling_target
from weighstation.quantities import grams
from weighstation.station.commands.planning.shop import declared_g, require_losses, stages_alone
from weighstation.station.commands.shop.quantity_rules import rule_for

if TYPE_CHECKING:
    from weighstation.plan import KnownLoss
    from weighstation.quantity import QuantityRule
    from weighstation.specification import Product
    from weighstation.station.commands.planning.history import History
    from weighstation.station.commands.shop.home import Home

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
        """How loaves vary: as they were weighed, else as the pieces do with what the oven adds.

        Raises
        ------
        SpecificationError
            If the oven's spread makes no sense.
        """
        loaves, bench = self.history.loaf_spread, self.history.bench
        if loaves is not None and self.oven_sd_g is None:
            return Evenness(loaves.sd_g, self.batch_size or bench.batch_size, loaves.wander_g)
        return bench.evenness(
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

        Notes
        -----
        For a weight that the own loss was not learned from, the losses of the stages are taken.
        """
        loss = self.history.loss
        require_losses(self.product, loss)
        try:
            return self._by(loss, week)
        except SpecificationError:
            if loss.law is LossLaw.STAGES or not loss.stages:
                raise
            return self._by(stages_alone(loss), week)

    def _by(self, loss: KnownLoss, week: Week | None) -> ScalingTarget:
        return scaling_target(
            Declared(self.weight_g, self.rule, self.risk),
            loss=loss,
            evenness=self.evenness,
            division_g=grams(self.history.division_mg),
            week=week,
        )


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
