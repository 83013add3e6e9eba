"""Evidence -> what a terminal shows of it on one screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.report.dossier.cover import conclusion, struck_out_row
from weighstation.report.dossier.kept import kept_cells
from weighstation.report.dossier.many import by_product
from weighstation.report.dossier.open_points import open_points
from weighstation.report.dossier.rules import rule_rows
from weighstation.report.dossier.said import verdict
from weighstation.report.dossier.urgent import urgent
from weighstation.report.page.page import Grid, Page
from weighstation.report.page.tables import NONE, SheetRow, SheetTable

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from weighstation.report.dossier.evidence import Evidence
    from weighstation.report.dossier.questions import Question

MOST_OPEN = 6
"""Open points on one screen; the pages have all."""


def summary(evidence: Evidence, asked: Sequence[Question]) -> Page:
    """Return a dossier on one screen.

    Parameters
    ----------
    evidence : Evidence
    asked : sequence of Question

    Returns
    -------
    Page
    """
    points = open_points(evidence, asked)
    return Page(
        title=f"Weighing dossier: {evidence.scope.title}",
        parts=(
            Grid(
                "",
                ("Product", "Batches", "Pieces", "Mean g", "SD g", "Out", "Give-away g"),
                tuple(_products(evidence)),
            ),
            SheetTable("State", _state(evidence)),
            SheetTable("Open", _most(points)),
        ),
        conclusion=f"{conclusion(evidence, points)} No legal proof.",
        as_of=evidence.proof.as_of,
        urgent=urgent(evidence),
    )


def _products(evidence: Evidence) -> Iterator[tuple[str, ...]]:
    for name, batches in by_product(evidence.batches).items():
        yield (name, str(len(batches)), *kept_cells(batches))


def _state(evidence: Evidence) -> tuple[SheetRow, ...]:
    checks = [verdict(check) for check in evidence.checks]
    fit, unfit = checks.count("fit"), len(checks) - checks.count("fit")
    signals = [signal for batch in evidence.batches for signal in batch.signals]
    answered = sum(bool(signal.remarks) for signal in signals)
    lots = [batch.lot.figure for batch in evidence.batches if batch.lot is not None]
    passed = sum(lot is not None and lot.passes is True for lot in lots)
    proof = evidence.proof
    return (
        SheetRow("Verified", proof.answer, f"lines {proof.first_line} to {proof.head.seq} used"),
        SheetRow("Scale checks", f"{fit} fit, {unfit} not", f"{len(checks)} used"),
        SheetRow("Signals", str(len(signals)), f"{answered} with a reaction noted"),
        SheetRow("Baked lots", str(len(lots)) if lots else NONE, f"{passed} pass by their numbers"),
        struck_out_row(evidence.batches),
        *rule_rows(evidence.batches),
    )


def _most(points: Sequence[SheetRow]) -> tuple[SheetRow, ...]:
    if len(points) <= MOST_OPEN:
        return tuple(points) or (SheetRow("Nothing", "nothing is open"),)
    more = SheetRow("More", f"{len(points) - MOST_OPEN} more", "--out FILE.html tells them all")
    return (*points[:MOST_OPEN], more)
