"""A journal -> the dossier of a batch, a product or some days: shown, as a file, as raw rows."""

from __future__ import annotations

import sys
from contextlib import closing
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.report.dossier import Scope
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.dossier_files import (
    Outputs,
    write_page,
    write_raw,
)
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.statements.giveaway import span_from
from weighstation.station.commands.terminal.here import HERE
from weighstation.station.commands.terminal.pages import show_page, show_record
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import open_for_reading

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.report.dossier import Evidence
    from weighstation.station.stores import Store


@dataclass(frozen=True, slots=True)
class DossierOrder:
    """What is asked for.

    Parameters
    ----------
    meant : Meant
        With nothing in it for the newest batch.
    outputs : Outputs
    with_people : bool
        Whether it is shown who divided, and who signed a check or a note.
    as_json : bool
    """

    meant: Meant
    outputs: Outputs
    with_people: bool = False
    as_json: bool = False


def meant_by(run: str, product: str, since: str | None, until: str | None) -> Meant:
    """Return which batches were asked for.

    Parameters
    ----------
    run, product : str
        Empty where they were not named.
    since, until : str or None
        Days as ``2026-03-02``.

    Returns
    -------
    Meant

    Raises
    ------
    SpecificationError
        If a day is none or lies in the future, or a run is named beside a product or days.
    """
    if run and (product or since or until):
        raise SpecificationError("Give --run, or a product and days, not both.")
    span = span_from(since, until) if since or until else None
    return Meant(run, product, span)


def run_dossier(home: Path | None, order: DossierOrder) -> int:
    """Show or write a dossier.

    Parameters
    ----------
    home : Path or None
    order : DossierOrder

    Returns
    -------
    int
        Exit code: 1 where the record does not hold, a lot does not pass or pieces are doubtful.

    Raises
    ------
    SpecificationError
        If there is no such batch, people are asked for where the shop shows none, or a file
        cannot be written.
    JournalError
        If the journal cannot be read.
    """
    outputs = order.outputs
    found = Home.find(home)
    if order.with_people and not found.shows_people:
        raise SpecificationError(
            "--people shows who divided and who signed, and this shop did not choose that.",
            hint="Write show_people = true into products.toml first.",
        )
    with Patience() as patience:
        evidence = _written(found, order, patience)
    if order.as_json:
        show_record(_record(evidence))
    elif not outputs.is_any:
        _show(evidence)
    else:
        _say(outputs, evidence)
    return 1 if _is_bad(evidence) else 0


def _written(home: Home, order: DossierOrder, patience: Patience) -> Evidence:
    """Read what the dossier is made of, and write the files that were asked for."""
    outputs = order.outputs
    with closing(open_for_reading(home.journal_path)) as store, store.one_moment():
        evidence = _evidence(store, home, order, patience)
        if outputs.raw is not None:
            write_raw(outputs.raw, evidence, store, patience)
    if outputs.file is not None:
        write_page(outputs.file, outputs.form, evidence, patience)
    return evidence


def _evidence(store: Store, home: Home, order: DossierOrder, patience: Patience) -> Evidence:
    meant, zone = order.meant, HERE
    if meant == Meant():
        newest = store.last_run()
        meant = Meant(newest.run if newest else "")
    scope = Scope(_title(meant), zone, order.with_people)
    return evidence_of(store, home, meant, scope, patience)


def _title(meant: Meant) -> str:
    if meant.run:
        return f"batch {meant.run}"
    span = meant.span
    days = "all days" if span is None else f"{span.first} to {span.last}"
    return f"{meant.product or 'all products'}, {days}"


def _record(evidence: Evidence) -> dict[str, object]:
    from weighstation.report.dossier.cover import cover  # noqa: PLC0415 - only here
    from weighstation.report.dossier.questions import questions  # noqa: PLC0415 - the same
    from weighstation.report.dossier.record import dossier_record  # noqa: PLC0415 - the same
    from weighstation.report.page.page import page_record  # noqa: PLC0415 - the same

    words = page_record(cover(evidence, questions(evidence)))
    return dossier_record(evidence) | {"page": words}


def _show(evidence: Evidence) -> None:
    from weighstation.report.dossier.questions import questions  # noqa: PLC0415 - only here
    from weighstation.report.dossier.summary import summary  # noqa: PLC0415 - the same

    show_page(summary(evidence, questions(evidence)))


def _say(outputs: Outputs, evidence: Evidence) -> None:
    if outputs.file is not None:
        sys.stdout.write(f"The dossier is in '{outputs.file}', {evidence.proof.as_of}.\n")
    if outputs.raw is not None:
        sys.stdout.write(
            f"The raw lines are in '{outputs.raw}', {evidence.proof.as_of};"
            " RECOMPUTE.md there says how to work them out again.\n"
        )


def _is_bad(evidence: Evidence) -> bool:
    return bool(evidence.proof.fault) or any(
        batch.figures.doubtful
        or (
            batch.lot is not None
            and batch.lot.figure is not None
            and batch.lot.figure.passes is False
        )
        for batch in evidence.batches
    )
