"""An answer -> files, each whole or not there at all."""

from __future__ import annotations

import errno
import os
import sys
from contextlib import contextmanager, suppress
from importlib.util import find_spec
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

FORMS = (".html", ".csv", ".xlsx", ".json")
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EFBIG, errno.EIO)
"""What a disk says that takes nothing more; answered like a journal that cannot be written."""


def forms_of(paths: Sequence[Path]) -> tuple[str, ...]:
    """Return the form of each file by the end of its name.

    Parameters
    ----------
    paths : (n,) sequence of Path

    Returns
    -------
    (n,) tuple of str

    Raises
    ------
    SpecificationError
        If one is none of ours, is named twice, or needs what is not installed.
    """
    forms = tuple(path.suffix.lower() for path in paths)
    for path, form in zip(paths, forms, strict=True):
        if form not in FORMS:
            raise SpecificationError(
                f"A statement cannot be written to '{path}'.",
                hint=f"Give --out a name that ends in {', '.join(FORMS[:-1])} or {FORMS[-1]}.",
            )
    if len({os.path.realpath(path) for path in paths}) < len(paths):
        raise SpecificationError("Two of --out are one file; give each another name.")
    if ".xlsx" in forms and find_spec("xlsxwriter") is None:
        raise SpecificationError(
            "A workbook needs 'xlsxwriter', which is not installed.",
            hint=f"Install it with: {sys.executable} -m pip install 'weighstation[xlsx]'",
        )
    return forms


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


def written_text(paths: Sequence[Path]) -> str:
    """Return where a statement is, in one sentence.

    Parameters
    ----------
    paths : (n,) sequence of Path

    Returns
    -------
    str
    """
    names = ", ".join(f"'{path}'" for path in paths)
    return f"The statement is in {names}."
