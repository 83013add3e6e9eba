"""A file -> the recording that it holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.acquire.recording import Recording, decode
from weighstation.errors import RecordingError

if TYPE_CHECKING:
    from pathlib import Path


def read_recording(path: Path) -> Recording:
    """Return the recording that a file holds.

    Parameters
    ----------
    path : Path

    Returns
    -------
    Recording

    Raises
    ------
    RecordingError
        If there is no such file, it cannot be read, or it is not a recording.
    """
    try:
        with path.open(encoding="utf-8-sig", errors="surrogateescape") as lines:
            return decode(lines)
    except FileNotFoundError as exc:
        raise RecordingError(
            f"There is no recording '{path}'.", hint="Check the name of the file."
        ) from exc
    except OSError as exc:
        raise RecordingError(
            f"'{path}' cannot be read: {(exc.strerror or str(exc)).lower()}.",
            hint="Name a file that 'weighstation record' has written.",
        ) from exc
