"""A lot of baked pieces -> whether it would pass a published rule."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import t_quantile
from weighstation.quantities import finite, in_words
from weighstation.quantity.checked import exact_g, exact_weights_g, pieces
from weighstation.quantity.deficiency import exact_deficiency
from weighstation.quantity.judgement import Circumstances, LotJudgement, LotVerdict
from weighstation.quantity.rule import SINGLE
from weighstation.quantity.rule_file import rule_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weighstation.quantity.rule import Plan, QuantityRule


@dataclass(frozen=True, slots=True)
class _Lot:
    weights_g: tuple[Fraction, ...]
    nominal_g: Fraction
    deficiency_g: Fraction
    rule: QuantityRule
    plan: Plan
    lot_size: int

    @property
    def first_g(self) -> tuple[Fraction, ...]:
        return self.weights_g[: self.plan.size(self.lot_size)]

    @property
    def outer_g(self) -> Fraction | None:
        times = self.rule.t2_times
        return None if times is None else self.nominal_g - times * self.deficiency_g


@dataclass(frozen=True, slots=True)
class _Mean:
    mean_g: Fraction
    nominal_g: Fraction
    reach_g: float

    @property
    def least_g(self) -> float:
        return float(self.nominal_g) - self.reach_g

    @property
    def ok(self) -> bool:
        """Compared exactly where the mean may not be below the nominal quantity at all."""
        return self.mean_g >= self.nominal_g or bool(self.reach_g and self.mean_g >= self.least_g)


@dataclass(frozen=True, slots=True)
class _Counts:
    weighed: int
    t1: int
    allowed: int
    rejects: int

    @property
    def passes(self) -> bool | None:
        """None is for the second sample to say."""
        if self.t1 <= self.allowed:
            return True
        return False if self.t1 >= self.rejects else None


def judge_lot(
    weights_g: Iterable[float],
    *,
    nominal_g: float,
    rule: str | QuantityRule,
    lot_size: int,
    plan: str = SINGLE,
    circumstances: Circumstances | None = None,
) -> LotJudgement:
    """Return what a published rule would say of a lot; arithmetic, never legal proof.

    Parameters
    ----------
    weights_g : (n,) iterable of float, grams
        Net weights: as many as the rule's plan takes of such a lot. Of a plan with two samples the
        first alone, or the first and then the second.
    nominal_g : float, grams
        The declared weight.
    rule : str or QuantityRule
    lot_size : int
        Pieces in the lot.
    plan : str
        ``single``, or another that the rule has: ``double`` or ``destructive``.
    circumstances : Circumstances or None
        None says nothing about them, so the verdict is indicative.

    Returns
    -------
    LotJudgement

    Raises
    ------
    SpecificationError
        If the rule is unknown, has no such plan or knows no such lot, if there are more or fewer
        weights than the plan takes, or a number makes no sense.

    Notes
    -----
    A piece counts as short when its weight is below the nominal quantity less T, not on it. The
    mean passes where mean + k s >= nominal, k = t(confidence; n - 1) / root n, s with n - 1, over
    the n pieces of the first sample; a lot that is judged by its plain mean has k = 0. A second
    sample is counted only where the first asks for it, but none of its pieces may be below the
    outer limit either. The plans and their sources are in the rule's file.

    Examples
    --------
    >>> found = judge_lot([800.0] * 40, nominal_g=800, rule="eu-76-211", lot_size=40)
    >>> found.passes, found.verdict.value, len(found.reasons)
    (True, 'indicative', 4)
    """
    lot = _lot(weights_g, nominal_g, rule_of(rule), lot_size, plan)
    mean, counts = _mean(lot), _counts(lot)
    t2 = 0 if lot.outer_g is None else _below(lot.weights_g, lot.outer_g)
    passes = counts.passes if mean.ok and not t2 else False
    missing = _missing(circumstances)
    return LotJudgement(
        verdict=_verdict(passes=passes, missing=missing),
        passes=passes,
        mean_ok=mean.ok,
        mean_g=float(mean.mean_g),
        least_mean_g=mean.least_g,
        deficiency_g=float(lot.deficiency_g),
        weighed=counts.weighed,
        count_t1=counts.t1,
        allowed_t1=counts.allowed,
        count_t2=t2,
        second_sample=_second_sample(lot) if passes is None else 0,
        reasons=(*_reasons(lot, mean, counts, t2, passes=passes), *missing),
    )


def mean_factor(n: int, confidence: float) -> float:
    """Return k of the mean test: how many standard deviations a sample's mean may be short.

    Parameters
    ----------
    n : int
        Pieces in the sample.
    confidence : float
        One-sided.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If there are fewer than two, or the confidence is not from 0.5 up and below 1.

    Examples
    --------
    >>> round(mean_factor(50, 0.995), 3), round(mean_factor(20, 0.995), 3)
    (0.379, 0.64)
    """
    size, sure = pieces(n, "A mean test takes", least=2), finite(confidence)
    if sure is None or not 0.5 <= sure < 1:
        raise SpecificationError(
            f"A confidence is from 0.5 up and below 1, not {in_words(confidence)}."
        )
    return t_quantile(sure, df=size - 1) / math.sqrt(size)


def _lot(
    weights_g: Iterable[float], nominal_g: float, rule: QuantityRule, lot_size: int, kind: str
) -> _Lot:
    size, nominal = pieces(lot_size, "A lot holds"), exact_g(nominal_g, "A nominal quantity")
    lot = _Lot(
        weights_g=exact_weights_g(weights_g),
        nominal_g=nominal,
        deficiency_g=exact_deficiency(nominal, rule),
        rule=rule,
        plan=rule.plan_for(size, kind=kind),
        lot_size=size,
    )
    _check_size(lot)
    return lot


def _check_size(lot: _Lot) -> None:
    needed, second = lot.plan.size(lot.lot_size), _second_sample(lot)
    if len(lot.weights_g) in {needed, needed + second}:
        return
    given = len(lot.weights_g)
    then = f", and {second} more if the first ask for them," if second else ""
    raise SpecificationError(
        f"The plan '{lot.plan.kind}' of the rule '{lot.rule.name}' weighs {needed}{then} of a lot"
        f" of {lot.lot_size}, and there {'is 1 weight' if given == 1 else f'are {given} weights'}.",
        hint="Give the weights of just those that were drawn for it.",
    )


def _second_sample(lot: _Lot) -> int:
    return lot.plan.second.sample if lot.plan.second else 0


def _mean(lot: _Lot) -> _Mean:
    """Return the mean of the first sample, and the lowest that passes: nominal - k s."""
    first_g, rule = lot.first_g, lot.rule
    n = len(first_g)
    mean_g = sum(first_g, Fraction()) / n
    if rule.confidence is None or lot.lot_size < rule.plain_below or n < 2:
        return _Mean(mean_g, lot.nominal_g, 0.0)
    squares = sum((each - mean_g) ** 2 for each in first_g)
    reach_g = mean_factor(n, float(rule.confidence)) * math.sqrt(squares / (n - 1))
    return _Mean(mean_g, lot.nominal_g, reach_g)


def _counts(lot: _Lot) -> _Counts:
    limit_g, second = lot.nominal_g - lot.deficiency_g, lot.plan.second
    n = len(lot.first_g)
    t1, allowed = _below(lot.first_g, limit_g), lot.plan.allowed(n)
    first = _Counts(n, t1, allowed, second.below if second else allowed + 1)
    if second is None or len(lot.weights_g) == n or first.passes is not None:
        return first
    return _Counts(
        len(lot.weights_g), _below(lot.weights_g, limit_g), second.t1, rejects=second.t1 + 1
    )


def _below(weights_g: tuple[Fraction, ...], limit_g: Fraction) -> int:
    return sum(weight_g < limit_g for weight_g in weights_g)


def _missing(circumstances: Circumstances | None) -> tuple[str, ...]:
    said = Circumstances() if circumstances is None else circumstances
    if not isinstance(said, Circumstances):
        raise SpecificationError(
            f"The circumstances are given as Circumstances, not {in_words(said)}.",
            hint="Write Circumstances(random_sample=True), and what else is so.",
        )
    return said.missing


def _verdict(*, passes: bool | None, missing: tuple[str, ...]) -> LotVerdict:
    if missing:
        return LotVerdict.INDICATIVE
    if passes is None:
        return LotVerdict.UNDECIDED
    return LotVerdict.ACCEPTED if passes else LotVerdict.REJECTED


def _reasons(
    lot: _Lot, mean: _Mean, counts: _Counts, t2: int, *, passes: bool | None
) -> Iterator[str]:
    """Yield why a lot does not pass, one sentence each."""
    if not mean.ok:
        yield (
            f"The mean of {float(mean.mean_g):.2f} g is below {mean.least_g:.2f} g, the lowest that"
            " passes."
        )
    limit_g = float(lot.nominal_g - lot.deficiency_g)
    seen = f"{counts.t1} of {counts.weighed} are below {limit_g:g} g"
    if passes is None:
        yield (
            f"{seen}: {counts.allowed} would pass and {counts.rejects} reject the lot, so draw and"
            f" weigh the second sample of {_second_sample(lot)}."
        )
    if counts.passes is False:
        yield f"{seen}, and {counts.rejects} reject the lot."
    if lot.outer_g is not None and t2:
        yield f"{t2} of {len(lot.weights_g)} are below {float(lot.outer_g):g} g, and none may be."
