"""Average run lengths: by chains, by simulation of our charts, and by an outside program."""

from __future__ import annotations

import math
import os
import random
import shutil
import subprocess
from typing import TYPE_CHECKING

import numpy as np
import pytest
from run_lengths import cusum_arl, ewma_arl, one_sided_cusum_arl, zone_rules_arl

from weighstation.monitor import WESTERN_ELECTRIC, cusum, ewma, run_rules

if TYPE_CHECKING:
    from collections.abc import Callable

SHIFTS = (0, 0.2, 0.4, 0.6, 0.8, 1.0, 1.4, 2.0, 3.0)
# Champ and Woodall, Technometrics 29 (1987) 393 (from memory, recomputed by a chain of our own in
# another language); the 91.75 read in a copy.
ZONE_RULES = {
    (1,): (370.40, 308.43, 200.08, 119.67, 71.55, 43.89, 18.25, 6.30, 2.00),
    (1, 2): (225.44, 177.56, 104.46, 57.92, 33.12, 20.01, 8.69, 3.65, 1.68),
    (1, 3): (166.05, 120.70, 63.88, 33.99, 19.78, 12.66, 6.62, 3.68, 1.89),
    (1, 4): (152.73, 110.52, 59.76, 33.64, 21.07, 14.58, 8.60, 4.89, 1.99),
    (1, 2, 3): (132.89, 97.86, 52.93, 28.70, 16.93, 10.95, 5.75, 3.14, 1.67),
    (1, 2, 4): (122.05, 89.14, 48.71, 27.49, 17.14, 11.73, 6.63, 3.50, 1.68),
    (1, 3, 4): (105.78, 76.01, 40.95, 23.16, 14.62, 10.19, 6.08, 3.65, 1.89),
    (1, 2, 3, 4): (91.75, 66.80, 36.61, 20.91, 13.25, 9.22, 5.42, 3.13, 1.67),
}
# Lucas, Journal of Quality Technology 8 (1976) 1, in Montgomery's table 9.3 (from memory): k 0.5.
CUSUM_SHIFTS = (0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4)
CUSUM = {
    4: (168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.62, 2.19, 1.71),
    5: (465, 139, 38.0, 17.0, 10.4, 5.75, 4.01, 3.11, 2.57, 2.01),
}
# Lucas and Saccucci, Technometrics 32 (1990) 1 (from memory).
EWMA_SHIFTS = (0, 0.25, 0.5, 0.75, 1, 1.5, 2, 3)
EWMA = {
    (0.40, 3.054): (500, 224, 71.2, 28.4, 14.3, 5.9, 3.5, 2.0),
    (0.25, 2.998): (500, 170, 48.2, 20.1, 11.1, 5.5, 3.6, 2.3),
    (0.20, 2.962): (500, 150, 41.8, 18.2, 10.5, 5.5, 3.7, 2.4),
    (0.10, 2.814): (500, 106, 31.3, 15.9, 10.3, 6.1, 4.4, 2.9),
    (0.05, 2.615): (500, 84.1, 28.8, 16.4, 11.4, 7.1, 5.2, 3.5),
}
RUNS = 400


def unit_of(printed: float) -> float:
    """Return one unit in the last of three printed digits."""
    return float(10 ** (math.floor(math.log10(printed)) - 2))


@pytest.mark.parametrize("rules", ZONE_RULES, ids=str)
def test_chain_gives_the_published_table_of_zone_rules(rules: tuple[int, ...]) -> None:
    found = [zone_rules_arl(rules, shift) for shift in SHIFTS]

    assert ZONE_RULES[rules] == pytest.approx(found, abs=0.0051)


@pytest.mark.parametrize("h", CUSUM)
def test_integral_gives_the_published_cusum(h: int) -> None:
    for shift, printed in zip(CUSUM_SHIFTS, CUSUM[h], strict=True):
        assert printed == pytest.approx(cusum_arl(0.5, h, shift), abs=unit_of(printed))


def test_integral_gives_the_published_head_start() -> None:
    """Lucas and Crosier (1982), half of h; recomputed by R's spc to four places."""
    assert cusum_arl(0.5, 4, 0, 2) == pytest.approx(148.6956, rel=1e-5)
    assert cusum_arl(0.5, 4, 1, 2) == pytest.approx(5.2869, rel=1e-4)
    assert cusum_arl(0.5, 5, 0, 2.5) == pytest.approx(430.3908, rel=1e-5)
    assert one_sided_cusum_arl(0.5, 5, 0) == pytest.approx(930.8870, rel=1e-6)


@pytest.mark.parametrize("chart", EWMA, ids=str)
def test_integral_gives_the_published_ewma(chart: tuple[float, float]) -> None:
    for shift, printed in zip(EWMA_SHIFTS, EWMA[chart], strict=True):
        tolerance = 0.051 if printed < 10 else unit_of(printed)
        assert printed == pytest.approx(ewma_arl(*chart, shift), abs=tolerance)


def simulated(first: Callable[[np.ndarray], int], expected: float, seed: int) -> tuple[float, ...]:
    """Return the mean of so many run lengths of our charts, and its standard error."""
    draw = np.random.default_rng(seed)
    length = int(12 * expected) + 50
    runs = [first(draw.standard_normal(length)) for _ in range(RUNS)]
    return float(np.mean(runs)), float(np.std(runs, ddof=1)) / math.sqrt(RUNS)


@pytest.mark.parametrize("shift", [0, 1.0])
@pytest.mark.parametrize("rules", [(1,), (1, 2), (1, 2, 3, 4)], ids=str)
def test_our_run_rules_run_as_long_as_published(rules: tuple[int, ...], shift: float) -> None:
    """400 runs each, within three standard errors; ten thousand in the benchmark."""
    names = [WESTERN_ELECTRIC[rule - 1] for rule in rules]
    expected = dict(zip(SHIFTS, ZONE_RULES[rules], strict=True))[shift]
    mean, error = simulated(
        lambda z: run_rules(z + shift, centre=0, sigma=1, rules=names)[0].index + 1, expected, 11
    )

    assert abs(mean - expected) < 3 * error


@pytest.mark.parametrize(("h", "shift", "expected"), [(4, 0, 168), (5, 0, 465), (4, 1, 8.38)])
def test_our_cusum_runs_as_long_as_published(h: int, shift: float, expected: float) -> None:
    mean, error = simulated(
        lambda z: cusum(z + shift, target=0, sigma=1, k=0.5, h=h).signals[0].index + 1,
        expected,
        12,
    )

    assert abs(mean - expected) < 3 * error


@pytest.mark.parametrize(("lam", "width"), [(0.4, 3.054), (0.2, 2.962), (0.05, 2.615)])
@pytest.mark.parametrize("shift", [0, 1.0])
def test_our_ewma_runs_as_long_as_published(lam: float, width: float, shift: float) -> None:
    expected = dict(zip(EWMA_SHIFTS, EWMA[lam, width], strict=True))[shift]

    def first(z: np.ndarray) -> int:
        chart = ewma(z + shift, lam=lam, L=width, target=0, sigma=1, steady=True)
        return chart.signals[0].index + 1

    mean, error = simulated(first, expected, 13)

    assert abs(mean - expected) < 3 * error


R_SCRIPT = """
library(spc)
table <- as.matrix(read.table(file("stdin")))
for (row in seq_len(nrow(table))) {
  one <- table[row, ]
  cat(xcusum.arl(one[1], one[2], one[3], sided = "two"),
      xewma.arl(one[4], one[5], one[3], sided = "two"), "\\n")
}
"""


def test_run_lengths_are_those_of_r() -> None:
    """R 4.2 with spc 0.6.7: 1,000 random charts each; largest relative difference measured
    5e-7 for both.
    """
    rscript = shutil.which("Rscript")
    has_spc = (
        rscript
        and not subprocess.run(
            [rscript, "-e", "library(spc)"], check=False, capture_output=True
        ).returncode
    )
    if not rscript or not has_spc:
        if os.environ.get("CI") == "true":
            pytest.fail("R with its package spc is not here")
        pytest.skip("R with its package spc is not here")
    draw = random.Random(5)
    rows = [
        [
            draw.uniform(0.2, 1.0),
            draw.uniform(1.5, 5.0),
            draw.uniform(0.0, 2.0),
            draw.uniform(0.05, 0.6),
            draw.uniform(2.0, 3.2),
        ]
        for _ in range(1000)
    ]
    sent = "\n".join(" ".join(map(str, row)) for row in rows)
    result = subprocess.run(
        [rscript, "-e", R_SCRIPT], input=sent, text=True, check=True, capture_output=True
    )
    theirs = [list(map(float, line.split())) for line in result.stdout.splitlines()]
    cusums = [cusum_arl(k, h, shift) for k, h, shift, _, _ in rows]
    ewmas = [ewma_arl(lam, width, shift) for _, _, shift, lam, width in rows]

    assert [one for one, _ in theirs] == pytest.approx(cusums, rel=1e-3)
    assert [one for _, one in theirs] == pytest.approx(ewmas, rel=1e-6)
