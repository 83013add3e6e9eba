"""Text from a person or a file -> text that a terminal or a printer takes as letters only."""

from __future__ import annotations


def printable(text: str) -> str:
    r"""Return a text with a question mark for each character that does more than show itself.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> printable("roll\x1b[2J")
    'roll?[2J'
    """
    return "".join(char if char.isprintable() else "?" for char in text)
