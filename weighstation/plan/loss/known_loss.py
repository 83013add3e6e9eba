"""Own loss, or losses of stages -> the law that decides, and what loaves it makes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError
from weighstation.plan import given
from weighstation.plan.loss.oven_loss import ENOUGH, Carry, LossLaw, OvenLoss
from weighstation.plan.recipe.losses import Losses, listed, scaling_weight, weight_after

if TYPE_CHECKING:
    from weighstation.plan.loss.forecast import Interval

SAID_BY = {
    LossLaw.LINE: "the line fitted to this oven",
    LossLaw.RATIO: "the loss fitted to this oven",
    LossLaw.STAGES: "the losses of the stages",
}
"""What each law is called in a sentence."""


@dataclass(frozen=True, slots=True)
class BakedBy:
    """What a scaling weight bakes to by one law.

    Parameters
    ----------
    law : LossLaw
    baked_g : float, grams
    mean_g : (low, high) tuple of float, grams, or None
        Where the mean lies; None where nobody measured.
    """

    law: LossLaw
    baked_g: float
    mean_g: Interval | None


@dataclass(frozen=True, slots=True)
class Reach:
    """Whether loaves of a scaling weight reach a weight.

    Parameters
    ----------
    scaling_g, wanted_g : float, grams
    by : tuple of BakedBy
        The law that decides first.
    """

    scaling_g: float
    wanted_g: float
    by: tuple[BakedBy, ...]

    @property
    def is_reached(self) -> bool:
        """Whether the law that decides says so."""
        return self.by[0].baked_g >= self.wanted_g

    @property
    def text(self) -> str:
        """One plain sentence."""
        said = " and ".join(f"to {each.baked_g:.1f} g by {SAID_BY[each.law]}" for each in self.by)
        decides = "; the first decides" if len(self.by) > 1 else ""
        way = "reaches" if self.is_reached else "does not reach"
        return (
            f"{given.plain(self.scaling_g)} g of dough bake {said}{decides}:"
            f" that {way} {given.plain(self.wanted_g)} g."
        )


@dataclass(frozen=True, slots=True)
class KnownLoss:
    """All that is known of what is lost: learned from loaves, and said of the stages.

    Parameters
    ----------
    own : OvenLoss or None
        Learned from this oven; decides as soon as it is enough.
    stages : Loss, float, or several
        Oven, cooling, shelf, as fractions of the dough; nothing where they are not known.

    Raises
    ------
    SpecificationError
        If a loss of a stage is no fraction.
    """

    own: OvenLoss | None = None
    stages: Losses = ()

    def __post_init__(self) -> None:
        """Look at the stages once, however they were given."""
        object.__setattr__(self, "stages", listed(self.stages))

    @property
    def is_known(self) -> bool:
        """Whether a law decides: an own loss that is enough, or that of the stages."""
        return bool(self.stages) or (self.own is not None and self.own.is_enough)

    @property
    def law(self) -> LossLaw:
        """The law that decides.

        Raises
        ------
        NotEnoughDataError
            If too little was weighed, and nothing is said of the stages.
        """
        own = self._deciding()
        return LossLaw.STAGES if own is None else own.law

    @property
    def carry(self) -> Carry:
        """What a gram of scaling error does to the baked loaf.

        Raises
        ------
        NotEnoughDataError
            If too little was weighed, and nothing is said of the stages.
        """
        own = self._deciding()
        if own is not None:
            return own.carry
        kept = weight_after(1.0, self.stages)
        return Carry(kept, (kept, 1.0), LossLaw.STAGES)

    def scaling_g(self, baked_g: float) -> tuple[float, Interval | None]:
        """Return the scaling weight for a baked weight, and where the right one may lie.

        Parameters
        ----------
        baked_g : float, grams

        Returns
        -------
        (at_g, interval_g or None)
            The interval is None for stages, which nobody measured.

        Raises
        ------
        NotEnoughDataError
            If too little was weighed, and nothing is said of the stages.
        SpecificationError
            If it is outside what the own loss was learned from.
        """
        own = self._deciding()
        if own is None:
            return scaling_weight(baked_g, self.stages).scaling_g, None
        found = own.scaling_g(given.number(baked_g, "A baked weight", positive=True))
        return found.at_g, found.mean_g

    def reach(self, scaling_g: float, *, wanted_g: float) -> Reach:
        """Return whether loaves of a scaling weight reach a weight on average.

        Parameters
        ----------
        scaling_g : float, grams
        wanted_g : float, grams
            The declared weight, or the aim.

        Returns
        -------
        Reach

        Raises
        ------
        NotEnoughDataError
            If too little was weighed, and nothing is said of the stages.
        SpecificationError
            If a weight makes no sense, or is outside what the own loss was learned from.
        """
        scaled = given.number(scaling_g, "A scaling weight", positive=True)
        wanted = given.number(wanted_g, "A baked weight", positive=True)
        own = self._deciding()
        by: list[BakedBy] = []
        if own is not None:
            told = own.baked_g(scaled)
            by.append(BakedBy(own.law, told.at_g, told.mean_g))
        if self.stages:
            by.append(BakedBy(LossLaw.STAGES, weight_after(scaled, self.stages), None))
        return Reach(scaled, wanted, tuple(by))

    def _deciding(self) -> OvenLoss | None:
        """Return the own loss where it decides, None where the stages do; else refuse."""
        if self.own is not None and self.own.is_enough:
            return self.own
        if self.stages:
            return None
        have = 0 if self.own is None else self.own.pairs + self.own.batches
        raise NotEnoughDataError(
            f"A scaling weight needs at least {ENOUGH} marked loaves, and there are {have}.",
            have=have,
            need=ENOUGH,
            hint="Weigh more loaves raw and baked, or give the losses of the stages.",
        )
