"""A page, and what else a console shows, on standard output."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from rich.console import Console

    from weighstation.report.page.page import Page


def show_page(page: Page) -> None:
    """Print a page, in colour where a terminal has some.

    Parameters
    ----------
    page : Page
    """
    from weighstation.report.page.text import print_page  # noqa: PLC0415 - the same

    print_page(page, console_on(sys.stdout))


def console_on(stream: TextIO) -> Console:
    """Return a console: as wide as its terminal, and 80 columns where there is none.

    Parameters
    ----------
    stream : text stream

    Returns
    -------
    Console
    """
    from rich.console import Console  # noqa: PLC0415 - not for JSON

    return Console(file=stream, width=None if stream.isatty() else 80)
