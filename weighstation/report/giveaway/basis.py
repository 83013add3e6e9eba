"""A product, its loss and its spread -> what its label asks of a piece of dough, step by step."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import Declared, Evenness, KnownLoss, LossLaw, scaling_target
from weighstation.quantities import grams, mg_from_grams
from weighstation.report.giveaway.lawful_range import lawful_range
from weighstation.report.giveaway.rows import LabelBasis

if TYPE_CHECKING:
    from weighstation.plan import BatchSpread, BenchSpread
    from weighstation.quantity import QuantityRule

RISK = 0.05
_LOSS = {
    LossLaw.LINE: "as measured in this oven",
    LossLaw.RATIO: "as measured in this oven",
    LossLaw.STAGES: "as products.toml gives it",
}


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of a product over a span.

    Parameters
    ----------
    declared_mg : int, milligrams
    rule : QuantityRule
    loss : KnownLoss
    bench : BenchSpread
        Of kept pieces.
    loaves : BatchSpread or None
        Of baked loaves; None where too few were weighed, and the oven is taken to add nothing.
    risk : float
        Chance that a batch fails that is aimed so.
    """

    declared_mg: int
    rule: QuantityRule
    loss: KnownLoss
    bench: BenchSpread
    loaves: BatchSpread | None = None
    risk: float = RISK

    @property
    def evenness(self) -> Evenness:
        """How loaves vary: as they were weighed, else as the pieces do."""
        if self.loaves is None:
            return self.bench.evenness(carry=self.loss.carry)
        return Evenness(self.loaves.sd_g, self.bench.batch_size, self.loaves.wander_g)

    @property
    def evenness_of_the_oven(self) -> Evenness:
        """How loaves would vary if all pieces of dough were equal."""
        whole, bench = self.evenness, self.bench.evenness(carry=self.loss.carry)
        return Evenness(
            _without(whole.sd_g, bench.sd_g),
            whole.batch_size,
            _without(whole.batch_sd_g, bench.batch_sd_g),
        )

    def lawful_mg(self, evenness: Evenness, loss: KnownLoss | None = None) -> int:
        """Return the least lawful scaling weight for loaves that vary so.

        Parameters
        ----------
        evenness : Evenness
        loss : KnownLoss or None
            In the place of the known one.

        Returns
        -------
        int, milligrams
        """
        declared = Declared(grams(self.declared_mg), self.rule, self.risk)
        found = scaling_target(declared, loss=loss or self.loss, evenness=evenness)
        return mg_from_grams(found.least_scaling_g)


def _without(whole_g: float, part_g: float) -> float:
    """Return what is left of a spread without one of its two parts."""
    return math.sqrt(max(0.0, whole_g**2 - part_g**2))


def label_basis(known: Known) -> LabelBasis | None:
    """Return what a label asks of a piece of dough, step by step.

    Parameters
    ----------
    known : Known

    Returns
    -------
    LabelBasis or None
        None where nothing says what the oven takes.

    Raises
    ------
    SpecificationError
        If the declared weight is outside the rule.

    Notes
    -----
    For a weight that the own loss was not learned from, the losses of the stages are taken. The
    range is that of `weighstation.report.giveaway.lawful_range.lawful_range`.
    """
    if not known.loss.is_known:
        return None
    at, lawful_mg = _in_reach(known)
    label_mg = mg_from_grams(at.loss.scaling_g(grams(at.declared_mg))[0])
    interval_mg, no_range = lawful_range(at, lawful_mg)
    return LabelBasis(
        label_mg=label_mg,
        oven_mg=min(at.lawful_mg(at.evenness_of_the_oven), lawful_mg),
        lawful_mg=lawful_mg,
        kept_share=Fraction(at.declared_mg, label_mg),
        lawful_interval_mg=interval_mg,
        said_by=_said_by(at),
        no_range=no_range,
        knows_oven=known.loaves is not None,
        knows_bench=known.bench.measured is not None,
    )


def least_lawful_mg(known: Known) -> int | None:
    """Return the least lawful scaling weight alone, as `label_basis` finds it.

    Parameters
    ----------
    known : Known

    Returns
    -------
    int, milligrams, or None
        None where nothing says what the oven takes.

    Raises
    ------
    SpecificationError
        If the declared weight is outside the rule.
    """
    if not known.loss.is_known:
        return None
    return _in_reach(known)[1]


def _in_reach(known: Known) -> tuple[Known, int]:
    """Return the least lawful weight in milligrams, and what is known that it was found by.

    By the losses of the stages, where the own one does not reach so far.
    """
    try:
        return known, known.lawful_mg(known.evenness)
    except SpecificationError:
        if known.loss.law is LossLaw.STAGES or not known.loss.stages:
            raise
        by_stages = replace(known, loss=KnownLoss(stages=known.loss.stages))
        return by_stages, by_stages.lawful_mg(by_stages.evenness)


def _said_by(known: Known) -> str:
    spread = (
        f"{known.bench.text} Baking is taken to add nothing to that."
        if known.loaves is None
        else known.loaves.text("baked loaves")
    )
    loss, rule = _LOSS[known.loss.law], known.rule.name
    return f"Baking loss {loss}; lawful weight by the rule {rule}. {spread}"
