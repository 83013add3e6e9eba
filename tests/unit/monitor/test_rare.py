"""How sure a total is that few rare things make up."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from weighstation.errors import SpecificationError
from weighstation.monitor import mean_interval, rare_total_interval

if TYPE_CHECKING:
    from collections.abc import Callable

# Exact 95 % limits of a Poisson mean: Garwood, Biometrika 28 (1936) 437 (from memory), as they
# stand in tables of vital statistics.
GARWOOD = {0: (0, 3.689), 1: (0.0253, 5.572), 3: (0.619, 8.767), 10: (4.795, 18.390)}

SIZES: dict[str, Callable[[np.random.Generator, int], np.ndarray]] = {
    "all alike": lambda _, n: np.full(n, 20.0),
    "beyond a limit": lambda draw, n: 10 + draw.exponential(10, n),
    "from small to large": lambda draw, n: draw.gamma(2, 10, n),
}


@pytest.mark.parametrize("seen", GARWOOD)
def test_of_things_all_alike_it_is_that_of_a_poisson_mean(seen: int) -> None:
    ends = rare_total_interval(7.0 * seen, variance=49.0 * seen, next_one=7.0)

    assert GARWOOD[seen] == pytest.approx([end / 7 for end in ends], abs=5e-4)


def test_of_many_it_is_the_usual_one() -> None:
    """A million of 1: total and standard error by the normal law, with one more at the high end."""
    low, high = rare_total_interval(1e6, variance=1e6, next_one=1)

    assert (1e6 - 1960, 1e6 + 1960) == pytest.approx((low, high), abs=5)
    assert mean_interval(1, sd_g=1, n=10**6) == pytest.approx((low / 1e6, high / 1e6), abs=5e-6)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("usual", [0.3, 1, 3, 10, 40])
def test_it_holds_what_is_expected(size: str, usual: float) -> None:
    """1,000 weeks drawn by NumPy: never below 95 % by more than three standard errors (2.1)."""
    draw = np.random.default_rng(round(10 * usual))
    mean = float(SIZES[size](draw, 100_000).mean())
    held = 0
    for _ in range(1000):
        seen = SIZES[size](draw, int(draw.poisson(usual)))
        next_one = max([mean, *seen])
        low, high = rare_total_interval(
            float(seen.sum()), variance=float((seen**2).sum()), next_one=next_one
        )
        held += low <= usual * mean <= high

    assert held / 1000 >= 0.929


def test_a_variance_far_above_the_total_leaves_both_ends_far_off() -> None:
    low, high = rare_total_interval(1, variance=1000, next_one=1)

    assert low == 0
    assert high > 1000


@pytest.mark.parametrize(
    ("total", "variance", "next_one"),
    [(-1, 1, 1), (1, -1, 1), (1, 1, 0), (1, 0, 1), (0, 1, 1), (float("nan"), 1, 1)],
)
def test_what_cannot_be_is_refused(total: float, variance: float, next_one: float) -> None:
    with pytest.raises(SpecificationError):
        rare_total_interval(total, variance=variance, next_one=next_one)
