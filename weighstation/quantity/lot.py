"""A lot of baked pieces -> whether it would pass a published rule."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import t_quantile
from weighstation.quantity.deficiency import exact_deficiency, exact_g
from weighstation.quantity.rule_file import rule_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.quantity.rule import Plan, QuantityRule


class LotVerdict(StrEnum):
    """What can be said of a lot."""

    ACCEPTED = "accepted"
    REJECTED = "rejected"
    INDICATIVE = "indicative"


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What has to be so before a verdict is more than a hint.

    Parameters
    ----------
    random_sample : bool
        The pieces were drawn at random from the whole lot.
    verified_scale : bool
        The scale is verified, and its error at most a fifth of the tolerable deficiency.
    tare_known : bool
        Nothing but the goods was weighed.
    right_moment : bool
        They were weighed when the law wants it, baked and not as dough.
    """

    random_sample: bool = False
    verified_scale: bool = False
    tare_known: bool = False
    right_moment: bool = False

    @property
    def missing(self) -> tuple[str, ...]:
        """What was not said to be so, one sentence each."""
        return tuple(_MISSING[each.name] for each in fields(self) if not getattr(self, each.name))


_MISSING = {
    "random_sample": "The pieces were not said to be drawn at random from the whole lot.",
    "verified_scale": "The scale was not said to be verified and fine enough.",
    "tare_known": "The tare was not said to be known.",
    "right_moment": "The moment of weighing was not said to be the one that the law means.",
}


@dataclass(frozen=True, slots=True)
class LotJudgement:
    """What a rule says of a lot.

    Parameters
    ----------
    verdict : LotVerdict
        ``indicative`` where something is missing, whatever the numbers say.
    passes : bool
        What the numbers alone say.
    mean_ok : bool
    mean_g, least_mean_g : float, grams
        Mean of what was weighed, and the lowest that passes.
    deficiency_g : float, grams
        The tolerable deficiency T.
    count_t1 : int
        Pieces short by more than T.
    allowed_t1 : int
    count_t2 : int
        Pieces short by more than the rule's outer limit; 0 where it has none.
    reasons : tuple of str
        Why not, and what is missing, one sentence each.
    """

    verdict: LotVerdict
    passes: bool
    mean_ok: bool
    mean_g: float
    least_mean_g: float
    deficiency_g: float
    count_t1: int
    allowed_t1: int
    count_t2: int
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Weighed:
    weights_g: tuple[Fraction, ...]
    nominal_g: Fraction
    deficiency_g: Fraction
    rule: QuantityRule
    plan: Plan
    lot_size: int
    mean_g: Fraction = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "mean_g", sum(self.weights_g, Fraction()) / len(self.weights_g))

    def short_by_more(self, times: int) -> int:
        limit_g = self.nominal_g - times * self.deficiency_g
        return sum(weight_g < limit_g for weight_g in self.weights_g)


def judge_lot(
    weights_g: Iterable[float],
    *,
    nominal_g: float,
    rule: str | QuantityRule,
    lot_size: int,
    circumstances: Circumstances | None = None,
) -> LotJudgement:
    """Return what a published rule would say of a lot; arithmetic, never legal proof.

    Parameters
    ----------
    weights_g : (n,) iterable of float, grams
        Net weights: as many as the rule's plan takes of such a lot, or more.
    nominal_g : float, grams
        The declared weight.
    rule : str or QuantityRule
    lot_size : int
        Pieces in the lot.
    circumstances : Circumstances or None
        None says nothing about them, so the verdict is indicative.

    Returns
    -------
    LotJudgement

    Raises
    ------
    SpecificationError
        If the rule is unknown or knows no such lot, there are fewer weights than its sample or
        more than the lot, or a weight is no number of grams.

    Notes
    -----
    A piece counts as short when its weight is below the nominal quantity less T, not on it. The
    mean passes where mean + k s >= nominal, k = t(confidence; n - 1) / root n, s with n - 1; a lot
    that is judged by its plain mean has k = 0. The plans and their sources are in the rule's file.

    Examples
    --------
    >>> found = judge_lot([800.0] * 40, nominal_g=800, rule="eu-76-211", lot_size=40)
    >>> found.passes, found.verdict.value, len(found.reasons)
    (True, 'indicative', 4)
    """
    weighed = _weighed(weights_g, nominal_g, rule_of(rule), lot_size)
    reach_g = _reach_g(weighed)
    least_g = float(weighed.nominal_g) - reach_g
    mean_ok = weighed.mean_g >= weighed.nominal_g or float(weighed.mean_g) >= least_g
    t1, allowed = weighed.short_by_more(1), weighed.plan.allowed(len(weighed.weights_g))
    times = weighed.rule.t2_times
    t2 = 0 if times is None else weighed.short_by_more(times)
    passes = mean_ok and t1 <= allowed and not t2
    missing = (circumstances or Circumstances()).missing
    return LotJudgement(
        verdict=_verdict(passes=passes, missing=missing),
        passes=passes,
        mean_ok=mean_ok,
        mean_g=float(weighed.mean_g),
        least_mean_g=least_g,
        deficiency_g=float(weighed.deficiency_g),
        count_t1=t1,
        allowed_t1=allowed,
        count_t2=t2,
        reasons=(*_reasons(weighed, least_g, mean_ok=mean_ok, t1=t1, t2=t2), *missing),
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
        If there are fewer than two.

    Examples
    --------
    >>> round(mean_factor(50, 0.995), 3), round(mean_factor(20, 0.995), 3)
    (0.379, 0.64)
    """
    if n < 2:
        raise SpecificationError("A mean test takes at least 2 pieces.")
    return t_quantile(confidence, df=n - 1) / math.sqrt(n)


def _weighed(
    weights_g: Iterable[float], nominal_g: float, rule: QuantityRule, lot_size: int
) -> _Weighed:
    weights = tuple(exact_g(each, "A weight") for each in weights_g)
    nominal = exact_g(nominal_g, "A nominal quantity")
    if lot_size < 1:
        raise SpecificationError(f"A lot holds at least 1 piece, not {lot_size}.")
    plan = rule.plan_for(lot_size)
    if len(weights) > lot_size:
        raise SpecificationError(f"There are {len(weights)} weights of a lot of {lot_size}.")
    needed = plan.size(lot_size)
    if len(weights) < needed:
        raise SpecificationError(
            f"The rule '{rule.name}' weighs {needed} of a lot of {lot_size}, and there are"
            f" {len(weights)} weights."
        )
    return _Weighed(weights, nominal, exact_deficiency(nominal, rule), rule, plan, lot_size)


def _reach_g(weighed: _Weighed) -> float:
    """Return by how much the mean may be short: k s."""
    rule, n = weighed.rule, len(weighed.weights_g)
    if rule.confidence is None or weighed.lot_size < rule.plain_below or n < 2:
        return 0.0
    squares = sum((each - weighed.mean_g) ** 2 for each in weighed.weights_g)
    return mean_factor(n, float(rule.confidence)) * math.sqrt(squares / (n - 1))


def _verdict(*, passes: bool, missing: tuple[str, ...]) -> LotVerdict:
    if missing:
        return LotVerdict.INDICATIVE
    return LotVerdict.ACCEPTED if passes else LotVerdict.REJECTED


def _reasons(
    weighed: _Weighed, least_g: float, *, mean_ok: bool, t1: int, t2: int
) -> tuple[str, ...]:
    found = []
    nominal_g, deficiency_g = float(weighed.nominal_g), float(weighed.deficiency_g)
    allowed = weighed.plan.allowed(len(weighed.weights_g))
    if not mean_ok:
        found.append(
            f"The mean of {float(weighed.mean_g):.2f} g is below {least_g:.2f} g, the lowest that"
            " passes."
        )
    if t1 > allowed:
        found.append(
            f"{t1} of {len(weighed.weights_g)} are below {nominal_g - deficiency_g:g} g, and"
            f" {allowed} may be."
        )
    if t2:
        outer_g = nominal_g - (weighed.rule.t2_times or 0) * deficiency_g
        found.append(f"{t2} of {len(weighed.weights_g)} are below {outer_g:g} g, and none may be.")
    return tuple(found)
