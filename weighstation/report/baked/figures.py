"""Batches of baked loaves -> the figures of their sheet, or why there are none."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Generic, TypeVar

from weighstation.errors import SpecificationError, WeighstationError
from weighstation.monitor.moments import Moments
from weighstation.plan import batch_wander, oven_loss, split_of_pairs, split_of_samples
from weighstation.plan.loss.loss_line import FEWEST as FEWEST_PAIRS
from weighstation.quantities import grams
from weighstation.quantity import Circumstances
from weighstation.report.baked.batch import learned
from weighstation.report.baked.lot import baked_lot
from weighstation.report.page.tables import as_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.plan import BakedSplit, BatchWander, Forecast, OvenLoss
    from weighstation.quantity import QuantityRule
    from weighstation.report.baked.batch import BakedBatch, Learned
    from weighstation.report.baked.lot import BakedLot

T = TypeVar("T")
NO_DECLARED = (
    "No declared weight is on record for these loaves: write declared_g into products.toml."
)


@dataclass(frozen=True, slots=True)
class Found(Generic[T]):
    """A figure, or why there is none.

    Parameters
    ----------
    figure : object or None
    why_not : str
        In plain sentences; empty where there is one.
    """

    figure: T | None
    why_not: str = ""

    @classmethod
    def of(cls, make: Callable[[], T]) -> Found[T]:
        """Return what is made, or the sentence that refuses it.

        Parameters
        ----------
        make : callable

        Returns
        -------
        Found
        """
        try:
            return cls(make())
        except WeighstationError as exc:
            return cls(None, exc.sentence)


@dataclass(frozen=True)
class BakedFigures:
    """The baked loaves of a product, in one batch or in several.

    Parameters
    ----------
    product : str
    batches : tuple of BakedBatch
        That the sheet is about, oldest first; at least one, each with a loaf that counts.
    taught_by : tuple of BakedBatch
        That the oven's loss is learned from.
    rule : Found of QuantityRule
        That the product is sold under.
    as_of_line : int
        Number of the last line of the journal that was read.
    head : str
        Digest of that line.
    cooling_loss_per_h : float or None
        Share of the weight out of the oven that is lost in the first hour, where it is known.
    said : Circumstances
        What a person says is so of these lots.
    """

    product: str
    batches: tuple[BakedBatch, ...]
    taught_by: tuple[BakedBatch, ...]
    rule: Found[QuantityRule]
    as_of_line: int
    head: str
    cooling_loss_per_h: float | None = None
    said: Circumstances = field(default_factory=Circumstances)

    @property
    def as_of(self) -> str:
        """Which line of the journal the figures are as of."""
        return as_of(self.as_of_line, self.head)

    @property
    def declared_g(self) -> float | None:
        """Declared weight in grams, as the newest loaf was held against; None where none was."""
        declared_mg = self.batches[-1].loaves[-1].loaf.declared_mg
        return None if declared_mg is None else grams(declared_mg)

    @property
    def taught(self) -> Learned:
        """What the oven's loss is learned from."""
        return learned(self.taught_by, cooling_loss_per_h=self.cooling_loss_per_h)

    @cached_property
    def loss(self) -> Found[OvenLoss]:
        """What the oven takes of the product."""
        taught = self.taught
        return Found.of(lambda: oven_loss(taught.pairs, batches=taught.batches))

    @property
    def scaling(self) -> Found[Forecast]:
        """The scaling weight for the declared weight, by the loss that was learned."""
        return Found.of(self._scaling)

    def _scaling(self) -> Forecast:
        loss, declared_g = self.loss.figure, self.declared_g
        if loss is None:
            raise SpecificationError(self.loss.why_not)
        if declared_g is None:
            raise SpecificationError(NO_DECLARED)
        return loss.scaling_g(declared_g)

    @property
    def split(self) -> Found[BakedSplit]:
        """Where the spread of the loaves comes from, of those with the newest scaling weight."""
        return Found.of(self._split)

    def _split(self) -> BakedSplit:
        target_mg = self.batches[-1].product.limits.target_mg
        same = [each for each in self.batches if each.product.limits.target_mg == target_mg]
        pairs = learned(same, cooling_loss_per_h=self.cooling_loss_per_h).pairs
        carry = None if self.loss.figure is None else self.loss.figure.carry
        if len(pairs) >= FEWEST_PAIRS:
            return split_of_pairs(pairs, carry=carry)
        if carry is None:
            raise SpecificationError(self.loss.why_not)
        raw_g = [grams(mg) for batch in same for mg in batch.raw_mg.values()]
        baked_g = [g for batch in same for g in batch.best_g(self.cooling_loss_per_h)]
        return split_of_samples(Moments.of(raw_g), Moments.of(baked_g), carry=carry)

    @property
    def wander(self) -> Found[BatchWander]:
        """How the means of the batches vary beyond what single loaves explain."""
        return Found.of(
            lambda: batch_wander(
                Moments.of(batch.best_g(self.cooling_loss_per_h)) for batch in self.batches
            )
        )

    def one_hour(self, batch: BakedBatch) -> Found[tuple[float, ...]]:
        """Return what the loaves of a batch weigh one hour out of the oven, in grams.

        Parameters
        ----------
        batch : BakedBatch

        Returns
        -------
        Found of tuple of float
        """
        return Found.of(lambda: batch.one_hour_g(self.cooling_loss_per_h))

    def lot(self, batch: BakedBatch) -> Found[BakedLot]:
        """Return what the rule says of a batch.

        Parameters
        ----------
        batch : BakedBatch

        Returns
        -------
        Found of BakedLot
        """
        declared_mg, rule = batch.loaves[-1].loaf.declared_mg, self.rule.figure
        if declared_mg is None or rule is None:
            return Found(None, NO_DECLARED if rule is not None else self.rule.why_not)
        return Found.of(
            lambda: baked_lot(
                batch,
                rule,
                nominal_g=grams(declared_mg),
                cooling_loss_per_h=self.cooling_loss_per_h,
                said=self.said,
            )
        )

    @property
    def fails(self) -> bool:
        """Whether the numbers of a batch do not pass."""
        found = (self.lot(batch).figure for batch in self.batches)
        return any(lot is not None and lot.passes is False for lot in found)
