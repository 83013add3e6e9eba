"""A page and a record of one answer -> the form that was asked for."""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.station.commands.terminal.files import write_whole
from weighstation.station.commands.terminal.pages import show_page, show_record

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from weighstation.report.page.page import Page

HTML = (".html", ".htm")
ONE_COLUMN = 6
"""So many tables stand below each other on one sheet of A4; more go in two columns."""


@dataclass(frozen=True, slots=True)
class Answering:
    """How an answer is wanted.

    Parameters
    ----------
    as_json : bool
    out : Path or None
        A file to print it from; None shows it on the screen.

    Raises
    ------
    SpecificationError
        If both are asked for, or the file's name has another form.
    """

    as_json: bool = False
    out: Path | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be before anything is worked out."""
        if self.out is None:
            return
        if self.as_json:
            raise SpecificationError("--out writes a file and --json prints; give one of them.")
        if self.out.suffix.lower() not in HTML:
            raise SpecificationError(
                f"A plan cannot be written to '{self.out}'.",
                hint="Give --out a name that ends in .html; open it to read or to print it.",
            )

    def give(self, page: Callable[[], Page], record: Callable[[], object]) -> None:
        """Show, or write, what was worked out; only what is asked for is made.

        Parameters
        ----------
        page, record : callable

        Raises
        ------
        SpecificationError
            If the file cannot be written.
        OSError
            If the disk takes nothing more.
        """
        if self.as_json:
            show_record(record())
        elif self.out is None:
            show_page(page())
        else:
            _write(page(), self.out)


ON_SCREEN = Answering()


def _write(page: Page, path: Path) -> None:
    """Write a page to print, with the time at which it was made: paper outlives its morning."""
    from weighstation.report.page.page_html import page_html  # noqa: PLC0415 - not for a terminal

    made = f"Made {time.strftime('%Y-%m-%d %H:%M')}."
    dated = replace(page, as_of=f"{page.as_of} {made}".lstrip())
    html = page_html(dated, in_columns=len(page.parts) > ONE_COLUMN)
    write_whole({path: html.encode()})
    sys.stdout.write(f"The plan is in '{path}'. Open it to read or to print it.\n")
