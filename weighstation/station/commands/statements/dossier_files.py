"""A dossier -> files: a page as HTML or PDF, and the raw rows with the recipe beside them."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.station.commands.statements.outputs import require_extra
from weighstation.station.commands.terminal.files import refused, write_whole

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.report.dossier import Evidence
    from weighstation.station.commands.terminal.patience import Patience
    from weighstation.station.stores import Store

FORMS = (".html", ".htm", ".pdf")


@dataclass(frozen=True, slots=True)
class Outputs:
    """Where a dossier goes; with neither it is shown.

    Parameters
    ----------
    file : Path or None
        Of a page.
    form : str
        The end of its name; empty without a page.
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
        If the form is none or needs what is not installed, or two folders are named.
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
    form = path.suffix.lower()
    if form not in FORMS:
        raise SpecificationError(
            f"A dossier cannot be written to '{path.name}'.",
            hint="Give --out a name that ends in .html or .pdf, or a folder as in --out raw/.",
        )
    require_extra(form)
    return Outputs(path, form, folder)


def write_page(path: Path, form: str, evidence: Evidence, patience: Patience) -> None:
    """Write a dossier as one file, in the place of what may be there.

    Parameters
    ----------
    path : Path
    form : str
        The end of its name.
    evidence : Evidence
    patience : Patience
        Is told what is being done.

    Raises
    ------
    SpecificationError
        If it cannot be written.
    """
    from weighstation.report.dossier.html import dossier_html, figures_of  # noqa: PLC0415 - only where it is made
    from weighstation.report.dossier.pages import dossier_pages  # noqa: PLC0415 - the same
    from weighstation.report.page.page_pdf import pages_pdf  # noqa: PLC0415 - the same

    patience.say("Working the figures out")
    pages, zone = dossier_pages(evidence), evidence.scope.zone
    drawn = [
        (each.page, figures_of(each, zone, f"p{place}"))
        for place, each in enumerate(patience.over(pages, "Drawing the charts"), 1)
    ]
    patience.say("Writing the pages")
    if form == ".pdf":
        made = pages_pdf(drawn, as_of_utc_ms=evidence.proof.head_utc_ms)
    else:
        made = dossier_html(drawn).encode()
    write_whole({path: made})


def write_raw(folder: Path, evidence: Evidence, store: Store, patience: Patience) -> None:
    """Write the raw rows of a dossier, and how to work its figures out again.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    evidence : Evidence
    store : Store
        Held still by the caller.
    patience : Patience
        Is told what is being done.

    Raises
    ------
    SpecificationError
        If they cannot be written.
    """
    from weighstation.report.dossier import raw  # noqa: PLC0415 - only where it is made

    proof = evidence.proof
    count = proof.head.seq - proof.first_line + 1
    lines = patience.over(store.entries(proof.first_line), "Writing lines", count)
    texts: dict[str, Iterable[str]] = {
        "entries.csv": raw.csv_lines(raw.entry_rows(lines)),
        "pieces.csv": raw.csv_lines(raw.piece_rows(evidence)),
        "chain.csv": raw.csv_lines(raw.chain_rows(proof)),
        "recompute.py": [raw.program()],
        "RECOMPUTE.md": [raw.recipe(proof)],
    }
    with refused(folder, "--raw"):
        folder.mkdir(parents=True, exist_ok=True)
    write_whole({folder / name: map(str.encode, text) for name, text in texts.items()}, "--raw")
