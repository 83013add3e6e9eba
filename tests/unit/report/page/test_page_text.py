"""A page of planning on screens of several kinds."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from weighstation.report.page.page import Grid, Page
from weighstation.report.page.tables import SheetRow, SheetTable
from weighstation.report.page.text import print_page

NAME = "A loaf with a name that is longer than most"
GRID = Grid(
    "Pieces",
    ("", "pieces", "scaling weight", "on the bench"),
    ((NAME, "48", "909.1 g", "43 636.4 g"), ("Roll", "120", "73.2 g", "8780 g")),
    "Cut the largest first, so that what is left over makes the smallest, and so on and so forth.",
)
ROWS = SheetTable("About", (SheetRow("Cost", "24.54 EUR", "ingredients alone"),))
PAGE = Page(
    "A plan",
    (GRID, ROWS),
    ("The first caution is long enough to be broken over more than a line of the screen.",),
    "So scale 910 g.",
    "as of line 3",
)


def printed(page: Page, width: int, encoding: str = "utf-8") -> str:
    stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
    print_page(page, Console(file=stream, width=width, color_system=None))
    stream.seek(0)
    return stream.read()


@pytest.mark.parametrize("width", [60, 80, 200])
def test_no_line_is_wider_than_the_screen_or_eighty_columns(width: int) -> None:
    text = printed(PAGE, width)

    assert max(map(len, text.splitlines())) <= min(width, 80)
    assert all(line == line.rstrip() for line in text.splitlines())
    for word in (
        "43 636.4 g",
        "24.54 EUR",
        "- The first caution",
        "as of line 3",
        "So scale 910 g.",
    ):
        assert word in text


def test_numbers_of_a_column_end_where_its_head_ends() -> None:
    lines = printed(PAGE, 60).splitlines()
    end = next(line.index(" pieces") for line in lines if " pieces" in line) + len(" pieces")

    assert ["48", "120"] == [
        line[:end].split()[-1] for line in lines if line.startswith(("  longer", "  Roll"))
    ]


def test_a_screen_that_is_too_narrow_breaks_lines_by_itself() -> None:
    assert printed(PAGE, 60) == printed(PAGE, 40)


def test_where_columns_do_not_fit_each_cell_has_its_line() -> None:
    wide = Grid("", ("", *(f"column {n}" for n in range(9))), (("Roll", *["1000 g"] * 9),))
    lines = printed(Page("A plan", (wide,)), 60).splitlines()

    assert ["  Roll", "    column 0 1000 g", "    column 1 1000 g"] == lines[2:5]


def test_what_is_empty_takes_no_room() -> None:
    text = printed(Page("A plan", (Grid("", ("", ""), (("Roll", "120"),)),)), 80)

    assert "A plan\n\n  Roll  120\n" == text


def test_signs_and_dashes_that_cannot_be_written_are_replaced() -> None:
    page = Page("Caf\N{LATIN SMALL LETTER E WITH ACUTE}", (), ("moved \N{MINUS SIGN}5 g",))
    text = printed(page, 80, "ascii")

    assert "Caf?" in text
    assert "moved -5 g" in text


def test_names_carry_no_escape_sequences_to_the_screen() -> None:
    assert "\x1b" not in printed(Page("roll\x1b[2J", (Grid("", ("",), (("\x1b[2J",),)),)), 80)
