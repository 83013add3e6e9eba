"""A link -> a QR code in a terminal."""

from __future__ import annotations

import io
import sys
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from typing import TextIO

QUIET_MODULES = 4
"""So wide is the empty border that ISO/IEC 18004 asks for."""
_WHITE_ON_BLACK = "\x1b[97;40m"
_AS_BEFORE = "\x1b[0m"


def refuse_no_code() -> None:
    """Refuse to go on where no code can be drawn.

    Raises
    ------
    SpecificationError
        If the extra ``pages`` is missing.
    """
    try:
        import segno  # noqa: F401, PLC0415 - an extra
    except ModuleNotFoundError as exc:
        raise SpecificationError(
            "Pages need an extra that is not installed.",
            hint=f"Install it with '{sys.executable} -m pip install \"weighstation[pages]\"'.",
        ) from exc


def code_shown(link: str, screen: TextIO) -> str:
    """Return a QR code, dark on light whatever the colours of the terminal are.

    Parameters
    ----------
    link : str
    screen : text stream

    Returns
    -------
    str
        Lines, two rows of the code in each; empty where the screen is none or has no such letters.
    """
    import segno  # noqa: PLC0415 - an extra

    drawn = io.StringIO()
    segno.make_qr(link, error="m").terminal(drawn, border=QUIET_MODULES, compact=True)
    if not screen.isatty() or not _has(screen, drawn.getvalue()):
        return ""
    lines = drawn.getvalue().splitlines()
    return "".join(f"{_WHITE_ON_BLACK}{line}{_AS_BEFORE}\n" for line in lines)


def _has(screen: TextIO, text: str) -> bool:
    try:
        text.encode(screen.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True
