"""The decimal sign is decided over many numbers, never by one."""

from __future__ import annotations

import pytest

from weighstation.acquire.signs import Signs, guess_signs, learn_signs
from weighstation.quantities import Unit


@pytest.mark.parametrize(
    ("runs", "signs"),
    [
        (["651", "0"], Signs("")),
        (["651.", "0."], Signs("")),
        ([], Signs("")),
        (["512.3"], Signs(".")),
        (["512,3"], Signs(",")),
        (["0,512", "1,234"], Signs(",")),
        (["00,512"], Signs(",")),
        ([",512"], Signs(",")),
        (["1.234"], Signs(".", certain=False)),
        (["1,234", "999"], Signs("")),
        (["1.234", "12"], Signs("")),
        (["1,234,567"], Signs("")),
        (["1,234.5", "12.5"], Signs(".")),
        (["1.234,5"], Signs(",")),
        (["999,5", "1.234,5"], Signs(",")),
        (["3,512.3", "3,12.5", "3,0.0"], Signs(".", comma_cuts=True)),
        (["3,512", "3,0"], Signs(".", comma_cuts=True)),
        (["1.2", "1.23"], Signs(".")),
        (["1.2", "1,2"], Signs(".", comma_cuts=True)),
    ],
)
def test_many_numbers_tell(runs: list[str], signs: Signs) -> None:
    assert signs == learn_signs(runs)


@pytest.mark.parametrize(
    ("signs", "run", "decimals"),
    [
        (Signs("."), "512.35", 2),
        (Signs("."), "512.", 0),
        (Signs("."), "1,234.5", 1),
        (Signs("."), "1,2.5", None),
        (Signs("."), "1.2.5", None),
        (Signs("."), ".5", 1),
        (Signs(","), "1.234,50", 2),
        (Signs(""), "1,234", 0),
        (Signs(""), "0,234", None),
        (Signs(""), "12,34", None),
    ],
)
def test_decimals_are_counted_behind_the_decimal_sign(
    signs: Signs, run: str, decimals: int | None
) -> None:
    assert decimals == signs.decimals(run)


@pytest.mark.parametrize(
    ("unit", "decimal"), [(Unit.GRAM, ""), (Unit.KILOGRAM, ","), (Unit.POUND, ","), (None, ",")]
)
def test_an_unclear_sign_parts_thousands_of_grams_but_decimals_of_larger_units(
    unit: Unit | None, decimal: str
) -> None:
    assert decimal == guess_signs(Signs(",", certain=False), unit).decimal


def test_a_certain_sign_is_not_guessed() -> None:
    assert guess_signs(Signs(","), Unit.GRAM) == Signs(",")
