"""Average run lengths: by chains, by simulation of our charts, and by an outside program."""

from __future__ import annotations

import math
import os
import random
import shutil
import subprocess
from typing import TYPE_CHECKING

import pytest
from published_run_lengths import (
    CUSUM,
    CUSUM_SHIFTS,
    EWMA,
    EWMA_SHIFTS,
    SHIFTS,
    ZONE_RULES,
    mean_run_length,
)
from run_lengths import cusum_arl, ewma_arl, one_sided_cusum_arl, zone_rules_arl

from weighstation.monitor import WESTERN_ELECTRIC, cusum, ewma, run_rules

if TYPE_CHECKING:
    import numpy as np

    from weighstation.monitor import Signal

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


@pytest.mark.parametrize(
    ("lam", "width", "expected"),
    [(0.2, 2.7, 237.7048), (0.1, 2.7, 368.9937), (0.2, 3.0, 559.8741), (0.3, 3.0, 465.5534)],
)
def test_integral_gives_other_false_alarms(lam: float, width: float, expected: float) -> None:
    """Computed once by R's spc."""
    assert ewma_arl(lam, width, 0) == pytest.approx(expected, rel=1e-6)
    assert cusum_arl(0.5, 4.77, 0) == pytest.approx(368.5614, rel=1e-6)


@pytest.mark.parametrize("chart", EWMA, ids=str)
def test_integral_gives_the_published_ewma(chart: tuple[float, float]) -> None:
    for shift, printed in zip(EWMA_SHIFTS, EWMA[chart], strict=True):
        tolerance = 0.051 if printed < 10 else unit_of(printed)
        assert printed == pytest.approx(ewma_arl(*chart, shift), abs=tolerance)


@pytest.mark.parametrize("shift", [0, 1.0])
@pytest.mark.parametrize("rules", [(1,), (1, 2), (1, 2, 3, 4)], ids=str)
def test_our_run_rules_run_as_long_as_published(rules: tuple[int, ...], shift: float) -> None:
    """400 runs each, within three standard errors.

    Ten thousand each of every published figure in ``tests/benchmarks/run_lengths_simulated.py``.
    """
    names = [WESTERN_ELECTRIC[rule - 1] for rule in rules]
    expected = dict(zip(SHIFTS, ZONE_RULES[rules], strict=True))[shift]
    mean, error = mean_run_length(
        lambda z: run_rules(z + shift, centre=0, sigma=1, rules=names), expected, runs=RUNS, seed=11
    )

    assert abs(mean - expected) < 3 * error


@pytest.mark.parametrize(("h", "shift", "expected"), [(4, 0, 168), (5, 0, 465), (4, 1, 8.38)])
def test_our_cusum_runs_as_long_as_published(h: int, shift: float, expected: float) -> None:
    mean, error = mean_run_length(
        lambda z: cusum(z + shift, target=0, sigma=1, k=0.5, h=h).signals,
        expected,
        runs=RUNS,
        seed=12,
    )

    assert abs(mean - expected) < 3 * error


@pytest.mark.parametrize(("lam", "width"), [(0.4, 3.054), (0.2, 2.962), (0.05, 2.615)])
@pytest.mark.parametrize("shift", [0, 1.0])
def test_our_ewma_runs_as_long_as_published(lam: float, width: float, shift: float) -> None:
    expected = dict(zip(EWMA_SHIFTS, EWMA[lam, width], strict=True))[shift]

    def signals(z: np.ndarray) -> tuple[Signal, ...]:
        return ewma(z + shift, lam=lam, L=width, target=0, sigma=1, steady=True).signals

    mean, error = mean_run_length(signals, expected, runs=RUNS, seed=13)

    assert abs(mean - expected) < 3 * error


R_SCRIPT = """
library(spc)
table <- as.matrix(read.table(file("stdin")))
for (row in seq_len(nrow(table))) {
  one <- table[row, ]
  both <- c(xcusum.arl(one[1], one[2], one[3], sided = "two"),
            xewma.arl(one[4], one[5], one[3], sided = "two"))
  cat(format(both, digits = 15), "\\n")
}
"""


def test_run_lengths_are_those_of_r() -> None:
    """R 4.2 with spc 0.6.7: 1,000 random charts each; largest relative differences measured
    4.3e-11 for the CUSUM and 4.9e-12 for the EWMA.
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

    assert [one for one, _ in theirs] == pytest.approx(cusums, rel=1e-9)
    assert [one for _, one in theirs] == pytest.approx(ewmas, rel=1e-9)
