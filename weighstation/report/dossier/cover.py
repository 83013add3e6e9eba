"""Evidence -> the cover of a dossier: what is open, the record, and all batches in tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.dossier.checks import check_table, weight_tables
from weighstation.report.dossier.kept import kept_tables
from weighstation.report.dossier.lots import lot_tables
from weighstation.report.dossier.open_points import counted_batches, open_points
from weighstation.report.dossier.rules import rule_of, rule_rows
from weighstation.report.dossier.said import moment
from weighstation.report.dossier.stand_ins import no_evidence
from weighstation.report.dossier.urgent import urgent
from weighstation.report.page.page import Page
from weighstation.report.page.tables import SheetRow, SheetTable, counted, named

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.journal import RunStarted
    from weighstation.report.dossier.evidence import BatchEvidence, Evidence, Proof
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
    return Page(
        title=f"Weighing dossier: {evidence.scope.title}",
        parts=(
            SheetTable("Open points", points or (SheetRow("None", "nothing is open"),)),
            SheetTable("The record", _record(evidence)),
            *kept_tables(evidence),
            SheetTable("What was promised", _promised(evidence.batches)),
            check_table(evidence),
            *weight_tables(evidence.checks),
            *lot_tables(evidence.batches),
            _asked(asked),
        ),
        cautions=CAUTIONS,
        conclusion=conclusion(evidence, points),
        as_of=evidence.proof.as_of,
        urgent=urgent(evidence),
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
        struck_out_row(evidence.batches),
        SheetRow(
            "Software",
            ", ".join(wrote),
            f"wrote the batches; this was made by weighstation {evidence.software}",
        ),
    )


def struck_out_row(batches: Sequence[BatchEvidence]) -> SheetRow:
    """Return how many pieces were struck out, and how often weighing broke off.

    Parameters
    ----------
    batches : sequence of BatchEvidence

    Returns
    -------
    SheetRow
    """
    voided = sum(batch.figures.voided for batch in batches)
    interrupted = sum(len(batch.figures.interrupted) for batch in batches)
    gaps = sum(len(batch.figures.gaps_ms) for batch in batches)
    note = f"{counted(gaps, 'gap')}, {counted(interrupted, 'run')} interrupted"
    return SheetRow("Struck out", counted(voided, "piece"), note)


def _promised(batches: Iterable[BatchEvidence]) -> tuple[SheetRow, ...]:
    """Return each different promise, with the lines that made it."""
    lines: dict[tuple[str, str, str], list[int]] = {}
    for batch in batches:
        for line, promise in batch.promises:
            lines.setdefault(_promise(promise), []).append(line)
    return tuple(
        SheetRow(name, said, f"{note}; line {named(map(str, found))}")
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
