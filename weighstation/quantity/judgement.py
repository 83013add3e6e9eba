"""What is said of a lot, and what has to be so before it is more than a hint."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum

from weighstation.errors import SpecificationError
from weighstation.quantities import in_words


class LotVerdict(StrEnum):
    """What can be said of a lot."""

    ACCEPTED = "accepted"
    REJECTED = "rejected"
    UNDECIDED = "undecided"
    INDICATIVE = "indicative"


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What has to be so before a verdict is more than a hint.

    Parameters
    ----------
    random_sample : bool
        The pieces were drawn at random from the whole lot, or are all of it.
    verified_scale : bool
        The scale is verified, and its error at most a fifth of the tolerable deficiency.
    tare_known : bool
        Nothing but the goods was weighed.
    right_moment : bool
        They were weighed when the law wants it, baked and not as dough.

    Raises
    ------
    SpecificationError
        If one is neither true nor false, because a word like "no" would count as true.
    """

    random_sample: bool = False
    verified_scale: bool = False
    tare_known: bool = False
    right_moment: bool = False

    def __post_init__(self) -> None:
        """Refuse words."""
        for each in fields(self):
            if not isinstance(getattr(self, each.name), bool):
                raise SpecificationError(
                    f"'{each.name}' of the circumstances is true or false, not"
                    f" {in_words(getattr(self, each.name))}."
                )

    @property
    def missing(self) -> tuple[str, ...]:
        """What was not said to be so, one sentence each."""
        return tuple(_MISSING[each.name] for each in fields(self) if not getattr(self, each.name))


_MISSING = {
    "random_sample": (
        "The pieces were not said to be drawn at random from the whole lot, or to be all of it."
    ),
    "verified_scale": (
        "The scale was not said to be verified, and its error at most a fifth of the tolerable"
        " deficiency."
    ),
    "tare_known": "The tare was not said to be known.",
    "right_moment": "The moment of weighing was not said to be the one that the law means.",
}


@dataclass(frozen=True, slots=True)
class LotJudgement:
    """What a rule says of a lot.

    Parameters
    ----------
    verdict : LotVerdict
        ``indicative`` where something is missing, whatever the numbers say; ``undecided`` where
        only the plan's second sample can tell.
    passes : bool or None
        What the numbers alone say; None asks for the second sample.
    mean_ok : bool
    mean_g, least_mean_g : float, grams
        Mean of the first sample, and the lowest that passes.
    deficiency_g : float, grams
        The tolerable deficiency T.
    weighed : int
        Pieces that ``count_t1`` is out of: the first sample, or both where that does not decide.
    count_t1 : int
        Pieces short by more than T.
    allowed_t1 : int
    count_t2 : int
        Pieces short by more than the rule's outer limit, of all the weights; 0 where it has none.
    second_sample : int
        How many more to weigh; 0 where the verdict needs no more.
    reasons : tuple of str
        Why not, and what is missing, one sentence each.
    """

    verdict: LotVerdict
    passes: bool | None
    mean_ok: bool
    mean_g: float
    least_mean_g: float
    deficiency_g: float
    weighed: int
    count_t1: int
    allowed_t1: int
    count_t2: int
    second_sample: int
    reasons: tuple[str, ...]
