"""Evidence -> raw rows for an outsider, and how to work the figures out again without us."""

from __future__ import annotations

import csv
import io
from importlib import resources
from typing import TYPE_CHECKING

from weighstation.report.page.cells import defused
from weighstation.report.page.tables import utc_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from weighstation.journal import Entry, PieceFacts
    from weighstation.report.dossier.evidence import BatchEvidence, Evidence, Proof

ENTRY_COLUMNS = ("seq", "station_hex", "t_utc_ms", "kind", "body", "digest")
CHAIN_COLUMNS = ("journal_id", "first_seq", "prev_digest", "last_seq", "head_digest")
PIECE_COLUMNS = (
    "batch",
    "run",
    "product",
    "target_mg",
    "under_mg",
    "over_mg",
    "number",
    "first_mg",
    "final_mg",
    "touches",
    "ms",
    "dough_age_ms",
    "verdict",
    "counted_utc",
    "line",
)
_TEMPLATES = resources.files("weighstation.report.dossier") / "templates"


def chain_rows(proof: Proof) -> Iterator[Sequence[object]]:
    """Yield the rows of ``chain.csv``: from which digest to which the lines lead.

    Parameters
    ----------
    proof : Proof

    Yields
    ------
    sequence
    """
    yield CHAIN_COLUMNS
    head = proof.head
    yield (proof.journal_id, proof.first_line, proof.prev, head.seq, head.digest)


def entry_rows(entries: Iterable[Entry]) -> Iterator[Sequence[object]]:
    """Yield the rows of ``entries.csv``: lines as they are stored.

    Parameters
    ----------
    entries : iterable of Entry

    Yields
    ------
    sequence
    """
    yield ENTRY_COLUMNS
    for entry in entries:
        station = entry.station.encode().hex()
        kind = entry.kind.value
        yield (entry.seq, station, entry.t_utc_ms, kind, entry.body, entry.digest)


def piece_rows(evidence: Evidence) -> Iterator[Sequence[object]]:
    """Yield the rows of ``pieces.csv``: one for each piece that counts.

    Parameters
    ----------
    evidence : Evidence

    Yields
    ------
    sequence
        Texts that a spreadsheet would take for a formula are defused; what nobody said is empty.
    """
    people = evidence.scope.with_people
    yield (*PIECE_COLUMNS, *(("person",) if people else ()))
    for batch in evidence.batches:
        persons = {promise.run: promise.person for _, promise in batch.promises}
        for piece in batch.figures.pieces:
            run = batch.counted[piece.number].run
            person = (defused(persons[run]),) if people else ()
            yield (*_piece(batch, run, piece), *person)


def _piece(batch: BatchEvidence, run: str, piece: PieceFacts) -> Sequence[object]:
    limits = batch.figures.product.limits
    return (
        defused(batch.run),
        defused(run),
        defused(batch.figures.product.name),
        limits.target_mg,
        limits.under_mg,
        limits.over_mg,
        piece.number,
        piece.first_mg,
        piece.final_mg,
        piece.touches,
        piece.ms,
        piece.dough_age_ms,
        piece.verdict.value,
        utc_text(batch.figures.counted_utc_ms[piece.number]),
        batch.counted[piece.number].line,
    )


def csv_lines(rows: Iterable[Sequence[object]]) -> Iterator[str]:
    """Yield rows as lines of CSV (RFC 4180), one after another.

    Parameters
    ----------
    rows : iterable of sequence

    Yields
    ------
    str
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in rows:
        writer.writerow(row)
        yield out.getvalue()
        out.seek(0)
        out.truncate()


def recipe(proof: Proof) -> str:
    """Return how an outsider works the figures out again.

    Parameters
    ----------
    proof : Proof

    Returns
    -------
    str
        Markdown.
    """
    before = (
        " They begin with the first line of the journal, whose digest starts from the journal's id,"
        " so the head covers all that the journal holds."
        if proof.first_line == 1
        else f" Those before line {proof.first_line} are not: that they were not changed is shown"
        " by an earlier sheet with their head, or by the journal itself, not by these files."
        f" The head rests on them all the same, because line {proof.first_line} starts from the"
        f" digest of line {proof.first_line - 1}, which is in `chain.csv`."
    )
    text = (_TEMPLATES / "RECOMPUTE.md").read_text("utf-8")
    said = {"{first}": str(proof.first_line), "{last}": str(proof.head.seq), "{before}": before}
    for name, value in said.items():
        text = text.replace(name, value)
    return text


def program() -> str:
    """Return the program that does so, out of Python's standard library alone.

    Returns
    -------
    str
    """
    return (_TEMPLATES / "recompute.txt").read_text("utf-8")
