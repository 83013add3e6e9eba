"""Checks of scales -> one by one; where there are many, scale by scale and what was odd of them."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.report.dossier.many import are_many
from weighstation.report.dossier.said import certificate, mass, moment, noted, verdict
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted, named

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from weighstation.journal import UsedWeight
    from weighstation.report.dossier.evidence import Check, Evidence

_DAY_MS = 86_400_000


def check_table(evidence: Evidence) -> SheetTable:
    """Return the checks of the scales.

    Parameters
    ----------
    evidence : Evidence

    Returns
    -------
    SheetTable
    """
    if are_many(evidence.checks):
        odd = [check for check in evidence.checks if _is_odd(check, evidence)]
        rows = (*_by_scale(evidence), *(_check(check, evidence) for check in odd))
        remark = "Told one by one are the checks that found a scale not fit or have a note."
        return SheetTable("Scale checks", rows, remark)
    rows = tuple(_check(check, evidence) for check in evidence.checks)
    missing = SheetRow("None", NONE, "no check of these scales is on record")
    if not rows and all(batch.without_scale for batch in evidence.batches):
        missing = SheetRow("None", NONE, "no scale was read: simulated, a recording, or a file")
    return SheetTable("Scale checks", rows or (missing,))


def _is_odd(check: Check, evidence: Evidence) -> bool:
    return not check.said.is_fit or any(each.about == check.line for each in evidence.check_remarks)


def _by_scale(evidence: Evidence) -> Iterator[SheetRow]:
    by: dict[str, list[Check]] = {}
    for check in evidence.checks:
        by.setdefault(check.said.scale, []).append(check)
    for scale, checks in by.items():
        unfit = sum(not check.said.is_fit for check in checks)
        yield SheetRow(
            counted(len(checks), "check"),
            f"{len(checks) - unfit} fit, {unfit} not",
            f"scale {scale}, {_span(checks, evidence)}",
        )


def _span(checks: Sequence[Check], evidence: Evidence) -> str:
    first, last = (moment(check.t_utc_ms, evidence.scope.zone) for check in (checks[0], checks[-1]))
    apart_ms = max((b.t_utc_ms - a.t_utc_ms for a, b in pairwise(checks)), default=0)
    return (
        f"from {first} (line {checks[0].line}) to {last} (line {checks[-1].line}), at most"
        f" {apart_ms / _DAY_MS:.1f} days apart"
    )


def _check(check: Check, evidence: Evidence) -> SheetRow:
    said = check.said
    who = f"by {said.person}" if said.person else "by nobody named"
    bad = " ".join(finding.text for finding in said.findings if not finding.is_good)
    used = ", ".join(weight.name for weight in said.weights)
    notes = noted(each for each in evidence.check_remarks if each.about == check.line)
    parts = (
        f"{moment(check.t_utc_ms, evidence.scope.zone)}, {who}, scale {said.scale}.",
        said.text,
        bad if bad and bad not in said.text else "",
        said.held_against.text,
        f"Weights: {used}." if used else "",
        notes,
    )
    return SheetRow(f"Line {check.line}", verdict(check), " ".join(filter(None, parts)))


def weight_tables(checks: Iterable[Check]) -> tuple[SheetTable, ...]:
    """Return each weight that a scale was checked with, and the lines of these checks.

    Parameters
    ----------
    checks : iterable of Check

    Returns
    -------
    tuple of SheetTable
        Empty where no weight was used.
    """
    used: dict[UsedWeight, list[int]] = {}
    for check in checks:
        for each in check.said.weights:
            used.setdefault(each, []).append(check.line)
    rows = tuple(
        SheetRow(each.name, mass(each), f"{certificate(each)}; line {named(map(str, lines))}")
        for each, lines in used.items()
    )
    return (SheetTable("Check weights", rows),) if rows else ()
