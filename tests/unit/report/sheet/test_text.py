"""A printed sheet fits 80 columns and any alphabet."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from rich.console import Console

from weighstation.report import Bench, Dough, batch_sheet
from weighstation.report.sheet.text import print_sheet, sheet_text
from weighstation.specification import Limits

if TYPE_CHECKING:
    from weighstation.report import BatchFigures


def test_the_sheet_reads_as_it_was_looked_at(figures: BatchFigures) -> None:
    text = sheet_text(batch_sheet(figures))

    assert text.startswith(
        "Batch sheet: Farmhouse white\n"
        "\n"
        "Batch\n"
        "  When                2026-03-02 04:10 to 04:20 UTC\n"
        "  Scaling weight      740 g\n"
        "  Band                732 to 756 g    both limits belong to it\n"
    )
    assert text.endswith("\nas of line 57, head 0123456789abcdef\n")


def test_no_figure_runs_into_its_label(figures: BatchFigures) -> None:
    """A scaling weight with a decimal, and labels as long as they get."""
    limits = Limits(480_500, 5_500, 6_000)
    narrow = replace(figures, product=replace(figures.product, limits=limits))
    sheet = batch_sheet(replace(narrow, dough=Dough(123_456_789)))
    lines = sheet_text(sheet).splitlines()

    for row in (row for table in sheet.tables for row in table.rows):
        assert any(line.startswith(f"  {row.label} ") for line in lines), row.label


def test_no_line_is_wider_than_80_columns(figures: BatchFigures) -> None:
    many = replace(figures, runs=figures.runs * 9)

    assert max(map(len, sheet_text(batch_sheet(many)).splitlines())) <= 80


def test_plain_text_holds_no_control_characters(figures: BatchFigures) -> None:
    assert "\x1b" not in sheet_text(batch_sheet(figures))


def test_the_chart_says_how_its_limits_are_worked_out(figures: BatchFigures) -> None:
    text = sheet_text(batch_sheet(figures))

    assert "from the mean moving range / 1.128" in text
    assert "beyond the limits: no piece" in text


def test_pieces_beyond_the_limits_are_named_by_their_numbers(figures: BatchFigures) -> None:
    """A struck-out piece leaves a hole in the numbers, so place and number differ."""
    quiet = figures.pieces[1]
    pieces = [replace(quiet, number=number) for number in range(10, 30)]
    wild = [replace(quiet, number=number, first_mg=900_000) for number in (31, 57)]
    text = sheet_text(batch_sheet(replace(figures, pieces=(*pieces, *wild))))

    assert "beyond the limits: piece 31, 57\n" in text


def test_limits_of_few_pieces_are_called_rough(figures: BatchFigures) -> None:
    pieces = [replace(figures.pieces[0], number=number) for number in range(1, 21)]
    few = sheet_text(batch_sheet(replace(figures, pieces=tuple(pieces[:19]))))
    enough = sheet_text(batch_sheet(replace(figures, pieces=tuple(pieces))))

    assert "few pieces: limits are rough" in few
    assert "few pieces" not in enough


def test_a_batch_too_small_for_a_chart_says_so(figures: BatchFigures) -> None:
    one = replace(figures, pieces=figures.pieces[:1])

    assert "A chart takes at least 2 first cuts." in sheet_text(batch_sheet(one))


def test_colour_adds_styles_and_no_words(figures: BatchFigures) -> None:
    sheet = batch_sheet(figures)
    stream = io.StringIO()
    console = Console(file=stream, width=100, force_terminal=True, color_system="truecolor")
    print_sheet(sheet, console)

    assert "\x1b[1m" in stream.getvalue()
    assert "Batch sheet: Farmhouse white" in stream.getvalue()


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_narrow_alphabet_still_gets_its_sheet(figures: BatchFigures, encoding: str) -> None:
    """A Windows console or a POSIX locale cannot write dots, dashes and minus signs."""
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding)
    product = replace(figures.product, name="Brötchen Łódź", dough_cost_per_kg=None)
    sheet = batch_sheet(replace(figures, product=product, runs=figures.runs[1:]))
    print_sheet(sheet, Console(file=stream, width=80))
    stream.flush()
    text = raw.getvalue().decode(encoding)

    assert text.startswith("Batch sheet: Br")
    assert "First cuts of counted pieces" in text


@pytest.mark.parametrize(
    ("scale", "printed"),
    [
        ("serial:///dev/pts/0", "  Scale               serial:///dev/pts/0, division 1 g\n"),
        (
            f"serial:///dev/{'x' * 34}",
            f"  Scale               serial:///dev/{'x' * 34},\n{' ' * 38}division 1 g\n",
        ),
        ("tcp://a:1", "  Scale               tcp://a:1       division 1 g\n"),
    ],
)
def test_a_note_follows_a_long_figure_after_a_comma(
    figures: BatchFigures, scale: str, printed: str
) -> None:
    bench = Bench(scale, 1000, "0.1.0")

    assert printed in sheet_text(batch_sheet(replace(figures, benches=(bench,))))
