"""A rule: what a published text allows, as data with its source beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantities import in_words
from weighstation.quantity.checked import pieces

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date
    from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Band:
    """What is tolerated up to a nominal quantity.

    Parameters
    ----------
    to_g : Fraction, grams
    percent : Fraction or None
        Of the nominal quantity.
    fixed_g : Fraction, grams, or None
        One of both is None.
    """

    to_g: Fraction
    percent: Fraction | None
    fixed_g: Fraction | None


SINGLE = "single"
"""The kind of plan that is meant where none is named."""


@dataclass(frozen=True, slots=True)
class SecondSample:
    """What a plan asks for where its first sample neither passes nor fails.

    Parameters
    ----------
    below : int
        So many short pieces in the first sample reject the lot; fewer ask for the second sample,
        unless they pass.
    sample : int
        Pieces in the second sample.
    t1 : int
        So many of both samples together may be short.
    """

    below: int
    sample: int
    t1: int


@dataclass(frozen=True, slots=True)
class Plan:
    """How a lot is sampled, and how many short pieces it may show.

    Parameters
    ----------
    kind : str
        ``single``, or what the text tells apart: ``double``, ``destructive``.
    first, last : int
        Sizes of lots that it is for.
    sample : int or None
        None is the whole lot.
    t1 : int or None
        So many may be short by more than the tolerable deficiency.
    t1_share : Fraction or None
        The same as a share of the sample; one of both is None.
    second : SecondSample or None
        None where the first sample decides.
    """

    kind: str
    first: int
    last: int
    sample: int | None
    t1: int | None
    t1_share: Fraction | None
    second: SecondSample | None

    def size(self, lot_size: int) -> int:
        """Return how many pieces are weighed of a lot, in the first sample if there are two.

        Parameters
        ----------
        lot_size : int

        Returns
        -------
        int
        """
        return lot_size if self.sample is None else self.sample

    def allowed(self, weighed: int) -> int:
        """Return how many of the pieces weighed may be short.

        Parameters
        ----------
        weighed : int

        Returns
        -------
        int
        """
        return self.t1 if self.t1 is not None else int((self.t1_share or 0) * weighed)


@dataclass(frozen=True, slots=True)
class Refused:
    """Sizes of lots that the rule knows, and we do not.

    Parameters
    ----------
    kind : str or None
        Of the plan; None is all of them.
    first, last : int
    why : str
        One sentence.
    """

    kind: str | None
    first: int
    last: int
    why: str


@dataclass(frozen=True, slots=True)
class QuantityRule:
    """A published rule of average quantity, or one of a place.

    Parameters
    ----------
    name, title, edition, source : str
    noted : date
        When it was written down here.
    advice : str
        What it is not.
    sure : dict of str to str
        By part: whether it was read, or is from memory.
    bands : tuple of Band
    takes_edge_below : bool
        Whether a nominal quantity on an edge belongs to the band above it.
    least_g : Fraction, grams
        The smallest nominal quantity.
    rounding : tuple of (Fraction, Fraction), grams
        Up to which nominal quantity the deficiency is rounded up to which step.
    t1_share : Fraction or None
        What share of a packer's pieces may be short by more than the deficiency; None where only
        the plans say it.
    t2_times : int or None
        None may be short by more than so many deficiencies; None knows no such limit.
    t2_share : Fraction or None
        What stands for none when an aim is worked out.
    confidence : Fraction or None
        Of the mean test of a sample, one-sided; None compares the plain mean.
    plain_below : int
        Lots below this are judged by their plain mean.
    least_divisions : int
        The scale of a check divides the deficiency into so many parts at least.
    plans : tuple of Plan
    refused : tuple of Refused
    """

    name: str
    title: str
    edition: str
    source: str
    noted: date
    advice: str
    sure: Mapping[str, str]
    bands: tuple[Band, ...]
    takes_edge_below: bool
    least_g: Fraction
    rounding: tuple[tuple[Fraction, Fraction], ...]
    t1_share: Fraction | None
    t2_times: int | None
    t2_share: Fraction | None
    confidence: Fraction | None
    plain_below: int
    least_divisions: int
    plans: tuple[Plan, ...]
    refused: tuple[Refused, ...]

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of plans that it has, in the order of its file."""
        return tuple(dict.fromkeys(plan.kind for plan in self.plans))

    def plans_of(self, kind: str) -> tuple[Plan, ...]:
        """Return the plans of a kind.

        Parameters
        ----------
        kind : str

        Returns
        -------
        tuple of Plan

        Raises
        ------
        SpecificationError
            If the rule has none.
        """
        found = tuple(plan for plan in self.plans if plan.kind == kind)
        if not found:
            raise SpecificationError(
                f"The rule '{self.name}' has no plan {in_words(kind)}.",
                hint=f"It has {', '.join(self.kinds)}.",
            )
        return found

    def plan_for(self, lot_size: int, *, kind: str = SINGLE) -> Plan:
        """Return the plan for a lot.

        Parameters
        ----------
        lot_size : int
        kind : str

        Returns
        -------
        Plan

        Raises
        ------
        SpecificationError
            If the rule has none for it, or it is not known here.
        """
        plans, lot_size = self.plans_of(kind), pieces(lot_size, "A lot holds")
        for refused in self.refused:
            if refused.kind in {None, kind} and refused.first <= lot_size <= refused.last:
                raise SpecificationError(refused.why)
        for plan in plans:
            if plan.first <= lot_size <= plan.last:
                return plan
        least, most = min(plan.first for plan in plans), max(plan.last for plan in plans)
        raise SpecificationError(
            f"The rule '{self.name}' has no plan for a lot of {in_words(lot_size)}.",
            hint=f"It is for lots of {least:,} to {most:,}.",
        )
