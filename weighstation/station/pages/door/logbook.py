"""The request log: who asked for which page and how it went, without a secret in it.

A page is named by its pattern, never by what was asked: no token, no query string and nothing that
a stranger chose gets into the file.
"""

from __future__ import annotations

import json
import logging
import os
import time
from contextlib import contextmanager
from functools import partial
from logging.handlers import RotatingFileHandler
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from io import TextIOWrapper
    from pathlib import Path

MOST_BYTES = 500_000
OLDER_FILES = 3
_OTHERS = ("uvicorn.error", "asyncio")
"""Who else has something to say of a request; on the panel it would stand in the cue."""


class Logbook:
    """Lines about requests.

    Parameters
    ----------
    path : Path
        Older files lie beside it, numbered.
    """

    def __init__(self, path: Path) -> None:
        self.handler = _Handler(path, maxBytes=MOST_BYTES, backupCount=OLDER_FILES, delay=True)
        clock = logging.Formatter("%(asctime)s %(message)s", "%Y-%m-%dT%H:%M:%SZ")
        clock.converter = time.gmtime
        self.handler.setFormatter(clock)
        self._lines = logging.Logger("requests", logging.INFO)  # noqa: LOG001 - one a station, not one a process
        self._lines.addHandler(self.handler)

    def note(self, address: str, name: str, method: str, pattern: str, status: int) -> None:
        """Write one line.

        Parameters
        ----------
        address, name : str
            Who asked.
        method, pattern : str
        status : int
        """
        who = json.dumps(name, ensure_ascii=False)
        self._lines.info("%s %s %s %s %d", address or "-", who, method, pattern, status)


class _Handler(RotatingFileHandler):
    """A file for its owner's eyes; a disk that takes nothing more takes no log either."""

    def _open(self) -> TextIOWrapper:
        opener = partial(os.open, mode=0o600)
        return open(self.baseFilename, "a", encoding="utf-8", opener=opener)

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 - its name there
        """Say nothing: there is no better place to say it."""


@contextmanager
def kept(path: Path) -> Iterator[Logbook]:
    """Keep a request log until left; what libraries complain of goes there too.

    Parameters
    ----------
    path : Path

    Yields
    ------
    Logbook
    """
    book = Logbook(path)
    others = [logging.getLogger(name) for name in _OTHERS]
    for other in others:
        other.addHandler(book.handler)
    try:
        yield book
    finally:
        for other in others:
            other.removeHandler(book.handler)
        book.handler.close()
