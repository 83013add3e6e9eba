"""A product, its loss and its spread -> what its label asks of a piece of dough, step by step."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import chi_square_quantile, t_quantile
from weighstation.plan import Declared, Evenness, KnownLoss, LossLaw, scaling_target
from weighstation.plan.loss.known_loss import SAID_BY
from weighstation.quantities import MG_PER_G, grams, mg_from_grams
from weighstation.report.giveaway.rows import LabelBasis

if TYPE_CHECKING:
    from weighstation.plan import BatchSpread, BenchSpread
    from weighstation.quantity import QuantityRule

Reach = tuple[float, float]
"""How far down and up something may lie, in milligrams."""

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
    (textbook, for normal weights), the wander of batches at both ends of the interval of their
    means' variance less what single weights explain of it, and the loss at both ends of its own,
    widened by what so few batches leave open, ``t wander / root(batches)``; the distances are
    squared and added (Zou and Donner, Statistics in Medicine 27 (2008) 1693, from memory).
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
    """Return where the least lawful weight lies; what is not known is taken as independent."""
    parts = [_spread_mg(known), _wander_mg(known), _loss_mg(known)]
    low, high = (math.hypot(*ends) for ends in zip(*parts, strict=True))
    return lawful_mg - round(low), lawful_mg + round(high)


def _spread_mg(known: Known) -> Reach:
    """Return how far single weights' spread leaves it open, down and up."""
    of, whole = known.loaves or known.bench.measured, known.evenness
    fewer, more = _sd_factors(0 if of is None else of.n - of.batches)
    ends = (replace(whole, sd_g=whole.sd_g * factor) for factor in (fewer, more))
    return _reach_mg(known, *ends)


def _wander_mg(known: Known) -> Reach:
    """Return how far the wander from batch to batch leaves it open, down and up."""
    of, whole = known.loaves or known.bench.measured, known.evenness
    if of is None or not of.sd_g:
        return 0.0, 0.0
    within_g2 = of.sd_g**2 * of.batches / of.n
    among_g2 = of.wander_g**2 + within_g2
    carried = whole.sd_g / of.sd_g
    ends = (
        replace(whole, batch_sd_g=carried * math.sqrt(max(0.0, among_g2 * factor**2 - within_g2)))
        for factor in _sd_factors(of.batches - 1)
    )
    return _reach_mg(known, *ends)


def _reach_mg(known: Known, low: Evenness, high: Evenness) -> Reach:
    """Return by how much the least lawful weight is less and more for other spreads."""
    middle, less, more = (known.lawful_mg(each) for each in (known.evenness, low, high))
    return max(0.0, middle - less), max(0.0, more - middle)


def _loss_mg(known: Known) -> Reach:
    """Return how far the loss leaves it open: of single loaves, and of the batches they are of."""
    at_g, interval_g = known.loss.scaling_g(grams(known.declared_mg))
    if interval_g is None:
        return 0.0, 0.0
    batches_mg = _batches_mg(known, at_g)
    low, high = (MG_PER_G * abs(end_g - at_g) for end_g in interval_g)
    return math.hypot(low, batches_mg), math.hypot(high, batches_mg)


def _batches_mg(known: Known, at_g: float) -> float:
    """Return how far the mean loss of a few batches is off that of many, in dough."""
    of = known.loaves
    if of is None or of.batches < 2:
        return 0.0
    t = t_quantile((1 + _OF_SD) / 2, df=of.batches - 1)
    kept = grams(known.declared_mg) / at_g
    return MG_PER_G * t * of.wander_g / math.sqrt(of.batches) / kept


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
