"""Text from a person or a file -> text that a terminal or a printer takes as letters only."""

from __future__ import annotations

_PLAIN = str.maketrans("\u2212\u2014", "--")


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


def shown(text: str, encoding: str) -> str:
    """Return a text as a screen of some encoding shows it, letter for letter.

    Parameters
    ----------
    text : str
    encoding : str

    Returns
    -------
    str
        Printable, with a plain hyphen where a true minus or a dash cannot be written.
    """
    safe = printable(text)
    try:
        safe.encode(encoding)
    except LookupError:
        return safe
    except UnicodeEncodeError:
        return safe.translate(_PLAIN).encode(encoding, "replace").decode(encoding)
    return safe
