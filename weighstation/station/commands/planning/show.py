"""A page of planning on standard output."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.report.page.page import Page


def show_page(page: Page) -> None:
    """Print a page, in colour where a terminal has some.

    Parameters
    ----------
    page : Page
    """
    from rich.console import Console  # noqa: PLC0415 - not for JSON

    from weighstation.report.page.page_text import print_page  # noqa: PLC0415 - the same

    print_page(page, Console(file=sys.stdout, width=None if sys.stdout.isatty() else 80))
