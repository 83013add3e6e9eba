"""A check is judged as its limits say: findings in plain words, fit or not."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.metrology import (
    AccuracyClass,
    Basis,
    Judgement,
    Plate,
    ScaleLimits,
    Shown,
    Step,
    Subject,
    judge,
)

PLATE = Plate(AccuracyClass.MEDIUM, Decimal(1), Decimal(3000))
LAWFUL = ScaleLimits(Decimal(1), plate=PLATE)
BENCH = ScaleLimits(Decimal(1))


def zero(indicated: str = "0") -> Shown:
    return Shown(Step.ZERO, Fraction(indicated))


def load(load_g: str, indicated: str, *, error: str = "0.025") -> Shown:
    return Shown(Step.LOAD, Fraction(indicated), Fraction(load_g), Fraction(error))


def corner(where: str, indicated: str, load_g: str = "1000") -> Shown:
    return Shown(Step.CORNER, Fraction(indicated), Fraction(load_g), Fraction("0.05"), where)


def back(indicated: str = "0") -> Shown:
    return Shown(Step.RETURN, Fraction(indicated))


def texts(judgement: Judgement) -> list[str]:
    return [finding.text for finding in judgement.findings]


def test_a_scale_that_shows_what_lies_on_it_is_fit() -> None:
    shown = [zero(), load("500", "500"), load("500", "500"), load("500", "500"), back()]
    judgement = judge(shown, limits=LAWFUL)

    assert judgement.is_fit
    assert "The scale is fit." == judgement.text
    assert [
        "Empty, the scale shows 0 g.",
        "500 g in the middle: shows 500 g.",
        "500 g 3 times: 500, 500, 500 g, 0 g apart; 1 g is allowed.",
        "Emptied again, it shows what it showed before.",
    ] == texts(judgement)


@pytest.mark.parametrize(
    ("load_g", "shown_g", "fit"),
    [
        # Twice the table of R 76-1:2006 for class III, e = 1 g (see test_permissible_error).
        *(("500", "501", True), ("500", "502", False), ("500", "498", False)),
        *(("501", "503", True), ("501", "504", False)),
        *(("2000", "1998", True), ("2000", "1997", False)),
        *(("2001", "2004", True), ("2001", "2005", False)),
    ],
)
def test_linearity_at_the_steps(load_g: str, shown_g: str, fit: bool) -> None:
    assert fit == judge([zero(), load(load_g, shown_g)], limits=LAWFUL).is_fit


def test_at_the_limit_rounding_hides_the_rest() -> None:
    """501 g shown of 500 g may be 501.49: within what is shown, and not certain."""
    close = judge([zero(), load("500", "501")], limits=LAWFUL)
    sure = judge([zero(), load("500", "500")], limits=LAWFUL)

    assert [True, False] == [any(f.close for f in one.findings) for one in (close, sure)]
    assert "as far as its display shows" in close.text


def test_repeatability_is_greatest_less_least() -> None:
    """OIML R 76-1:2006, 3.6.1 (from memory): each is within its limit, and they lie 2 g apart."""
    shown = [zero(), load("500", "499"), load("500", "501"), load("500", "500")]
    judgement = judge(shown, limits=LAWFUL)
    apart = next(f for f in judgement.findings if f.subject is Subject.REPEATABILITY)

    assert (False, Fraction(2)) == (apart.good, apart.error_g)
    assert "500 g 3 times: 499, 501, 500 g, 2 g apart; only 1 g is allowed." == apart.text
    assert "The scale is not fit: One thing is beyond the limit." == judgement.text


def test_the_worst_corner_is_named() -> None:
    """OIML R 76-1:2006, 3.6.2 (from memory): each corner within the limit of its load."""
    corners = [corner("front left", "1000"), corner("back left", "1003"), corner("right", "999")]
    judgement = judge([zero(), *corners, back()], limits=LAWFUL)

    assert not judgement.is_fit
    assert (
        "1000 g at 3 corners, worst back left: shows 1003 g, +3 g; only 2 g are allowed."
        == texts(judgement)[1]
    )


def test_an_error_counts_from_the_empty_pan_before_it() -> None:
    """Three grams of flour on the pan make no error of the load, and a finding of their own."""
    judgement = judge([zero("3"), load("500", "503")], limits=LAWFUL)

    assert [False, True] == [finding.good for finding in judgement.findings]
    assert "press its zero key" in judgement.findings[0].text


def test_a_pan_that_does_not_come_back() -> None:
    fit = judge([zero(), load("500", "500"), back("1")], limits=LAWFUL)
    unfit = judge([zero(), load("500", "500"), back("-2")], limits=LAWFUL)

    assert (True, False) == (fit.is_fit, unfit.is_fit)
    assert (
        "Emptied again, it is \N{MINUS SIGN}2 g off where it began; only 1 g is allowed."
        == texts(unfit)[-1]
    )


def test_without_a_plate_one_division_is_the_limit() -> None:
    assert Basis.DIVISION is BENCH.basis
    assert "no legal check" in BENCH.text
    assert judge([zero(), load("2000", "2001", error="0.1")], limits=BENCH).is_fit
    assert not judge([zero(), load("2000", "2002", error="0.1")], limits=BENCH).is_fit


@given(st.integers(0, 999), st.integers(20_000, 3_000_000))
def test_a_scale_without_error_never_fails_against_its_division(zero_mg: int, load_mg: int) -> None:
    """The grounds of that limit: only zero and load are rounded, each to the nearest division."""
    offset = Fraction(zero_mg, 1000)
    weighed = Fraction(load_mg, 1000)
    first = Fraction(round(offset))
    shown = Fraction(round(offset + weighed))
    steps = [Shown(Step.ZERO, first), Shown(Step.LOAD, shown, weighed)]

    assert judge(steps, limits=BENCH).findings[1].good


def test_a_limit_of_the_house() -> None:
    limits = ScaleLimits(Decimal(2), house_g=Decimal("2.5"))
    fit = judge([zero(), load("1000", "1002", error="0.5")], limits=limits)
    unfit = judge([zero(), load("1000", "1003", error="0.5")], limits=limits)

    assert Basis.HOUSE is limits.basis
    assert (True, False) == (fit.is_fit, unfit.is_fit)
    assert "2.5 g are allowed" in texts(fit)[1]


def test_certified_masses_are_compared_exactly() -> None:
    """500.03 g shown as 501.03 is 1 g off: on the limit. A hundredth more of a gram is over."""
    limits = ScaleLimits(Decimal("0.01"), house_g=Decimal(1))
    fit = judge([zero(), load("500.03", "501.03", error="0.01")], limits=limits)
    unfit = judge([zero(), load("500.03", "501.04", error="0.01")], limits=limits)

    assert (True, False) == (fit.is_fit, unfit.is_fit)


def test_a_weight_that_is_not_sure_enough_judges_nothing() -> None:
    """M3 of 1 kg may be 0.5 g wrong; 2 g are permitted in service, a third is 0.67: it will do.

    At verification 1 g is permitted: it will not.
    """
    strict = ScaleLimits(Decimal(1), plate=PLATE, in_service=False)

    assert judge([zero(), load("1000", "1000", error="0.5")], limits=LAWFUL).is_fit
    with pytest.raises(SpecificationError, match=r"only 0\.333 g, a third of the limit"):
        judge([zero(), load("1000", "1000", error="0.5")], limits=strict)


def test_a_load_below_min_judges_nothing() -> None:
    """Class III, e = 1 g: Min is 20 g (read, see test_permissible_error); so without a plate."""
    for limits in (LAWFUL, BENCH):
        assert judge([zero(), load("20", "20", error="0")], limits=limits).is_fit
        with pytest.raises(SpecificationError, match="take 20 g or more"):
            judge([zero(), load("19.9", "20", error="0")], limits=limits)


def test_what_is_no_check_is_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="begins with an empty pan"):
        judge([load("500", "500")], limits=LAWFUL)
    with pytest.raises(NotEnoughDataError, match="at least one load"):
        judge([zero()], limits=LAWFUL)
    with pytest.raises(SpecificationError, match="more than the scale's Max"):
        judge([zero(), load("5000", "5000")], limits=LAWFUL)
    with pytest.raises(SpecificationError, match="not both"):
        ScaleLimits(Decimal(1), plate=PLATE, house_g=Decimal(2))
    with pytest.raises(SpecificationError, match="more than 0 g"):
        ScaleLimits(Decimal(0))


@pytest.mark.parametrize(("shown", "good"), [("0.2", True), ("-0.2", True), ("0.3", False)])
def test_an_empty_pan_is_within_a_quarter_of_e(shown: str, good: bool) -> None:
    """OIML R 76-1:2006, 4.5.2 (from memory): 0.25 e; class II, e = 1 g, counts in 0.1 g."""
    fine = ScaleLimits(Decimal("0.1"), plate=Plate(AccuracyClass.HIGH, Decimal(1), Decimal(6000)))
    found = judge([zero(shown), load("1000", "1000")], limits=fine).findings[0]

    assert (Subject.ZERO, good) == (found.subject, found.good)
