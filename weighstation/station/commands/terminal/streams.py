"""Standard output whose other end has gone."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import TextIO


def let_go_of(stream: TextIO) -> None:
    """Drop what a stream still holds: where it went, nothing can be written any more.

    Parameters
    ----------
    stream : TextIO
        With a file behind it.
    """
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
