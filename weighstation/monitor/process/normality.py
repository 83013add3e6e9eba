"""Do weights follow the normal law: the test of Anderson and Darling."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import normal_cdf
from weighstation.monitor.given import checked_confidence
from weighstation.monitor.sample import Sample, spread

if TYPE_CHECKING:
    from collections.abc import Iterable

FEWEST = 8
"""The p-value formulas are given for no fewer."""

MOST = 13.0
"""Beyond this the formula of the p-value turns; there p is below 1e-30."""

SMALLEST = 5e-324


@dataclass(frozen=True, slots=True)
class Normality:
    """The result of the test.

    Parameters
    ----------
    a_squared : float
        The statistic A squared, mean and standard deviation being estimated.
    adjusted : float
        A squared times (1 + 0.75 / n + 2.25 / n^2).
    p : float
        Chance of so great a statistic, were the weights normal.
    level : float
        Below which ``p`` counts against the normal law.
    n : int
    """

    a_squared: float
    adjusted: float
    p: float
    level: float
    n: int

    @property
    def is_plausible(self) -> bool:
        """Whether the sample leaves the normal law standing; that does not prove it."""
        return self.p >= self.level

    @property
    def text(self) -> str:
        """What it means for the chart and for shares outside."""
        if self.is_plausible:
            return (
                f"Nothing in these {self.n} weights speaks against the normal law"
                f" (p = {self.p:.2g}); that does not prove it far out in the tails."
            )
        return (
            f"These {self.n} weights do not follow the normal law (p = {self.p:.2g}): limits of"
            " single weights will signal at another rate than 1 in 370, and shares outside by"
            " the normal law are not to be trusted; means of groups suffer less. A coarse"
            " division alone can do this."
        )


def normality(x: Iterable[float], *, level: float = 0.05) -> Normality:
    """Return whether weights are plausibly normal, mean and spread unknown.

    Parameters
    ----------
    x : (n,) float, grams
        At least eight, not all equal.
    level : float
        Between 0 and 1.

    Returns
    -------
    Normality

    Raises
    ------
    NotEnoughDataError
        If there are fewer than eight weights.
    SpecificationError
        If a weight is not a finite number, all are equal, or the level is none.

    Notes
    -----
    R. B. D'Agostino and M. A. Stephens (eds.), Goodness-of-Fit Techniques, 1986, table 4.9, for
    the normal law with both parameters estimated (from memory; compared with a reference
    library). The p-values are fitted formulas, good to two digits, not exact.
    """
    checked_confidence(level)
    sample = spread(x, what="A test of normality", need=FEWEST)
    n = sample.n
    a_squared = _a_squared(sample)
    adjusted = a_squared * (1 + 0.75 / n + 2.25 / n**2)
    return Normality(a_squared, adjusted, _p_value(min(adjusted, MOST)), level, n)


def _a_squared(sample: Sample) -> float:
    ordered = [(value - sample.mean_g) / sample.sd_g for value in sorted(sample.points)]
    n = len(ordered)

    def log_below(z: float) -> float:
        return math.log(max(normal_cdf(z), SMALLEST))

    terms = (
        (2 * i + 1) * (log_below(ordered[i]) + log_below(-ordered[n - 1 - i])) for i in range(n)
    )
    return -n - math.fsum(terms) / n


def _p_value(a: float) -> float:
    if a >= 0.6:
        return math.exp(1.2937 - 5.709 * a + 0.0186 * a * a)
    if a > 0.34:
        return math.exp(0.9177 - 4.279 * a - 1.38 * a * a)
    if a > 0.2:
        return 1 - math.exp(-8.318 + 42.796 * a - 59.938 * a * a)
    return 1 - math.exp(-13.436 + 101.14 * a - 223.73 * a * a)
