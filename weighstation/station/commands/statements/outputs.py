"""An answer -> files, each whole or not there at all."""

from __future__ import annotations

import os
import sys
from importlib.util import find_spec
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

FORMS = (".html", ".pdf", ".csv", ".xlsx", ".json")
_EXTRAS = {".pdf": ("A PDF", "typst", "pdf"), ".xlsx": ("A workbook", "xlsxwriter", "xlsx")}
"""What a form is called, the library that writes it, and the extra that brings that."""


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
    for form in forms:
        require_extra(form)
    return forms


def require_extra(form: str) -> None:
    """Refuse a form where the extra that writes it is missing.

    Parameters
    ----------
    form : str
        As ``.pdf``.

    Raises
    ------
    SpecificationError
        With the exact command that installs it.
    """
    what, library, extra = _EXTRAS.get(form, ("", "", ""))
    if library and find_spec(library) is None:
        raise SpecificationError(
            f"{what} needs '{library}', which is not installed.",
            hint=f"Install it with: {sys.executable} -m pip install 'weighstation[{extra}]'",
        )


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
