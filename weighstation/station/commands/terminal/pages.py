"""A page or a record on standard output, and the console for what else is shown there."""

from __future__ import annotations

import json
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


def show_record(record: object) -> None:
    """Write one line of JSON, in letters that every encoding has.

    Parameters
    ----------
    record : object
        Out of what json can write.
    """
    sys.stdout.write(json.dumps(record) + "\n")


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

    class Patient(Console):
        def on_broken_pipe(self) -> None:
            """Leave it to whoever runs the command; of itself it leaves with 1, our bad news."""
            raise BrokenPipeError

    return Patient(file=stream, width=None if stream.isatty() else 80)
