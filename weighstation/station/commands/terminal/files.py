"""Contents -> files, each whole or not there at all."""

from __future__ import annotations

import errno
import os
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EFBIG, errno.EIO)
"""What a disk says that takes nothing more; answered like a journal that cannot be written."""


def write_whole(contents: Mapping[Path, bytes]) -> None:
    """Write files; only when all are on the disk does any take its name.

    Parameters
    ----------
    contents : mapping of Path to bytes

    Raises
    ------
    SpecificationError
        If a file cannot be written there.
    OSError
        If the disk takes nothing more.
    """
    beside: dict[Path, Path] = {}
    try:
        for path, content in contents.items():
            beside[path] = path.with_name(f".{path.name}.{os.getpid()}.new")
            with _refused(path):
                _write(beside[path], content)
        for path, written in beside.items():
            with _refused(path):
                written.replace(path)
    finally:
        for written in beside.values():
            with suppress(OSError):
                written.unlink(missing_ok=True)


def _write(path: Path, content: bytes) -> None:
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


@contextmanager
def _refused(path: Path) -> Iterator[None]:
    """Say in one sentence that a file cannot be written; a full disk goes on to the caller."""
    try:
        yield
    except OSError as exc:
        if exc.errno in _FULL:
            raise
        raise SpecificationError(
            f"'{path}' cannot be written ({(exc.strerror or str(exc)).lower()}).",
            hint="Give --out another name.",
        ) from exc
