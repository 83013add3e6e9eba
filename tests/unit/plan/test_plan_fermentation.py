"""Rates of fermentation, against what the trade and the literature say of them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import Law, mean_rate, rate
from weighstation.plan.proof.fermentation import slowed

temperatures = st.floats(-20, 38)
references = st.floats(15, 38)
laws = st.sampled_from(Law)

# Square law against 26 C: own arithmetic, ((T - 4) / 22)^2.
SQUARE = [
    *((5, 0.002), (10, 0.074), (15, 0.25), (20, 0.529), (24, 0.826), (28, 1.19)),
    *((30, 1.397), (32, 1.62), (35, 1.986), (38, 2.388)),
]
# Doubling in 10 C against 26 C: own arithmetic.
DOUBLING = [(20, 0.66), (24, 0.871), (30, 1.32), (35, 1.866)]


@pytest.mark.parametrize(("temp_c", "expected"), SQUARE)
def test_square_law(temp_c: float, expected: float) -> None:
    assert expected == pytest.approx(rate(temp_c, reference_c=26), abs=6e-4)


@pytest.mark.parametrize(("temp_c", "expected"), DOUBLING)
def test_doubling_in_ten_degrees(temp_c: float, expected: float) -> None:
    assert expected == pytest.approx(rate(temp_c, reference_c=26, law=Law.DOUBLING), abs=6e-4)


def test_a_tenth_for_each_degree() -> None:
    """Trade article, read in an excerpt: about 10 % for 1 C; compounded 2.59 in 10 C."""
    assert 2.59 == pytest.approx(rate(36, reference_c=26, law=Law.TENTH), abs=5e-3)


@pytest.mark.parametrize("law", Law)
def test_seventeen_degrees_fahrenheit_about_double_the_rate(law: Law) -> None:
    """School of bread: doubles in 17 F = 9.44 C. Around 26 C the laws have 1.9 to 2.5 for it."""
    step_c = 17 / 1.8
    found = rate(26 + step_c / 2, reference_c=26 - step_c / 2, law=law)

    assert 1.9 < found < 2.6
    assert 2 == pytest.approx(rate(26 + step_c, reference_c=26, law=Law.DOUBLING), rel=0.05)


@pytest.mark.parametrize("law", Law)
def test_yeast_stands_still_in_the_cold(law: Law) -> None:
    """Near 0 at 4 to 5 C: the same school; growth ends at 1.3 to 4.3 C (Salvado et al., 2011)."""
    assert 0 == rate(4, reference_c=26, law=law) == rate(-18, reference_c=26, law=law)
    assert rate(5, reference_c=26, law=law) < 0.01


def test_the_laws_bracket_proofs_to_a_fixed_height_only_loosely() -> None:
    """Freilich (1949), quoted in Cereal Chemistry 70 (1993) 351: 270 min at 13 C, 36 min at 57 C.

    That is 2^0.66 = 1.58 in 10 C, warming up and heat damage included, and 57 C is beyond all the
    laws. The proof at 13 C is the one that can be held against them, and the square law makes it
    twice as long as the measured one if 36 min is taken for the best that yeast can do (38 C).
    """
    assert 1.58 == pytest.approx((270 / 36) ** (10 / 44), abs=5e-3)
    at_13_min = {law: 36 / rate(13, reference_c=38, law=law) for law in Law}

    assert at_13_min[Law.DOUBLING] < 270 < at_13_min[Law.TENTH] < at_13_min[Law.SQUARE]
    assert 514 == pytest.approx(at_13_min[Law.SQUARE], abs=1)


@given(temperatures, temperatures, references, laws)
def test_the_mean_is_what_a_fine_sum_comes_to(
    from_c: float, to_c: float, reference_c: float, law: Law
) -> None:
    """The midpoint rule with 1000 steps, which knows nothing of where the laws change."""
    steps = 1000
    middles = (from_c + (to_c - from_c) * (i + 0.5) / steps for i in range(steps))
    summed = math.fsum(rate(c, reference_c=reference_c, law=law) for c in middles) / steps

    assert summed == pytest.approx(
        mean_rate(from_c, to_c, reference_c=reference_c, law=law), rel=1e-4, abs=1e-5
    )


@given(temperatures, temperatures, references, laws)
def test_warmer_is_never_slower_and_a_mean_lies_between(
    one_c: float, other_c: float, reference_c: float, law: Law
) -> None:
    low, high = sorted((one_c, other_c))
    slow, fast = (rate(c, reference_c=reference_c, law=law) for c in (low, high))
    mean = mean_rate(low, high, reference_c=reference_c, law=law)

    assert slow - 1e-12 <= mean <= fast + 1e-12
    assert mean == mean_rate(high, low, reference_c=reference_c, law=law)


@given(references, references, temperatures, laws)
def test_references_chain(first_c: float, second_c: float, temp_c: float, law: Law) -> None:
    direct = rate(temp_c, reference_c=first_c, law=law)
    chained = rate(temp_c, reference_c=second_c, law=law) * rate(
        second_c, reference_c=first_c, law=law
    )

    assert direct == pytest.approx(chained, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("law", Law)
@pytest.mark.parametrize("edge_c", [4.0, 13.0])
def test_the_laws_have_no_steps(law: Law, edge_c: float) -> None:
    below, above = (rate(edge_c + d, reference_c=26, law=law) for d in (-1e-9, 1e-9))

    assert below == pytest.approx(above, abs=1e-8)


@pytest.mark.parametrize("temp_c", [38.1, math.nan, math.inf, -127, 79])
def test_temperatures_that_no_law_holds_for_are_refused(temp_c: float) -> None:
    """-127 C is what a probe says that has come off, 79 may be degrees Fahrenheit."""
    with pytest.raises(SpecificationError) as refused:
        rate(temp_c, reference_c=26)

    assert "degrees Celsius" in refused.value.hint


@pytest.mark.parametrize("reference_c", [4, 0, 39, math.nan])
def test_references_at_which_nothing_ferments_are_refused(reference_c: float) -> None:
    with pytest.raises(SpecificationError):
        rate(26, reference_c=reference_c)


@given(st.floats(5, 38), st.floats(1, 20))
def test_slowed_is_the_square_law_turned_round(temp_c: float, times: float) -> None:
    assert 1 / times == pytest.approx(rate(slowed(temp_c, times=times), reference_c=temp_c))


@pytest.mark.parametrize("times", [0.9, 0, -1, math.nan, math.inf])
def test_what_is_not_slower_is_refused(times: float) -> None:
    with pytest.raises(SpecificationError):
        slowed(26, times=times)
