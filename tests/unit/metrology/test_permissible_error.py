"""Permissible errors and classes are those of the published tables, to the last digit."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.metrology import (
    AccuracyClass,
    Plate,
    accuracy_class,
    least_load,
    permissible_error,
)

# UK SI 1995/1907, Schedule 2, 4 (read), the same as OIML R 76-1:2006, table 6 (seen in a secondary
# copy): class, the last load in e of each step. Class I from the same place.
STEPS = {
    "I": (50_000, 200_000, 400_000),
    "II": (5_000, 20_000, 100_000),
    "III": (500, 2_000, 10_000),
    "IIII": (50, 200, 1_000),
}


@pytest.mark.parametrize("cls", STEPS)
@pytest.mark.parametrize("e", ["0.001", "0.1", "0.5", "1", "2", "5", "50"])
def test_each_step_of_the_table_to_the_microgram(cls: str, e: str) -> None:
    """A load on the step belongs below it; a microgram more belongs above."""
    for step, (last, halves) in enumerate(zip(STEPS[cls], (1, 2, 3), strict=True)):
        on = last * Decimal(e)
        assert float(halves * Decimal(e) / 2) == permissible_error(on, e_g=e, accuracy_class=cls)
        if step < 2:
            above = permissible_error(on + Decimal("0.000001"), e_g=e, accuracy_class=cls)
            assert float((halves + 1) * Decimal(e) / 2) == above


@pytest.mark.parametrize(
    ("load", "e", "wanted"),
    [
        *((500, 1, 0.5), (501, 1, 1.0), (2000, 1, 1.0), (2001, 1, 1.5)),
        *((1000, 2, 1.0), (1002, 2, 2.0), (4000, 2, 2.0), (4002, 2, 3.0)),
        *((2500, 5, 2.5), (10_000, 5, 5.0)),
    ],
)
def test_worked_loads_of_class_iii(load: float, e: float, wanted: float) -> None:
    """Worked out by hand from the table: scales of 3 kg by 1 g, 6 kg by 2 g and 15 kg by 5 g."""
    assert wanted == permissible_error(load, e_g=e, accuracy_class="III")
    assert 2 * wanted == permissible_error(load, e_g=e, accuracy_class="III", in_service=True)


@pytest.mark.parametrize(
    ("load", "e"), [(0.1 + 0.2, 0.0006), (500 * 0.1, 0.1), (sum([0.1] * 500), 0.1)]
)
def test_the_noise_of_floats_moves_no_step(load: float, e: float) -> None:
    """500 e, come by as a sum of floats, is 500 e: the sum here is 50.00000000000044."""
    assert e / 2 == permissible_error(load, e_g=e, accuracy_class="III")


@given(st.integers(0, 10_000_000), st.sampled_from(["0.1", "0.2", "0.5", "1", "2", "5", "10"]))
def test_more_load_never_permits_less(load_mg: int, e: str) -> None:
    load = Decimal(load_mg) / 1000
    if load > 9_999 * Decimal(e):
        return
    here = permissible_error(load, e_g=e, accuracy_class="III")
    more = permissible_error(load + Decimal(e), e_g=e, accuracy_class="III")

    assert 0 < here <= more <= 1.5 * float(e)


@pytest.mark.parametrize(
    ("cls", "e", "wanted"),
    [
        *(("I", 0.001, 0.1), ("II", 0.05, 1.0), ("II", 0.1, 5.0), ("III", 0.1, 2.0)),
        *(("III", 1, 20.0), ("III", 2, 40.0), ("III", 5, 100.0), ("IIII", 5, 50.0)),
    ],
)
def test_least_load_of_a_class(cls: str, e: float, wanted: float) -> None:
    """UK SI 1995/1907, Schedule 2, table 1 (read): 100, 20 or 50, 20 and 10 intervals."""
    assert wanted == least_load(e, accuracy_class=cls)


@pytest.mark.parametrize(
    ("cls", "e", "most", "is_one"),
    [
        ("III", "1", "3000", True),
        ("III", "1", "100", True),
        ("III", "1", "99", False),
        ("III", "1", "10000", True),
        ("III", "1", "10001", False),
        ("III", "2", "200", True),
        ("III", "5", "2495", False),
        ("III", "5", "2500", True),
        ("III", "0.05", "50", False),
        ("IIII", "5", "5000", True),
        ("IIII", "5", "5005", False),
        ("IIII", "2", "200", False),
        ("II", "0.01", "1000", True),
        ("II", "0.1", "499", False),
        ("II", "0.1", "500", True),
        ("I", "0.001", "49.999", False),
        ("I", "0.001", "50", True),
        ("III", "3", "3000", False),
    ],
)
def test_a_plate_is_one_of_the_table(cls: str, e: str, most: str, is_one: bool) -> None:
    """UK SI 1995/1907, Schedule 2, table 1 (read): e from, n at least and n at most."""
    if is_one:
        assert Decimal(e) == Plate(AccuracyClass(cls), Decimal(e), Decimal(most)).e_g
        return
    with pytest.raises(SpecificationError, match="No scale can have this plate"):
        Plate(AccuracyClass(cls), Decimal(e), Decimal(most))


def test_a_plate_knows_its_figures() -> None:
    plate = Plate(AccuracyClass.MEDIUM, Decimal(2), Decimal(6000))

    assert 40.0 == plate.least_load_g
    assert 4.0 == plate.permissible_error_g(4000)
    assert 2.0 == plate.permissible_error_g(4000, in_service=False)


@pytest.mark.parametrize("name", ["iii", " III "])
def test_a_class_may_be_written_small(name: str) -> None:
    assert AccuracyClass.MEDIUM is accuracy_class(name)


@pytest.mark.parametrize(
    ("load", "e", "cls", "says"),
    [
        (-1, 1, "III", "0 g or more"),
        (math.nan, 1, "III", "finite"),
        (math.inf, 1, "III", "finite"),
        ("a loaf", 1, "III", "finite"),
        (500, 0, "III", "more than 0 g"),
        (500, -1, "III", "more than 0 g"),
        (500, math.nan, "III", "finite"),
        (500, 1, "V", "write I, II, III or IIII"),
        (10_001, 1, "III", "at most 10000 verification intervals"),
        (1_001, 1, "IIII", "at most 1000 verification intervals"),
    ],
)
def test_what_means_nothing_is_refused(load: float, e: float, cls: str, says: str) -> None:
    with pytest.raises(SpecificationError, match=says):
        permissible_error(load, e_g=e, accuracy_class=cls)


def test_no_class_begins_so_fine() -> None:
    with pytest.raises(SpecificationError, match=r"e of 0\.1 g or more"):
        least_load(0.05, accuracy_class="III")
