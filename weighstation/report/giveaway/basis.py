"""A product, its loss and its spread -> what its label asks of a piece of dough, step by step."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import chi_square_quantile
from weighstation.plan import Declared, Evenness, KnownLoss, LossLaw, scaling_target
from weighstation.plan.loss.known_loss import SAID_BY
from weighstation.quantities import grams, mg_from_grams
from weighstation.report.giveaway.rows import LabelBasis

if TYPE_CHECKING:
    from weighstation.plan import BatchSpread, BenchSpread
    from weighstation.quantity import QuantityRule

RISK = 0.05
_OF_SD = 0.95


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
    interval takes the spread at both ends of its 95 % interval, ``s root((n - 1) / chi2)``
    (textbook, for normal weights), and the loss at both ends of its own.
    """
    if not known.loss.is_known:
        return None
    try:
        return _basis(known)
    except SpecificationError:
        if known.loss.law is LossLaw.STAGES or not known.loss.stages:
            raise
        return _basis(replace(known, loss=KnownLoss(stages=known.loss.stages)))


def _basis(known: Known) -> LabelBasis:
    label_mg = mg_from_grams(known.loss.scaling_g(grams(known.declared_mg))[0])
    lawful_mg = known.lawful_mg(known.evenness)
    return LabelBasis(
        label_mg=label_mg,
        oven_mg=min(known.lawful_mg(known.evenness_of_the_oven), lawful_mg),
        lawful_mg=lawful_mg,
        kept_share=Fraction(known.declared_mg, label_mg),
        lawful_interval_mg=_interval_mg(known, lawful_mg),
        said_by=_said_by(known),
    )


def _interval_mg(known: Known, lawful_mg: int) -> tuple[int, int]:
    whole, (fewer, more) = known.evenness, _sd_factors(_freedom(known))
    ends = [
        known.lawful_mg(replace(whole, sd_g=whole.sd_g * factor)) - lawful_mg
        for factor in (fewer, more)
    ]
    interval_g = known.loss.scaling_g(grams(known.declared_mg))[1]
    if interval_g is None:
        return lawful_mg + ends[0], lawful_mg + ends[1]
    label_mg = mg_from_grams(known.loss.scaling_g(grams(known.declared_mg))[0])
    low, high = (mg_from_grams(end) - label_mg for end in interval_g)
    return (
        lawful_mg - round(math.hypot(ends[0], low)),
        lawful_mg + round(math.hypot(ends[1], high)),
    )


def _freedom(known: Known) -> int:
    of = known.loaves or known.bench.measured
    return 0 if of is None else of.n - of.batches


def _sd_factors(freedom: int) -> tuple[float, float]:
    """Return what a spread is multiplied by at the ends of its interval; 1 where it is assumed."""
    if freedom < 1:
        return 1.0, 1.0
    tail = (1 - _OF_SD) / 2
    low, high = (chi_square_quantile(p, df=freedom) for p in (1 - tail, tail))
    return math.sqrt(freedom / low), math.sqrt(freedom / high)


def _said_by(known: Known) -> str:
    spread = (
        known.bench.text + " The oven is taken to add nothing."
        if known.loaves is None
        else known.loaves.text("baked loaves")
    )
    return f"Loss by {SAID_BY[known.loss.law]}; rule {known.rule.name}. {spread}"
