"""Check weights have the limits of the published table, and judge only what they can."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from weighstation.errors import SpecificationError
from weighstation.metrology import (
    CheckWeight,
    WeightClass,
    weight_class,
    weight_limit,
    weight_suits,
)

TABLE = """
1      0.3   1.0   3.0    10
2      0.4   1.2   4.0    12
5      0.5   1.6   5.0    16
10     0.6   2.0   6.0    20
20     0.8   2.5   8.0    25
50     1.0   3.0   10     30
100    1.6   5.0   16     50
200    3.0   10    30     100
500    8.0   25    80     250
1000   16    50    160    500
2000   30    100   300    1000
5000   80    250   800    2500
10000  160   500   1600   5000
20000  300   1000  3000   10000
"""
"""OIML R 111-1:2004, table 1, F2 M1 M2 M3 in mg: seen in a copy, the last two rows from memory."""


@pytest.mark.parametrize("row", TABLE.split("\n")[1:-1])
def test_the_table_of_classes(row: str) -> None:
    nominal, *limits = row.split()
    got = [weight_limit(nominal, weight_class=cls) for cls in ("F2", "M1", "M2", "M3")]

    assert [float(Decimal(limit) / 1000) for limit in limits] == got


@pytest.mark.parametrize("row", TABLE.split("\n")[8:-1])
def test_from_100_g_on_the_table_is_about_proportional(row: str) -> None:
    """A law of the table that shows a slip of the pen: M1 is about 5 parts in 100 000 there."""
    nominal, _, m1, m2, m3 = map(float, row.split())

    assert 4.9e-5 < m1 / 1000 / nominal <= 5.01e-5
    assert 3.0 <= m2 / m1 <= 3.21
    assert 9.9 < m3 / m1 < 10.1


@pytest.mark.parametrize(
    ("cls", "suits"), [("F2", True), ("M1", True), ("M2", True), ("M3", False)]
)
def test_a_third_of_the_permissible_error(cls: str, suits: bool) -> None:
    """1 kg on class III, e = 1 g, first verified: a third of 1 g (R 76-1, 3.7.1; from memory)."""
    assert suits == weight_suits(weight_limit(1000, weight_class=cls), limit_g=1.0)


def test_a_third_belongs_to_it() -> None:
    assert weight_suits(Fraction(1, 3), limit_g=1.0)
    assert not weight_suits(Fraction(1, 3) + Fraction(1, 10**9), limit_g=1.0)


def test_a_certified_weight_counts_with_its_own_value_and_uncertainty() -> None:
    of_class = CheckWeight("box 1", Decimal(500), WeightClass.M1)
    own = CheckWeight(
        "brass", Decimal(250), certified_g=Decimal("250.04"), uncertainty_g=Decimal("0.02")
    )

    assert (Fraction(500), Fraction("0.025")) == (of_class.mass_g, of_class.error_g)
    assert (Fraction("250.04"), Fraction("0.02")) == (own.mass_g, own.error_g)


def test_a_certificate_runs_out_the_day_after() -> None:
    weight = CheckWeight("box 1", Decimal(500), WeightClass.M1, due_on="2026-03-02")

    assert [False, True] == [weight.is_due("2026-03-02"), weight.is_due("2026-03-03")]
    assert not CheckWeight("box 1", Decimal(500), WeightClass.M1).is_due("2099-01-01")


def test_weights_that_nobody_vouches_for() -> None:
    with pytest.raises(SpecificationError, match="needs a class, or a certified value"):
        CheckWeight("flour tin", Decimal(500))
    with pytest.raises(SpecificationError, match="or neither"):
        CheckWeight("tin", Decimal(500), certified_g=Decimal(500))
    with pytest.raises(SpecificationError, match="give its certified value"):
        CheckWeight("odd", Decimal(740), WeightClass.M1)
    with pytest.raises(SpecificationError, match="give its certified value"):
        CheckWeight("half", Decimal("0.5"), WeightClass.M1)
    with pytest.raises(SpecificationError, match="more than 0 g"):
        CheckWeight("none", Decimal(0), WeightClass.M1)
    with pytest.raises(SpecificationError, match="write F2, M1, M2 or M3"):
        weight_class("E1")
