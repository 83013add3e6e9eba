"""The lowest mean that keeps a rule, for the spread that this bench and oven really have."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import binomial_cdf, normal_quantile
from weighstation.quantities import finite, in_words
from weighstation.quantity.checked import exact_g, pieces
from weighstation.quantity.deficiency import tolerable_deficiency
from weighstation.quantity.rule import SINGLE
from weighstation.quantity.rule_file import rule_of

if TYPE_CHECKING:
    from weighstation.quantity.rule import QuantityRule

LEAST_RISK = 1e-6
"""No normal law is so near the truth that a smaller risk means anything."""
_HALVINGS = 80


class Binding(StrEnum):
    """Which demand asks for the most."""

    MEAN = "mean"
    T1 = "t1"
    T2 = "t2"


@dataclass(frozen=True, slots=True)
class Aim:
    """The least lawful aim.

    Parameters
    ----------
    aim_g : float, grams
        The lowest mean of the baked goods that keeps every demand.
    binding : Binding
        The demand that asks for it.
    knee_g : float, grams
        Spread of single pieces below which the limits for single pieces ask for no more than the
        mean does: evening out further saves nothing by them.
    by_mean_g, by_t1_g, by_t2_g : float, grams
        What each asks for; minus infinity where the rule knows no such demand.
    """

    aim_g: float
    binding: Binding
    knee_g: float
    by_mean_g: float
    by_t1_g: float
    by_t2_g: float


@dataclass(frozen=True, slots=True)
class _Demand:
    nominal_g: float
    deficiency_g: float
    batch_size: int | None
    batch_sd_g: float
    z_risk: float
    z_t1: float | None
    z_t2: float | None
    t2_times: int

    def by_mean(self, sd_g: float) -> float:
        if self.batch_size is None:
            return self.nominal_g
        wander_g = math.hypot(sd_g / math.sqrt(self.batch_size), self.batch_sd_g)
        return self.nominal_g + self.z_risk * wander_g

    def by_t1(self, sd_g: float) -> float:
        return self._by_limit(self.z_t1, 1, sd_g)

    def by_t2(self, sd_g: float) -> float:
        return self._by_limit(self.z_t2, self.t2_times, sd_g)

    def _by_limit(self, z: float | None, times: int, sd_g: float) -> float:
        if z is None:
            return -math.inf
        whole_g = math.hypot(sd_g, self.batch_sd_g)
        return self.nominal_g - times * self.deficiency_g + z * whole_g


def least_aim(
    nominal_g: float,
    sd_g: float,
    *,
    rule: str | QuantityRule,
    batch_size: int | None = None,
    batch_sd_g: float = 0.0,
    risk: float = 0.05,
) -> Aim:
    """Return the lowest mean that keeps a rule for a given spread.

    Parameters
    ----------
    nominal_g : float, grams
        The declared weight.
    sd_g : float, grams
        Spread of single baked pieces within a batch.
    rule : str or QuantityRule
    batch_size : int or None
        Pieces in a batch that is judged by its own mean; None judges the mean of the long run.
    batch_sd_g : float, grams
        Spread of the means from batch to batch.
    risk : float
        Chance that the mean of a batch fails that is aimed so, from 0.000001 up and below a half.

    Returns
    -------
    Aim

    Raises
    ------
    SpecificationError
        If a number makes no sense, or the rule is unknown.

    Notes
    -----
    Each demand is worked out by itself; that the counts of a small batch fail besides is not in
    ``risk`` (in the example 6.1 % fail by one or the other, worked out).

    Mean: nominal + z(1 - risk) root(s^2 / N + wander^2), because aiming at the nominal fails half
    of the batches that are judged by themselves; for lots that are sampled this is on the safe
    side, since their test gives the mean k s of grace. Limits of single pieces: nominal - T +
    z(1 - share) S and nominal - 2 T + 3.72 S, S^2 = s^2 + wander^2, for normal weights: the
    United Kingdom's code for packers and WELMEC 6.4 (from memory, recomputed). Where a rule has no
    share but a plan (NIST HB 133), or says that none may be short, the share is the one at which
    more of its sample are short than the plan allows with the chance ``risk``.

    Examples
    --------
    >>> found = least_aim(800, 8, rule="eu-76-211", batch_size=48, batch_sd_g=3)
    >>> round(found.aim_g, 2), found.binding.value
    (805.29, 'mean')
    """
    demand = _demand(nominal_g, rule_of(rule), batch_size, batch_sd_g, risk)
    spread_g = float(exact_g(sd_g, "The spread"))
    asked = {
        Binding.MEAN: demand.by_mean(spread_g),
        Binding.T1: demand.by_t1(spread_g),
        Binding.T2: demand.by_t2(spread_g),
    }
    binding = max(asked, key=lambda each: asked[each])
    return Aim(
        asked[binding],
        binding,
        _knee_g(demand),
        asked[Binding.MEAN],
        asked[Binding.T1],
        asked[Binding.T2],
    )


def _demand(
    nominal_g: float, rule: QuantityRule, batch_size: int | None, batch_sd_g: float, risk: float
) -> _Demand:
    chance = finite(risk)
    if chance is None or not LEAST_RISK <= chance < 0.5:
        raise SpecificationError(
            f"A risk is from {LEAST_RISK:f} up and below 0.5, not {in_words(risk)}."
        )
    size = None if batch_size is None else pieces(batch_size, "A batch holds")
    return _Demand(
        nominal_g=float(exact_g(nominal_g, "A nominal quantity")),
        deficiency_g=tolerable_deficiency(nominal_g, rule=rule),
        batch_size=size,
        batch_sd_g=float(exact_g(batch_sd_g, "The spread from batch to batch")),
        z_risk=-normal_quantile(chance),
        z_t1=-normal_quantile(_t1_share(rule, size, chance)),
        z_t2=None if rule.t2_share is None else -normal_quantile(float(rule.t2_share)),
        t2_times=rule.t2_times or 0,
    )


def _t1_share(rule: QuantityRule, batch_size: int | None, risk: float) -> float:
    """Return what share may be short: as the rule says, or as its plan lets pass."""
    if rule.t1_share:
        return float(rule.t1_share)
    largest = max(rule.plans_of(SINGLE), key=lambda plan: plan.last)
    plan = largest if batch_size is None else rule.plan_for(batch_size)
    n = plan.size(batch_size or plan.last)
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        passes = binomial_cdf(plan.allowed(n), n=n, p=middle) >= 1 - risk
        low, high = (middle, high) if passes else (low, middle)
    return low


def _knee_g(demand: _Demand) -> float:
    """Return the spread at which the limits of single pieces begin to ask for more."""

    def asks_more(sd_g: float) -> bool:
        return max(demand.by_t1(sd_g), demand.by_t2(sd_g)) > demand.by_mean(sd_g)

    if asks_more(0.0):
        return 0.0
    low, high = 0.0, demand.nominal_g
    if not asks_more(high):
        return math.inf
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if asks_more(middle) else (middle, high)
    return low
