"""What a division adds to a spread is what the guide says, until there is too little of it."""

from __future__ import annotations

import math
import random
import statistics
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.monitor.resolution import (
    LEAST_SD_IN_DIVISIONS,
    net_rounding_sd_g,
    require_resolution,
    resolution_text,
    rounding_sd_g,
    sheppard_sd_g,
)


@pytest.mark.parametrize(
    ("division", "printed"), [(1.0, 0.288675), (0.1, 0.0288675), (2.0, 0.577350), (5.0, 1.443376)]
)
def test_uncertainty_of_a_division(division: float, printed: float) -> None:
    """JCGM 100:2008 F.2.2.1 (from memory; d / (2 sqrt 3) seen in a secondary copy)."""
    assert printed == round(rounding_sd_g(division), 7 if division < 1 else 6)
    assert 0.408248 == round(net_rounding_sd_g(1.0), 6)  # EURAMET cg-18, from memory


def displayed_sd(true_sd: float, *, between: float, n: int = 20_000) -> float:
    """Spread of seeded weights on a division of 1 g, mean that far from a mark."""
    draw = random.Random(82)
    return statistics.pstdev(round(740 + between + draw.gauss(0, true_sd)) for _ in range(n))


@pytest.mark.parametrize("true_sd", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("between", [0.0, 0.25, 0.5])
def test_the_correction_gives_the_spread_back(true_sd: float, between: float) -> None:
    """20,000 seeded weights each; within 3 %, of which 1.5 % are chance (three standard errors)."""
    shown = displayed_sd(true_sd, between=between)

    assert true_sd == pytest.approx(sheppard_sd_g(shown, division_g=1.0), rel=0.03)


def test_below_the_threshold_the_place_between_the_marks_decides() -> None:
    """The grounds of the refusal: a spread of 0.2 divisions is shown as none, or as half a one."""
    on_a_mark, between = displayed_sd(0.2, between=0.0), displayed_sd(0.2, between=0.5)

    assert on_a_mark < 0.15
    assert 0.49 < between < 0.51
    for shown in (on_a_mark, between):
        with pytest.raises(SpecificationError, match="cannot show"):
            require_resolution(shown, division_g=1.0)


def test_at_the_threshold_more_than_a_quarter_of_the_variance_is_the_scale() -> None:
    shown = LEAST_SD_IN_DIVISIONS

    assert 0.25 < rounding_sd_g(1.0) ** 2 / shown**2 < 0.30
    require_resolution(shown, division_g=1.0)


def test_what_is_said_of_a_division() -> None:
    assert "adds 4.4 %" in resolution_text(1.0, division_g=1.0)
    assert "3.00 g are shown, 2.63 g are the dough's" in resolution_text(3.0, division_g=5.0)
    with pytest.raises(SpecificationError, match=r"scale of 2 g or finer to chart it"):
        resolution_text(2.0, division_g=5.0)


@given(st.floats(0.6, 100), st.floats(0.01, 100))
def test_the_correction_changes_with_the_unit_alone(sd: float, unit: float) -> None:
    here = sheppard_sd_g(sd, division_g=1.0)

    assert here < sd
    assert here * unit == pytest.approx(sheppard_sd_g(sd * unit, division_g=unit))


def test_a_mean_moving_range_needs_no_correction() -> None:
    """A spread of 0.6 divisions, 200 means spread evenly over a division, 200 weights each.

    The standard deviation is 11 % too great there; the short-term spread is right within 2 %.
    """
    draw = random.Random(83)
    steps, sds = [], []
    for place in range(200):
        run = [round(740 + place / 200 + draw.gauss(0, 0.6)) for _ in range(200)]
        steps.append(statistics.fmean(abs(b - a) for a, b in pairwise(run)))
        sds.append(statistics.pstdev(run))

    assert 0.6 == pytest.approx(statistics.fmean(steps) * math.sqrt(math.pi) / 2, rel=0.02)
    assert statistics.fmean(sds) > 1.08 * 0.6


@given(st.floats(0, 0.499), st.floats(0.01, 100))
def test_the_scale_that_is_proposed_is_finer(sd: float, division: float) -> None:
    with pytest.raises(SpecificationError, match="or finer") as refused:
        require_resolution(sd * division, division_g=division)

    proposed = float(str(refused.value).split("a scale of ")[1].split(" g")[0])
    assert 0 < proposed <= division / 2 * (1 + 1e-6)


@pytest.mark.parametrize(("sd", "division"), [(-1.0, 1.0), (math.nan, 1.0), (1.0, 0.0)])
def test_what_means_nothing_is_refused(sd: float, division: float) -> None:
    with pytest.raises(SpecificationError, match="not"):
        require_resolution(sd, division_g=division)
