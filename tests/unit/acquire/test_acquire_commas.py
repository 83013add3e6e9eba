"""A comma inside a number: a decimal sign, or the end of a field."""

from __future__ import annotations

import pytest

from weighstation.acquire.commas import may_part_fields

RISE = (0, 254, 470, 600, 682, 735, 742)


@pytest.mark.parametrize(
    ("form", "may"),
    [
        ("{0},1,g", True),
        ("{0},23", True),
        ("1,{0}", True),
        ("1,{0:05d},g", True),
        ("05:12:10,{0},g", True),
        ("{0},5 g", False),
        ("{0},0 g", False),
        ("0,{0:03d} kg", False),
        ("{0},1 g", True),
        ("ST,GS,+{0:04d} g", False),
    ],
)
def test_a_comma_parts_fields_where_digits_behind_it_are_no_decimals(
    form: str, *, may: bool
) -> None:
    """Lines of an invented scale that writes a weight, and beside it a code or a time."""
    texts = [form.format(grams) for grams in RISE]
    runs = [text.split(" ")[0].removesuffix(",g").rpartition(":")[2] for text in texts]

    assert may is may_part_fields(runs if may or "ST" not in form else ["0742"], texts)
