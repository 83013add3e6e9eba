"""Whether a scale suits a product: a rule for the law, a share of pieces for the bench."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, special  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.metrology import Misjudged, Scatter, division_suits_law, misjudged


@pytest.mark.parametrize(
    ("division", "tolerance", "suits"),
    [(2, 12, True), (2.4, 12, True), (2.5, 12, False), (0.9, 4.5, True), (1, 4.5, False)],
)
def test_a_fifth_of_the_tolerable_deficiency(
    division: float, tolerance: float, suits: bool
) -> None:
    """UK (NI) SR 2011/331, Schedule 2, 1.3 (read): 400 g to 2.4 g, 100 g to 0.9 g."""
    assert suits == division_suits_law(division, tolerance_g=tolerance)


@pytest.mark.parametrize(("division", "suits"), [(4.8, True), (5, False)])
def test_a_sixth_where_the_rule_says_so(division: float, suits: bool) -> None:
    """NIST HB 133, 2.2 (from memory): a deficiency of 29 g takes 4.83 g."""
    assert suits == division_suits_law(division, tolerance_g=29, least_divisions=6)


@pytest.mark.parametrize("parts", [0, -5, 5.0, "5", None, True])
def test_what_counts_no_parts_is_refused(parts: Any) -> None:
    with pytest.raises(SpecificationError, match="A deficiency is divided into"):
        division_suits_law(1, tolerance_g=15, least_divisions=parts)


def simulated(scatter: Scatter, *, under: float, over: float, division: float) -> Misjudged:
    """Count seeded pieces on a scale that rounds, its zero anywhere in a division."""
    draw = random.Random(92)
    n, kept_outside, refused_inside = 60_000, 0, 0
    for _ in range(n):
        x = draw.gauss(scatter.mean_error_g, scatter.sd_g)
        zero = draw.uniform(-division / 2, division / 2)
        noise = draw.gauss(0, scatter.repeatability_g)
        shown = division * round((x + zero + noise) / division)
        inside, kept = -under <= x <= over, -under <= shown <= over
        kept_outside += kept and not inside
        refused_inside += inside and not kept
    return Misjudged(kept_outside / n, refused_inside / n, division)


@pytest.mark.parametrize(
    ("division", "sd", "noise", "mean"),
    [(1.0, 5.0, 0.0, 0.0), (5.0, 5.0, 1.0, 0.0), (5.0, 3.0, 0.5, 4.0), (2.0, 8.0, 2.0, -3.0)],
)
def test_shares_are_those_of_a_scale_that_rounds(
    division: float, sd: float, noise: float, mean: float
) -> None:
    """60,000 seeded pieces at 6 g under and 8 g over: within four standard errors."""
    scatter = Scatter(sd, mean, noise)
    seen = simulated(scatter, under=6, over=8, division=division)
    told = misjudged(scatter, under_g=6, over_g=8, division_g=division)

    for a, b in (
        (told.kept_outside, seen.kept_outside),
        (told.refused_inside, seen.refused_inside),
    ):
        assert abs(a - b) < 4 * math.sqrt(max(a, 1e-5) / 60_000)


def test_shares_are_those_of_a_double_quadrature() -> None:
    """SciPy over piece and zero, division 2 g, repeatability 0.7 g."""

    def kept(zero: float, x: float) -> float:
        chance = special.ndtr((9 - x - zero) / 0.7) - special.ndtr((-7 - x - zero) / 0.7)
        return float(
            chance * math.exp(-(((x - 1) / 5) ** 2) / 2) / (5 * math.sqrt(2 * math.pi)) / 2
        )

    above = integrate.dblquad(kept, 8, 30, -1, 1)[0]
    below = integrate.dblquad(kept, -30, -6, -1, 1)[0]
    told = misjudged(Scatter(5.0, 1.0, 0.7), under_g=6, over_g=8, division_g=2)

    assert above + below == pytest.approx(told.kept_outside, rel=1e-6)


@pytest.mark.parametrize("division", [0.1, 0.01])
def test_few_misjudged_pieces_among_many_are_not_lost(division: float) -> None:
    """A learner's spread of 90 g on a fine scale: once it was told that none is misjudged.

    By hand: outside each limit the chance falls from 1 to 0 over one division, so that a piece as
    dense as there is kept over half a division on either side.
    """
    density = math.exp(-((8 / 90) ** 2) / 2) / (90 * math.sqrt(2 * math.pi))
    told = misjudged(Scatter(90.0), under_g=8, over_g=8, division_g=division)

    assert density * division == pytest.approx(told.kept_outside, rel=1e-3)


@settings(max_examples=50)
@given(st.floats(0.5, 20), st.floats(-5, 5), st.sampled_from([0.1, 0.5, 1.0, 2.0, 5.0]))
def test_a_share_is_a_share(sd: float, mean: float, division: float) -> None:
    told = misjudged(Scatter(sd, mean, 0.3), under_g=8, over_g=8, division_g=division)

    assert -1e-9 < told.kept_outside
    assert -1e-9 < told.refused_inside
    assert told.share < 1.0


def test_a_finer_scale_misjudges_fewer() -> None:
    shares = [misjudged(Scatter(5.0), under_g=6, over_g=6, division_g=d).share for d in (0.1, 1, 2)]

    assert shares == sorted(shares)
    assert "misjudges" in misjudged(Scatter(5.0), under_g=6, over_g=6, division_g=5).text


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(SpecificationError, match="spread of more than 0 g"):
        Scatter(0)
    with pytest.raises(
        SpecificationError, match="repeatability in grams is a finite number from 0 up, not -1"
    ):
        Scatter(1, 0, -1)
    with pytest.raises(SpecificationError, match="'under' is 0 g or more"):
        misjudged(Scatter(1), under_g=-1, over_g=1, division_g=1)
    with pytest.raises(SpecificationError, match="more than 0 g"):
        misjudged(Scatter(1), under_g=1, over_g=1, division_g=0)
