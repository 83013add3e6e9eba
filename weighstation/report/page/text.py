"""A page, and lines of a table -> text on a console, at most 80 columns wide."""

from __future__ import annotations

import textwrap
from itertools import zip_longest
from typing import TYPE_CHECKING

from rich.text import Text

from weighstation.report.page.page import Grid
from weighstation.report.page.printable import shown

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from rich.console import Console

    from weighstation.report.page.page import Page
    from weighstation.report.page.tables import SheetRow, SheetTable

WIDEST = 80
INDENT, GAP = "  ", "  "
LEAST_WIDTH = 60
"""A narrower screen breaks lines by itself."""
LEAST_NAME = 8
"""Where less is left for the first column, each cell has a line of its own."""
_LABEL, _SAID = 22, 16


def print_lines(lines: Iterable[Text], console: Console, *, soft_wrap: bool = False) -> None:
    """Print lines as the console can show them, letter for letter.

    Parameters
    ----------
    lines : iterable of Text
    console : Console
    soft_wrap : bool
        Whether a line that is too long is left to the screen.
    """
    for line in lines:
        line.plain = shown(line.plain, console.encoding)
        console.print(line, soft_wrap=soft_wrap)


def print_page(page: Page, console: Console) -> None:
    """Print a page.

    Parameters
    ----------
    page : Page
    console : Console
        Its width is used up to 80 columns.
    """
    width = max(min(console.width, WIDEST), LEAST_WIDTH)
    print_lines(_lines(page, width), console, soft_wrap=True)


def _lines(page: Page, width: int) -> Iterator[Text]:
    yield from _wrapped(page.title, width, "", style="bold")
    for part in page.parts:
        yield from _grid_lines(part, width) if isinstance(part, Grid) else table_lines(part, width)
    if page.cautions:
        yield Text()
        yield Text("Mind", style="bold")
    for caution in page.cautions:
        yield from _wrapped(caution, width, f"{INDENT}- ")
    bold = [(text, "bold") for text in (*page.urgent, page.conclusion)]
    for text, style in ((page.as_of, "dim"), *bold):
        if text:
            yield Text()
            yield from _wrapped(text, width, "", style=style)
    if page.next_step:
        yield Text(page.next_step)


def table_lines(table: SheetTable, width: int) -> Iterator[Text]:
    """Yield an empty line and the lines of a table.

    Parameters
    ----------
    table : SheetTable
    width : int
        Columns.

    Yields
    ------
    Text
    """
    yield Text()
    yield from _wrapped(table.title, width, "", style="bold")
    for row in table.rows:
        yield from row_lines(row, width)
    yield from _wrapped(table.remark, max(width, 22), INDENT, style="bold")


def _grid_lines(grid: Grid, width: int) -> Iterator[Text]:
    yield Text()
    yield from _wrapped(grid.title, width, "", style="bold")
    yield from _grid(grid, width)
    yield from _wrapped(grid.remark, width, INDENT)


def row_lines(row: SheetRow, width: int) -> Iterator[Text]:
    """Yield the lines of a row; the note of a long figure follows it after a comma.

    Parameters
    ----------
    row : SheetRow
    width : int
        Columns.

    Yields
    ------
    Text
    """
    room = max(width - _LABEL, 20)
    said = textwrap.wrap(row.said, room) or [""]
    notes = textwrap.wrap(row.note, max(room - _SAID, 20))
    lines = [Text(line, style="bold") for line in said]
    if notes and len(said) == 1 and len(said[0]) < _SAID:
        lines[0].pad_right(_SAID - len(said[0]))
        lines[0].append(notes.pop(0), style="not bold dim")
    elif notes and len(said[-1]) + len(row.note) + 2 <= room:
        lines[-1].append(f", {row.note}", style="not bold dim")
        notes = []
    elif notes:
        lines[-1].append(",")
    lines += (Text(" " * _SAID + line, style="dim") for line in notes)
    for label, line in zip_longest([f"  {row.label:<{_LABEL - 3}} "], lines):
        yield Text(label or " " * _LABEL).append_text(line)


def _wrapped(text: str, width: int, first: str, *, style: str = "") -> Iterator[Text]:
    lines = textwrap.wrap(text, width, initial_indent=first, subsequent_indent=" " * len(first))
    return (Text(line, style=style) for line in lines)


def _grid(grid: Grid, width: int) -> Iterator[Text]:
    longest = max(len(cells[0]) for cells in (grid.heads, *grid.rows))
    for least, parts in ((longest, [[head] for head in grid.heads]), (LEAST_NAME, _words(grid))):
        others = [_column_width(place, part, grid) for place, part in enumerate(parts) if place]
        left = width - len(INDENT) - sum(len(GAP) + other for other in others)
        if left >= min(longest, least):
            return _side_by_side(grid, [min(longest, left), *others])
    return _stacked(grid, width)


def _words(grid: Grid) -> list[list[str]]:
    return [head.split() for head in grid.heads]


def _column_width(place: int, head: Sequence[str], grid: Grid) -> int:
    """Return what a column takes if its cells and these parts of its head stay whole."""
    return max(map(len, (*head, *(row[place] for row in grid.rows))), default=0)


def _side_by_side(grid: Grid, widths: Sequence[int]) -> Iterator[Text]:
    if any(grid.heads):
        yield from (Text(line, style="dim") for line in _row(grid.heads, widths))
    for row in grid.rows:
        yield from map(Text, _row(row, widths))


def _row(cells: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    """Yield the lines of a row; what is broken over several ends on the last of them."""
    parts = [_broken(cell, width) for cell, width in zip(cells, widths, strict=True)]
    height = max(map(len, parts))
    stood = ([""] * (height - len(part)) + part for part in parts)
    for first, *others in zip_longest(*stood):
        right = (other.rjust(width) for other, width in zip(others, widths[1:], strict=True))
        yield f"{INDENT}{GAP.join((first.ljust(widths[0]), *right))}".rstrip()


def _broken(cell: str, width: int) -> list[str]:
    """Return a cell in lines; what it is indented by stays."""
    indent = cell[: len(cell) - len(cell.lstrip())]
    return textwrap.wrap(cell, width, subsequent_indent=indent) or [""]


def _stacked(grid: Grid, width: int) -> Iterator[Text]:
    for name, *cells in grid.rows:
        yield from _wrapped(name, width, INDENT)
        for head, cell in zip(grid.heads[1:], cells, strict=True):
            if cell:
                yield from _wrapped(f"{head} {cell}".strip(), width, INDENT * 2)
