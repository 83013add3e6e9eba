"""Evidence -> the cover of a dossier: what is open, the record, and all batches in tables."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING

from weighstation.journal import Sums
from weighstation.quantities import grams
from weighstation.report.dossier.lots import lot_cells
from weighstation.report.dossier.open_points import counted_batches, open_points
from weighstation.report.dossier.rules import rule_of, rule_rows
from weighstation.report.dossier.said import (
    certificate,
    giveaway_g,
    mass,
    mean_g,
    moment,
    noted,
    number,
    sd_g,
    state,
    verdict,
)
from weighstation.report.dossier.stand_ins import no_evidence
from weighstation.report.page.page import Grid, Page
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from weighstation.journal import RunStarted, UsedWeight
    from weighstation.report.dossier.evidence import BatchEvidence, Check, Evidence, Proof, Scope
    from weighstation.report.dossier.questions import Question

CAUTIONS = (
    (
        "This is arithmetic on the record of one station. It is no legal proof, and no control of"
        " food safety: which weights bind you, and on which verified scale they are to be shown,"
        " your local rules say."
    ),
    (
        "The record shows that its lines were not changed after they were written. It cannot show"
        " that what was put on the pan was what the baker took it for."
    ),
    (
        "Kept pieces have been sorted by the band, so their spread says nothing of the dividing;"
        " first cuts do, and only they are charted."
    ),
)
_SAID = (
    "SD is with n \N{MINUS SIGN} 1. Out are pieces that left out of band. Give-away is the mean"
    " minus the scaling weight, times pieces, in dough."
)


def cover(evidence: Evidence, asked: Sequence[Question]) -> Page:
    """Return the cover of a dossier.

    Parameters
    ----------
    evidence : Evidence
    asked : sequence of Question

    Returns
    -------
    Page
    """
    points = open_points(evidence, asked)
    by = by_product(evidence.batches)
    return Page(
        title=f"Weighing dossier: {evidence.scope.title}",
        parts=(
            SheetTable("Open points", points or (SheetRow("None", "nothing is open"),)),
            SheetTable("The record", _record(evidence)),
            *_batches(by, evidence.scope),
            SheetTable("What was promised", _promised(evidence.batches)),
            _checks(evidence),
            *_weights(evidence.checks),
            *_baked(evidence.batches),
            _asked(asked),
        ),
        cautions=CAUTIONS,
        conclusion=conclusion(evidence, points),
        as_of=evidence.proof.as_of,
    )


def conclusion(evidence: Evidence, points: Sequence[SheetRow]) -> str:
    """Return all in a sentence, after one that says where weights are no evidence.

    Parameters
    ----------
    evidence : Evidence
    points : sequence of SheetRow
        What is open.

    Returns
    -------
    str
    """
    kept, out = evidence.kept, evidence.out_of_band
    share = f" ({100 * out / kept.n:.1f} %)" if kept.n else ""
    what = f"{counted_batches(evidence.batches)}, {counted(kept.n, 'piece')}"
    is_open = f"{counted(len(points), 'point')} open" if points else "nothing open"
    return f"{no_evidence(evidence)} {what}, {out} out of band{share}: {is_open}.".lstrip()


def by_product(batches: Iterable[BatchEvidence]) -> dict[str, list[BatchEvidence]]:
    """Return batches by their product, each in order.

    Parameters
    ----------
    batches : iterable of BatchEvidence

    Returns
    -------
    dict of str to list of BatchEvidence
    """
    found: dict[str, list[BatchEvidence]] = {}
    for batch in batches:
        found.setdefault(batch.figures.product.name, []).append(batch)
    return found


def record_rows(proof: Proof) -> tuple[SheetRow, ...]:
    """Return which journal, which lines, and what was proved of them.

    Parameters
    ----------
    proof : Proof

    Returns
    -------
    tuple of SheetRow
    """
    return (
        SheetRow("Journal", f"station {proof.station}", f"journal id {proof.journal_id}"),
        SheetRow(
            "Lines used",
            f"{proof.first_line} to {proof.head.seq}",
            f"starting from digest {proof.prev}",
        ),
        SheetRow("Head", f"line {proof.head.seq}", proof.head.digest),
        SheetRow("Verified", proof.answer, proof.verified),
    )


def _record(evidence: Evidence) -> tuple[SheetRow, ...]:
    proof = evidence.proof
    wrote = dict.fromkeys(p.software for b in evidence.batches for _, p in b.promises)
    return (
        *record_rows(proof),
        SheetRow(
            "Last line", moment(proof.head_utc_ms, evidence.scope.zone), "when it was written"
        ),
        *rule_rows(evidence.batches),
        SheetRow(
            "Software",
            ", ".join(wrote),
            f"wrote the batches; this was made by weighstation {evidence.software}",
        ),
    )


def _batches(by: Mapping[str, Sequence[BatchEvidence]], scope: Scope) -> Iterator[Grid]:
    *others, last = by.items()
    yield from (_of_product(*each, scope) for each in others)
    yield replace(_of_product(*last, scope), remark=_SAID)


def _of_product(name: str, batches: Sequence[BatchEvidence], scope: Scope) -> Grid:
    who = ("Who",) if scope.with_people else ()
    heads = (
        "Batch",
        "Began",
        *who,
        "Pieces",
        "Mean g",
        "SD g",
        "Out",
        "Give-away g",
        "Check before",
        "Check after",
        "Lines",
    )
    rows = [_batch_row(batch, scope) for batch in batches]
    if len(batches) > 1:
        rows.append(_total_row(batches, scope))
    return Grid(f"{name}: kept pieces", heads, tuple(rows))


def _batch_row(batch: BatchEvidence, scope: Scope) -> tuple[str, ...]:
    figures = batch.figures
    who = (batch.promises[-1][1].person or NONE,) if scope.with_people else ()
    return (
        batch.run,
        moment(figures.started_utc_ms, scope.zone),
        *who,
        *_kept(figures.kept, figures.product.limits.target_mg, figures.out_of_band),
        state(batch.before),
        state(batch.after),
        batch.lines.replace(" to ", "\N{EN DASH}"),
    )


def _kept(kept: Sums, target_mg: int | None, out: int) -> tuple[str, ...]:
    return (
        str(kept.n),
        number(None if target_mg is None else mean_g(kept, target_mg), 2),
        number(sd_g(kept), 2),
        str(out),
        giveaway_g(kept),
    )


def _total_row(batches: Sequence[BatchEvidence], scope: Scope) -> tuple[str, ...]:
    kept = reduce(Sums.__add__, (batch.figures.kept for batch in batches), Sums())
    targets = {batch.figures.product.limits.target_mg for batch in batches}
    target_mg = targets.pop() if len(targets) == 1 else None
    out = sum(batch.figures.out_of_band for batch in batches)
    who = ("",) if scope.with_people else ()
    return ("in all", "", *who, *_kept(kept, target_mg, out), "", "", "")


def _promised(batches: Iterable[BatchEvidence]) -> tuple[SheetRow, ...]:
    """Return each different promise, with the lines that made it."""
    lines: dict[tuple[str, str, str], list[int]] = {}
    for batch in batches:
        for line, promise in batch.promises:
            lines.setdefault(_promise(promise), []).append(line)
    return tuple(
        SheetRow(name, said, f"{note}; line {', '.join(map(str, found))}")
        for (name, said, note), found in lines.items()
    )


def _promise(promise: RunStarted) -> tuple[str, str, str]:
    product, guard = promise.product, promise.guard
    limits = product.limits
    low, high = limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg
    declared = product.declared_mg
    division = promise.division_mg
    said = f"{grams(limits.target_mg):g} g"
    notes = (
        f"kept from {grams(low):g} to {grams(high):g} g",
        "no declared weight" if declared is None else f"declared {grams(declared):g} g baked",
        rule_of(product),
        f"drawn in by {grams(guard.width_mg):g} g (line {guard.check_line})" if guard else "",
        f"division {grams(division):g} g" if division else "division not known at its start",
        f"{promise.way.value}, lifted pieces by '{promise.lifted.value}'",
    )
    return product.name, said, "; ".join(filter(None, notes))


def _checks(evidence: Evidence) -> SheetTable:
    rows = tuple(_check(check, evidence) for check in evidence.checks)
    missing = SheetRow("None", NONE, "no check of these scales is on record")
    if not rows and all(batch.without_scale for batch in evidence.batches):
        missing = SheetRow("None", NONE, "no scale was read: simulated, a recording, or a file")
    return SheetTable("Scale checks", rows or (missing,))


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


def _weights(checks: Iterable[Check]) -> tuple[SheetTable, ...]:
    """Return each weight that a scale was checked with, and the lines of these checks."""
    used: dict[UsedWeight, list[int]] = {}
    for check in checks:
        for each in check.said.weights:
            used.setdefault(each, []).append(check.line)
    rows = tuple(
        SheetRow(each.name, mass(each), f"{certificate(each)}; line {', '.join(map(str, lines))}")
        for each, lines in used.items()
    )
    return (SheetTable("Check weights", rows),) if rows else ()


def _baked(batches: Sequence[BatchEvidence]) -> tuple[Grid | SheetTable, ...]:
    rows = tuple(row for batch in batches for row in lot_cells(batch))
    if not rows:
        return (SheetTable("Baked loaves", (SheetRow("None", NONE, "no loaf was weighed"),)),)
    heads = ("Batch", "Verdict", "Numbers", "Loaves", "Mean g", "Least g", "Rule", "Lines")
    remark = (
        "'Indicative' is a hint and no more; the page of the batch says why. No verdict here is"
        " legal proof. Least is the lowest mean that passes."
    )
    return (Grid("Baked loaves", heads, rows, remark),)


def _asked(asked: Sequence[Question]) -> SheetTable:
    rows = tuple(
        SheetRow(each.flag.kind.value, each.of, f"{each.flag.text} (lines {each.lines})")
        for each in asked
    )
    none = SheetRow("None", "no question", "nothing about weights and times stands out")
    return SheetTable(
        "Questions to the data",
        rows or (none,),
        "A question is no verdict, and none asked no proof; below 30 pieces a week none is asked.",
    )
