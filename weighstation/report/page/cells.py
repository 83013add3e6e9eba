"""A table -> text that other programs take, in which no cell can come to life."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd

_LIVE = ("=", "+", "-", "@", "\t", "\r", "\n")


def csv_text(table: pd.DataFrame) -> str:
    """Return a table as comma-separated values: plain points, an empty cell where there is none.

    Parameters
    ----------
    table : DataFrame

    Returns
    -------
    str
        Lines end with a carriage return and a line feed (RFC 4180).
    """
    safe = table.map(lambda cell: defused(cell) if isinstance(cell, str) else cell)
    return str(safe.to_csv(index=False, lineterminator="\r\n"))


def defused(text: str) -> str:
    r"""Return a text that no spreadsheet takes for a formula.

    Parameters
    ----------
    text : str

    Returns
    -------
    str
        With an apostrophe before it, if it begins with a sign that calls one (OWASP, CSV
        Injection; from memory).

    Examples
    --------
    >>> defused("=1+1"), defused("Roll")
    ("'=1+1", 'Roll')
    """
    return f"'{text}" if text.startswith(_LIVE) else text
