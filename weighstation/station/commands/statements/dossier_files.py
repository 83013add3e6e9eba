"""A dossier -> files: a page as HTML or PDF, and the raw rows with the recipe beside them."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.station.commands.terminal.files import refused, write_whole

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.report.dossier import Evidence
    from weighstation.station.stores import Store

FORMS = {".html": "html", ".htm": "html", ".pdf": "pdf"}


@dataclass(frozen=True, slots=True)
class Outputs:
    """Where a dossier goes; with neither it is shown.

    Parameters
    ----------
    file : Path or None
        Of a page.
    form : str
        ``html`` or ``pdf``; empty without a page.
    raw : Path or None
        A folder of raw rows.
    """

    file: Path | None = None
    form: str = ""
    raw: Path | None = None

    @property
    def is_any(self) -> bool:
        """Whether anything is to be written."""
        return self.file is not None or self.raw is not None


def outputs_from(out: str | None, raw: str | None) -> Outputs:
    """Return where a dossier goes.

    Parameters
    ----------
    out : str or None
        A file that ends in .html or .pdf; or a folder, there already or ending in a slash.
    raw : str or None
        A folder.

    Returns
    -------
    Outputs

    Raises
    ------
    SpecificationError
        If the form is none, or two folders are named.
    """
    folder = None if raw is None else Path(raw)
    if folder is not None and folder.exists() and not folder.is_dir():
        raise SpecificationError(f"'{raw}' is a file.", hint="Give --raw the name of a folder.")
    if out is None:
        return Outputs(raw=folder)
    path = Path(out)
    if path.is_dir() or out.endswith(("/", os.sep)):
        if folder is not None:
            raise SpecificationError("--out names a folder, and --raw another; give one of them.")
        return Outputs(raw=path)
    form = FORMS.get(path.suffix.lower())
    if form is None:
        raise SpecificationError(
            f"A dossier cannot be written to '{path.name}'.",
            hint="Give --out a name that ends in .html or .pdf, or a folder as in --out raw/.",
        )
    return Outputs(path, form, folder)


def require_pdf() -> None:
    """Refuse a PDF where the extra that makes it is missing.

    Raises
    ------
    SpecificationError
        With the exact command that installs it.
    """
    if find_spec("typst") is None:
        raise SpecificationError(
            "A PDF needs an extra that is not installed.",
            hint=f"Install it with '{sys.executable} -m pip install \"weighstation[pdf]\"', or give"
            " --out a name that ends in .html and print that.",
        )


def write_page(path: Path, form: str, evidence: Evidence) -> None:
    """Write a dossier as one file, in the place of what may be there.

    Parameters
    ----------
    path : Path
    form : str
        ``html`` or ``pdf``.
    evidence : Evidence

    Raises
    ------
    SpecificationError
        If it cannot be written.
    """
    from weighstation.report.dossier.pages import dossier_pages  # noqa: PLC0415 - only where it is made

    pages, zone = dossier_pages(evidence), evidence.scope.zone
    if form == "pdf":
        from weighstation.report.dossier.pdf import dossier_pdf  # noqa: PLC0415 - the same

        made = dossier_pdf(pages, as_of_utc_ms=evidence.proof.head_utc_ms, zone=zone)
    else:
        from weighstation.report.dossier.html import dossier_html  # noqa: PLC0415 - the same

        made = dossier_html(pages, zone=zone).encode()
    write_whole({path: made})


def write_raw(folder: Path, evidence: Evidence, store: Store) -> None:
    """Write the raw rows of a dossier, and how to work its figures out again.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    evidence : Evidence
    store : Store
        Held still by the caller.

    Raises
    ------
    SpecificationError
        If they cannot be written.
    """
    from weighstation.report.dossier import raw  # noqa: PLC0415 - only where it is made

    proof = evidence.proof
    texts: dict[str, Iterable[str]] = {
        "entries.csv": raw.csv_lines(raw.entry_rows(store.entries(proof.first_line))),
        "pieces.csv": raw.csv_lines(raw.piece_rows(evidence)),
        "chain.csv": raw.csv_lines(raw.chain_rows(proof)),
        "recompute.py": [raw.program()],
        "RECOMPUTE.md": [raw.recipe(proof)],
    }
    with refused(folder, "--raw"):
        folder.mkdir(parents=True, exist_ok=True)
    write_whole({folder / name: map(str.encode, text) for name, text in texts.items()}, "--raw")
