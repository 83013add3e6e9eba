"""A gauge study gives the published example's answers, by both methods."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.distributions import f_sf
from weighstation.monitor.process.gauge import GaugeStudy, gauge_by_ranges, gauge_by_variances

# AIAG Measurement Systems Analysis: three persons, three trials, ten parts. Data and printed
# answers from memory; a recomputation apart from this project agrees with them.
ROWS = """
.29 -.56 1.34 .47 -.80 .02 .59 -.31 2.26 -1.36
.41 -.68 1.17 .50 -.92 -.11 .75 -.20 1.99 -1.25
.64 -.58 1.27 .64 -.84 -.21 .66 -.17 2.01 -1.31
.08 -.47 1.19 .01 -.56 -.20 .47 -.63 1.80 -1.68
.25 -1.22 .94 1.03 -1.20 .22 .55 .08 2.12 -1.62
.07 -.68 1.34 .20 -1.28 .06 .83 -.34 2.19 -1.50
.04 -1.38 .88 .14 -1.46 -.29 .02 -.46 1.77 -1.49
-.11 -1.13 1.09 .20 -1.07 -.67 .01 -.56 1.45 -1.77
-.15 -.96 .67 .11 -1.45 -.49 .21 -.49 1.87 -2.16
"""
LINES = [[float(word) for word in line.split()] for line in ROWS.split("\n") if line]
READINGS = [LINES[0:3], LINES[3:6], LINES[6:9]]


def test_average_and_range() -> None:
    """Printed .20188, .22963, .30575, 26.68 %: the manual rounds on its way, hence 0.0001."""
    found = gauge_by_ranges(READINGS)

    assert 0.20186 == pytest.approx(found.repeatability_g, abs=1e-5)
    assert 0.22967 == pytest.approx(found.reproducibility_g, abs=1e-5)
    assert 0.30577 == pytest.approx(found.gauge_g, abs=1e-5)
    assert (0.20188, 0.22963, 0.30575) == pytest.approx(
        (found.repeatability_g, found.reproducibility_g, found.gauge_g), abs=1e-4
    )
    assert 1.10460 == pytest.approx(found.part_g, abs=1e-5)
    assert 1.14613 == pytest.approx(found.total_g, abs=1e-5)
    assert 26.68 == round(found.gauge_pct, 2)
    assert 5 == found.categories
    assert found.interaction_p is None
    assert "26.7 %" in found.text
    assert "marginal" in found.text


def test_analysis_of_variance() -> None:
    found = gauge_by_variances(READINGS)

    assert found.interaction_p is not None
    assert 0.9741 == round(found.interaction_p, 4)
    assert 0.199933 == round(found.repeatability_g, 6)
    assert 0.226838 == round(found.reproducibility_g, 6)
    assert 0.302372 == round(found.gauge_g, 6)
    assert 1.042327 == round(found.part_g, 6)
    assert 1.085300 == pytest.approx(found.total_g, abs=1e-6)
    assert 27.86 == round(found.gauge_pct, 2)
    assert 4 == found.categories


def test_an_interaction_that_is_no_chance_stays_apart() -> None:
    """One person weighs one part wrong in every trial."""
    readings = [[list(trial) for trial in person] for person in READINGS]
    for trial in readings[0]:
        trial[3] += 5
    found = gauge_by_variances(readings)

    assert found.interaction_p is not None
    assert found.interaction_p < 1e-6
    assert 0.2 == pytest.approx(found.repeatability_g, abs=0.03)
    assert found.reproducibility_g > 0.5


def test_tail_of_f_agrees_with_a_reference_library() -> None:
    """SciPy on 1,000 random inputs; furthest 5.4e-13."""
    draw = random.Random(85)
    apart = 0.0
    for _ in range(1000):
        x, df, below = draw.uniform(0, 8), draw.randint(1, 100), draw.randint(1, 300)
        wanted = float(stats.f.sf(x, df, below))
        apart = max(apart, abs(f_sf(x, df=df, df_below=below) / wanted - 1))

    assert 1e-11 > apart


@given(st.floats(1e-3, 1e3), st.floats(-100, 100))
def test_percent_changes_neither_with_unit_nor_zero(unit: float, zero: float) -> None:
    moved = [[[x * unit + zero * unit for x in trial] for trial in person] for person in READINGS]
    for study in (gauge_by_ranges, gauge_by_variances):
        assert study(READINGS).gauge_pct == pytest.approx(study(moved).gauge_pct, rel=1e-6)


def test_judgement_of_a_good_and_of_a_bad_gauge() -> None:
    assert "good" in GaugeStudy(0.1, 0.1, 5.0).text
    assert "not acceptable" in GaugeStudy(1.0, 1.0, 2.0).text
    with pytest.raises(SpecificationError, match="division hides"):
        _ = GaugeStudy(0.0, 0.0, 2.0).categories


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="2 persons"):
        gauge_by_variances(READINGS[:1])
    with pytest.raises(NotEnoughDataError, match="2 trials"):
        gauge_by_variances([[LINES[0]], [LINES[1]]])
    with pytest.raises(NotEnoughDataError, match="2 parts"):
        gauge_by_ranges([])
    with pytest.raises(SpecificationError, match="equally often"):
        gauge_by_variances([LINES[0:3], LINES[3:5]])
    with pytest.raises(SpecificationError, match="all readings are equal"):
        gauge_by_ranges([[[1.0, 1.0]] * 2] * 2)
    with pytest.raises(SpecificationError, match="finite"):
        gauge_by_variances([[[1.0, math.nan]] * 2] * 2)
    with pytest.raises(SpecificationError, match="more than 10"):
        gauge_by_ranges([[[*line, 1.0] for line in person] for person in READINGS])
    with pytest.raises(SpecificationError, match="ratio of variances"):
        f_sf(-1.0, df=3, df_below=4)
