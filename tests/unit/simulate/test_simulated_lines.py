"""Every line shape, character by character."""

from __future__ import annotations

from decimal import Decimal

import pytest

from weighstation.quantities import Unit
from weighstation.simulate.lines import Indication, LineShape, Range, Speech

STEADY = Indication(Decimal("740.5"), Unit.GRAM, steady=True)
MOVING = Indication(Decimal("-12.5"), Unit.GRAM, steady=False)
OVER = Indication(Decimal(6100), Unit.GRAM, steady=False, within=Range.OVER)
UNDER = Indication(Decimal(-30), Unit.GRAM, steady=False, within=Range.UNDER)


@pytest.mark.parametrize(
    ("shape", "lines"),
    [
        (LineShape.BARE, ["   740.5", "   -12.5", "  ------", "  ______"]),
        (
            LineShape.LETTER_FIRST,
            ["S +0740.5 g", "M -0012.5 g", "H  ------ g", "L  ------ g"],
        ),
        (
            LineShape.FIELDS,
            ["ST,GS,+00740.5  g", "US,GS,-00012.5  g", "OL,GS,+0006100  g", "UL,GS,-0000030  g"],
        ),
        (LineShape.MARK_LAST, ["    740.5 g  ", "    -12.5 g ?", "OVER", "UNDER"]),
        (
            LineShape.UNIT_WHEN_STEADY,
            ["+    740.5 g  ", "-     12.5    ", "+  HHHHHHH", "-  LLLLLLL"],
        ),
        (LineShape.SIGN_APART, ["    740.5 g", "-    12.5 g", "+ OL", "- OL"]),
        (LineShape.FLAG_LAST, ["740.5 g;1", "-012.5 g;0", "06100 g;2", "-00030 g;3"]),
        (
            LineShape.WORDS,
            ["Gross 740.5 G stable", "Gross -12.5 G moving", "Gross overload", "Gross underload"],
        ),
    ],
)
def test_a_shape_writes_what_it_says(shape: LineShape, lines: list[str]) -> None:
    written = [Speech(shape, end="").line(said) for said in (STEADY, MOVING, OVER, UNDER)]

    assert [line.encode() for line in lines] == written


def test_every_shape_is_in_the_table_above() -> None:
    assert len(LineShape) == 8


def test_the_decimal_sign_and_the_end_of_line_are_free() -> None:
    said = Indication(Decimal("0.740"), Unit.KILOGRAM, steady=True)

    assert b"0,740 kg;1\r" == Speech(LineShape.FLAG_LAST, comma=True, end="\r").line(said)
