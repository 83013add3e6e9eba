"""Batches -> what is open: what an auditor will ask, before they do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.report.dossier.many import are_many
from weighstation.report.dossier.rules import without_rule
from weighstation.report.dossier.stand_ins import NO_EVIDENCE, STOOD_IN
from weighstation.report.dossier.urgent import failed_lots
from weighstation.report.page.tables import SheetRow, counted, named, spans
from weighstation.report.sheet.sheet import first_cuts

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from weighstation.report.dossier.evidence import BatchEvidence, Evidence, SetBack
    from weighstation.report.dossier.questions import Question


def open_points(evidence: Evidence, asked: Sequence[Question]) -> tuple[SheetRow, ...]:
    """Return what nobody has settled or answered yet.

    Parameters
    ----------
    evidence : Evidence
    asked : sequence of Question

    Returns
    -------
    tuple of SheetRow
        Label, how many, and where; last what may take a row a batch.
    """
    return tuple(
        row
        for rows in (
            _of_stand_ins(evidence),
            _of_record(evidence),
            _of_checks(evidence),
            _of_questions(asked),
            _of_struck_out(evidence),
            _of_signals(evidence),
            _of_rules(evidence),
            _of_lots(evidence),
            _of_too_light(evidence),
            _of_pieces(evidence),
        )
        for row in rows
    )


def _of_stand_ins(evidence: Evidence) -> Iterator[SheetRow]:
    found = [batch for batch in evidence.batches if batch.not_weighed]
    if found:
        yield SheetRow(NO_EVIDENCE, counted_batches(found), f"{STOOD_IN}: batch {_runs(found)}")


def _of_record(evidence: Evidence) -> Iterator[SheetRow]:
    proof = evidence.proof
    if proof.fault:
        yield SheetRow("Record", "does NOT hold", proof.fault)
    if proof.set_back is not None:
        yield SheetRow("Clock", "was set back", _set_back(proof.set_back))


def _set_back(found: SetBack) -> str:
    many = "" if found.times == 1 else f"; {found.times} times, at most"
    far = f"{found.most_ms / 1000:.0f} s"
    return f"line {found.line} is dated before the line before it{many or ', by'} {far}"


def _of_checks(evidence: Evidence) -> Iterator[SheetRow]:
    measured = [batch for batch in evidence.batches if not batch.without_scale]
    for what, missing in (
        ("No check before", [b for b in measured if b.before is None]),
        ("No check after", [b for b in measured if b.after is None]),
    ):
        if missing:
            yield SheetRow(what, counted_batches(missing), _runs(missing))
    unfit = [b for b in measured if b.before is not None and not b.before.said.is_fit]
    if unfit:
        said = f"though the check before found the scale not fit: {_runs(unfit)}"
        yield SheetRow("Weighed on", counted_batches(unfit), said)
    failed = [check for check in evidence.checks if not check.said.is_fit]
    if failed:
        lines = ", ".join(str(check.line) for check in failed)
        yield SheetRow("Scale not fit", counted(len(failed), "check"), f"line {lines}")


def _of_pieces(evidence: Evidence) -> Iterator[SheetRow]:
    batches = evidence.batches
    doubtful = {b.run: b.figures.doubtful for b in batches if b.figures.doubtful}
    yield from _pieces("Doubtful", doubtful, "weigh its loaves")
    unresolved = {b.run: b.figures.unresolved for b in batches if b.figures.unresolved}
    yield from _pieces("Unresolved", unresolved, "not counted")
    going_on = [batch.run for batch in batches if not batch.figures.runs[-1].ended]
    for run in going_on:
        yield SheetRow("Still open", "1 batch", f"batch {run} goes on")


def _pieces(label: str, found: Mapping[str, tuple[int, ...]], note: str) -> Iterator[SheetRow]:
    """Yield a row a batch, or one of all where there are many."""
    if are_many(found):
        count = sum(map(len, found.values()))
        said = f"in {len(found)} batches, {note}: {named(found)}"
        yield SheetRow(label, counted(count, "piece"), said)
        return
    for run, numbers in found.items():
        said = f"{spans(numbers)} of batch {run}: {note}"
        yield SheetRow(label, counted(len(numbers), "piece"), said)


def _of_struck_out(evidence: Evidence) -> Iterator[SheetRow]:
    """Yield the pieces struck out long after they were weighed about which nothing is noted."""
    found = {batch.run: _bare(batch) for batch in evidence.batches}
    where = [f"{run} ({count})" for run, count in found.items() if count]
    if where:
        said = f"an hour or more after they were weighed, nothing noted: batch {named(where)}"
        yield SheetRow("Struck out late", counted(sum(found.values()), "piece"), said)


def _bare(batch: BatchEvidence) -> int:
    noted = {each.line for each in batch.happened if each.remarks}
    return len(set(batch.struck_out_late) - noted)


def _of_signals(evidence: Evidence) -> Iterator[SheetRow]:
    bare = [
        signal.line for batch in evidence.batches for signal in batch.signals if not signal.remarks
    ]
    if bare:
        said = f"line {named(map(str, bare))}; see 'journal note'"
        yield SheetRow("No reaction noted", counted(len(bare), "signal"), said)
    yield from _of_charts(evidence)


def _of_charts(evidence: Evidence) -> Iterator[SheetRow]:
    """Yield the first cuts beyond the limits of their chart about which nothing is noted."""
    found = {batch.run: len(_beyond(batch)) for batch in evidence.batches}
    found = {run: count for run, count in found.items() if count}
    if found:
        most = [f"{run} ({count})" for run, count in found.items()]
        said = f"nothing noted: batch {named(most)}"
        yield SheetRow("Beyond limits", counted(sum(found.values()), "first cut"), said)


def _beyond(batch: BatchEvidence) -> list[int]:
    cuts, numbers = first_cuts(batch.figures), tuple(batch.figures.first_cuts)
    lines = [batch.counted[numbers[s.index]].line for s in cuts.signals] if cuts else []
    about = {remark.about for remark in batch.remarks}
    return [line for line in lines if line not in about]


def _of_rules(evidence: Evidence) -> Iterator[SheetRow]:
    bare = [batch for batch in evidence.batches if without_rule(batch)]
    if bare:
        yield SheetRow("Rule not on record", counted_batches(bare), _runs(bare))


def _of_lots(evidence: Evidence) -> Iterator[SheetRow]:
    failed = {batch.run: f"by {lot.rule}: {lot.reasons[0]}" for batch, lot in failed_lots(evidence)}
    if are_many(failed):
        yield SheetRow("Baked loaves", f"{len(failed)} lots", f"do not pass: batch {named(failed)}")
        return
    for run, why in failed.items():
        yield SheetRow("Baked loaves", "do not pass", f"batch {run} {why}")


def _of_too_light(evidence: Evidence) -> Iterator[SheetRow]:
    for each in evidence.too_light:
        sure = "too light" if each.is_sure else "maybe too light"
        yield SheetRow("Scaling weight", sure, each.found())


def _of_questions(asked: Sequence[Question]) -> Iterator[SheetRow]:
    if asked:
        kinds = ", ".join(dict.fromkeys(each.flag.kind.value for each in asked))
        yield SheetRow("Data", counted(len(asked), "question"), kinds)


def counted_batches(batches: Sequence[BatchEvidence]) -> str:
    """Return how many batches there are, in words.

    Parameters
    ----------
    batches : sequence of BatchEvidence

    Returns
    -------
    str
    """
    return "1 batch" if len(batches) == 1 else f"{len(batches)} batches"


def _runs(batches: Sequence[BatchEvidence]) -> str:
    return named(batch.run for batch in batches)
