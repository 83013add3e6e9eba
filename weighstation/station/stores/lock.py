"""One station to a journal: a lock that the system lets go of when the process ends, however."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from weighstation.errors import JournalError

if TYPE_CHECKING:
    from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def _try_lock(descriptor: int) -> None:
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _try_lock(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


class WriterLock:
    """The right to write a journal, held until `release`.

    Parameters
    ----------
    journal : Path
        The lock file lies beside it.

    Raises
    ------
    JournalError
        If another station holds it.
    OSError
        If the lock file cannot be made.
    """

    def __init__(self, journal: Path) -> None:
        path = journal.with_name(journal.name + ".lock")
        self._descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
        try:
            _try_lock(self._descriptor)
        except OSError as exc:
            os.close(self._descriptor)
            raise JournalError(
                f"Another station is writing the journal {journal}.",
                hint="End it there, or give this one its own --home.",
            ) from exc

    def release(self) -> None:
        """Let another station write."""
        os.close(self._descriptor)
