"""The lag-1 autocorrelation is the certified one, and its sentence about the chart holds."""

from __future__ import annotations

import math
import random

import pytest
from statsmodels.tsa.stattools import acf  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.process.autocorrelation import autocorrelation
from weighstation.monitor.process.capability import capability
from weighstation.monitor.sample import checked

# NIST Statistical Reference Datasets, univariate (public domain; read). Thousandths above 299.
MICHELSO = """
850 740 900 1070 930 850 950 980 980 880 1000 980 930 650 760 810 1000 1000 960 960 960 940 960
940 880 800 850 880 900 840 830 790 810 880 880 830 800 790 760 800 880 880 880 860 720 720 620
860 970 950 880 910 850 870 840 840 850 840 840 840 890 810 810 820 800 770 760 740 750 760 910
920 890 860 880 720 840 850 850 780 890 840 780 810 760 810 790 810 820 850 870 870 810 740 810
940 950 800 810 870
"""
# Ten-thousandths above 2.
MAVRO = """
18 17 18 19 18 17 15 14 15 15 17 18 18 19 19 21 20 16 14 13 13 15 15 16 15 14 13 14 15 14 15 16 15
16 19 20 20 21 22 23 24 25 27 26 26 26 27 26 25 24
"""


def digits_of_pi(many: int) -> list[int]:
    """Return the first digits of pi by Machin's formula."""
    one = 10 ** (many + 20)

    def arctan(inverse: int) -> int:
        total, term, odd = 0, one // inverse, 1
        while term:
            total += term // odd if odd % 4 == 1 else -(term // odd)
            term //= inverse * inverse
            odd += 2
        return total

    # in two halves, because Python turns no integer of so many digits into text at once
    first, second = divmod(4 * (4 * arctan(5) - arctan(239)), 10 ** (many // 2))
    return [int(digit) for digit in f"{first}{second:0{many // 2}d}"[:many]]


def pi_digits() -> list[float]:
    """The set as NIST has it: the digit at place 956 is 3 there, where pi has 8."""
    digits: list[float] = [float(digit) for digit in digits_of_pi(5000)]
    assert 8.0 == digits[956]
    digits[956] = 3.0
    return digits


def accuracy_set(centre: float) -> list[float]:
    return [centre, *(centre - 0.1, centre + 0.1) * 500]


SETS = {
    # name: weights, certified mean, sd and r1 (read), and how near a double can come for r1 and sd
    "PiDigits": (pi_digits(), 4.5348, 2.86733906028871, -0.00355099287237972, 1e-12),
    "Mavro": (
        [2 + int(part) / 1e4 for part in MAVRO.split()],
        *(2.001856, 0.000429123454003053, 0.937989183438248, 1e-10),
    ),
    "Michelso": (
        [299 + int(part) / 1000 for part in MICHELSO.split()],
        *(299.8524, 0.0790105478190518, 0.535199668621283, 1e-10),
    ),
    "NumAcc1": ([10000001.0, 10000003.0, 10000002.0], 10000002.0, 1.0, -0.5, 1e-14),
    "NumAcc2": (accuracy_set(1.2), 1.2, 0.1, -0.999, 1e-13),
    "NumAcc3": (accuracy_set(1000000.2), 1000000.2, 0.1, -0.999, 1e-8),
    "NumAcc4": (accuracy_set(10000000.2), 10000000.2, 0.1, -0.999, 1e-7),
}


@pytest.mark.parametrize("name", SETS)
def test_certified_values(name: str) -> None:
    """The tolerance is wide where the decimal data themselves have no double (NumAcc3, 4)."""
    weights, mean, sd, r1, near = SETS[name]
    sample = checked(weights, what="A set")

    assert mean == pytest.approx(sample.mean_g, rel=1e-14)
    assert sd == pytest.approx(sample.sd_g, rel=near)
    assert r1 == pytest.approx(autocorrelation(weights).r1, rel=near)


def test_a_thousand_runs_agree_with_a_reference_library() -> None:
    """statsmodels 0.14 `acf`; largest difference 2.2e-14 (of values up to 1)."""
    draw = random.Random(71)
    apart = 0.0
    for _ in range(1000):
        run = [draw.gauss(740, 4) for _ in range(draw.randint(3, 200))]
        apart = max(apart, abs(autocorrelation(run).r1 - float(acf(run, nlags=1, fft=False)[1])))

    assert 1e-12 > apart


def test_independent_weights_stay_inside_the_limits_as_often_as_said() -> None:
    """2,000 seeded runs of 100: 95 % within three standard errors, and 1 % for the small n."""
    draw = random.Random(72)
    inside = sum(
        autocorrelation([draw.gauss(0, 1) for _ in range(100)]).is_plausibly_zero
        for _ in range(2000)
    )

    assert abs(inside / 2000 - 0.95) < 3 * math.sqrt(0.95 * 0.05 / 2000) + 0.01


@pytest.mark.parametrize("r", [0.6, -0.6])
def test_a_moving_range_sees_what_the_sentence_says(r: float) -> None:
    """20,000 weights, each r times the last and noise: the short spread is sqrt(1 - r) of all."""
    draw = random.Random(73)
    run = [0.0]
    for _ in range(20_000):
        run.append(r * run[-1] + draw.gauss(0, 1))
    found = autocorrelation(run)
    charted = capability(run, -1.0, 1.0)

    assert charted.within is not None
    seen = charted.within.sigma_g / charted.sd_g
    assert math.sqrt(1 - r) == pytest.approx(seen, rel=0.03)
    assert found.moving_range_share == pytest.approx(seen, rel=0.03)
    assert ("too narrow" if r > 0 else "too wide") in found.text


def test_independent_weights_are_said_to_be() -> None:
    draw = random.Random(74)

    assert "independent" in autocorrelation([draw.gauss(740, 4) for _ in range(60)]).text


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="at least 3"):
        autocorrelation([740.0, 741.0])
    with pytest.raises(SpecificationError, match="all 3 weights are equal"):
        autocorrelation([740.0] * 3)
    with pytest.raises(SpecificationError, match="finite numbers"):
        autocorrelation([740.0, math.inf, 741.0])
