"""Contents -> files, each whole or not there at all."""

from __future__ import annotations

import errno
import os
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from pathlib import Path

_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EFBIG, errno.EIO)
"""What a disk says that takes nothing more; answered like a journal that cannot be written."""


def write_whole(contents: Mapping[Path, bytes | Iterable[bytes]], option: str = "--out") -> None:
    """Write files; only when all are on the disk does any take its name.

    Parameters
    ----------
    contents : mapping of Path to bytes, or to parts of them one after another
    option : str
        Where the names were typed, for the sentence that refuses one.

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
            with refused(path, option):
                _write(beside[path], content)
        for path, written in beside.items():
            with refused(path, option):
                written.replace(path)
    finally:
        for written in beside.values():
            with suppress(OSError):
                written.unlink(missing_ok=True)


def _write(path: Path, content: bytes | Iterable[bytes]) -> None:
    with path.open("xb") as file:
        file.writelines([content] if isinstance(content, bytes) else content)
        file.flush()
        os.fsync(file.fileno())


@contextmanager
def refused(path: Path, option: str) -> Iterator[None]:
    """Say in one sentence that a file cannot be written; a full disk goes on to the caller.

    Parameters
    ----------
    path : Path
    option : str
        Where its name was typed.

    Yields
    ------
    None

    Raises
    ------
    SpecificationError
        If it cannot be written there.
    """
    try:
        yield
    except OSError as exc:
        if exc.errno in _FULL:
            raise
        raise SpecificationError(
            f"'{path}' cannot be written ({(exc.strerror or str(exc)).lower()}).",
            hint=f"Give {option} another name.",
        ) from exc
