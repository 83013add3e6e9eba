"""A batch of baked loaves -> what a published rule on quantities says of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weighstation.quantity import (
    Circumstances,
    LotVerdict,
    judge_lot,
    packers_rules,
    tolerable_deficiency,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.quantity import QuantityRule
    from weighstation.report.baked.batch import BakedBatch


@dataclass(frozen=True, slots=True)
class BakedLot:
    """What a rule says of a batch.

    Parameters
    ----------
    rule : str
        Its name.
    nominal_g : float, grams
        The declared weight.
    verdict : LotVerdict
        ``indicative`` where something is missing, whatever the numbers say.
    passes : bool or None
        What the numbers alone say.
    lot_size, needed : int
        Loaves in the lot, and how many of them the rule's plan weighs.
    weighed : int
        How many the figures are out of.
    mean_g, least_mean_g : float, grams
        Their mean, and the lowest that passes.
    deficiency_g : float, grams
        The tolerable deficiency T.
    count_t1, allowed_t1 : int
        Loaves short by more than T, and how many may be.
    count_t2 : int
        Loaves short by more than the rule's outer limit.
    reasons : tuple of str
        Why it does not pass, and what is missing for more than a hint, one sentence each.
    """

    rule: str
    nominal_g: float
    verdict: LotVerdict
    passes: bool | None
    lot_size: int
    needed: int
    weighed: int
    mean_g: float
    least_mean_g: float
    deficiency_g: float
    count_t1: int
    allowed_t1: int
    count_t2: int
    reasons: tuple[str, ...]


def baked_lot(
    batch: BakedBatch,
    rule: QuantityRule,
    *,
    nominal_g: float,
    cooling_loss_per_h: float | None = None,
    said: Circumstances | None = None,
) -> BakedLot:
    """Return what a rule says of a batch; arithmetic, never legal proof.

    Parameters
    ----------
    batch : BakedBatch
        The lot is all its pieces.
    rule : QuantityRule
    nominal_g : float, grams
        The declared weight.
    cooling_loss_per_h : float or None
        For the weights at one hour, where that can be said of all loaves.
    said : Circumstances or None
        What a person says is so.

    Returns
    -------
    BakedLot

    Raises
    ------
    NotEnoughDataError
        If no loaf was weighed.
    SpecificationError
        If the rule has no plan for such a lot, or no deficiency for the declared weight.

    Notes
    -----
    Where as many loaves were weighed as the rule's plan takes, the first of them are judged by it.
    Where there are fewer, the packer's three rules are applied to those that were weighed, which is
    a hint and no more.
    """
    weights_g = batch.best_g(cooling_loss_per_h)
    lot_size = max(len(batch.raw_mg), len(weights_g))
    needed = rule.plan_for(lot_size).size(lot_size)
    holds = _circumstances(batch, said or Circumstances(), is_whole=len(weights_g) >= lot_size)
    if len(weights_g) < needed:
        lot = _of_few(weights_g, rule, nominal_g, (lot_size, needed))
        lot = replace(lot, reasons=(*lot.reasons, *holds.missing))
    else:
        lot = _of_plan(weights_g[:needed], rule, nominal_g, (lot_size, holds))
    doubts = tuple(_doubts(batch, weights_g))
    if doubts and not holds.missing:
        lot = replace(lot, verdict=LotVerdict.INDICATIVE)
    return replace(lot, reasons=(*lot.reasons, *doubts))


def _circumstances(batch: BakedBatch, said: Circumstances, *, is_whole: bool) -> Circumstances:
    """Return what is so, as far as the record says it itself."""
    return replace(
        said,
        random_sample=said.random_sample or is_whole,
        right_moment=said.right_moment or batch.is_at_one_hour,
    )


def _of_plan(
    weights_g: tuple[float, ...],
    rule: QuantityRule,
    nominal_g: float,
    of: tuple[int, Circumstances],
) -> BakedLot:
    lot_size, holds = of
    found = judge_lot(
        weights_g, nominal_g=nominal_g, rule=rule, lot_size=lot_size, circumstances=holds
    )
    return BakedLot(
        rule=rule.name,
        nominal_g=nominal_g,
        verdict=found.verdict,
        passes=found.passes,
        lot_size=lot_size,
        needed=len(weights_g),
        weighed=found.weighed,
        mean_g=found.mean_g,
        least_mean_g=found.least_mean_g,
        deficiency_g=found.deficiency_g,
        count_t1=found.count_t1,
        allowed_t1=found.allowed_t1,
        count_t2=found.count_t2,
        reasons=found.reasons,
    )


def _of_few(
    weights_g: tuple[float, ...], rule: QuantityRule, nominal_g: float, of: tuple[int, int]
) -> BakedLot:
    lot_size, needed = of
    found = packers_rules(weights_g, nominal_g=nominal_g, rule=rule)
    n, short_g = len(weights_g), tolerable_deficiency(nominal_g, rule=rule)
    limit_g = nominal_g - short_g
    reasons = (
        (found.mean_ok, f"The mean of {found.mean_g:.2f} g is below {nominal_g:g} g."),
        (found.t1_ok, f"{found.count_t1} of {n} are below {limit_g:g} g, and too many are."),
        (found.t2_ok, f"{found.count_t2} of {n} are far too light, and none may be."),
        (False, f"{needed} of a lot of {lot_size} are to be weighed, and {n} were."),
    )
    return BakedLot(
        rule=rule.name,
        nominal_g=nominal_g,
        verdict=LotVerdict.INDICATIVE,
        passes=found.mean_ok and found.t1_ok and found.t2_ok,
        lot_size=lot_size,
        needed=needed,
        weighed=n,
        mean_g=found.mean_g,
        least_mean_g=nominal_g,
        deficiency_g=short_g,
        count_t1=found.count_t1,
        allowed_t1=int((rule.t1_share or 0) * n),
        count_t2=found.count_t2,
        reasons=tuple(sentence for is_well, sentence in reasons if not is_well),
    )


def _doubts(batch: BakedBatch, weights_g: tuple[float, ...]) -> Iterator[str]:
    """Yield what else speaks against taking the figures for more than a hint."""
    if batch.doubtful:
        yield (
            f"{len(batch.doubtful)} of the loaves are doubtful: a check found their scale not fit."
        )
    if weights_g != batch.weights_g:
        yield "The weights at one hour are worked out from earlier ones, and were not weighed."
    elif (minutes := batch.minutes) and max(minutes) < 60 and not batch.is_at_one_hour:
        yield (
            f"They were weighed {min(minutes):.0f} to {max(minutes):.0f} minutes out of the oven"
            " and go on losing weight."
        )
