"""One batch -> its page: what was weighed, the chart's signals, and what was done about them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.dossier.lots import lot_rows
from weighstation.report.dossier.said import mean_g, moment, noted, number, sd_g, state
from weighstation.report.dossier.stand_ins import no_evidence_of
from weighstation.report.page.page import Grid, Page
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted
from weighstation.report.sheet.sheet import batch_sheet

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.journal import Sums
    from weighstation.report.dossier.evidence import BatchEvidence, Check, Scope
    from weighstation.report.dossier.figures import BatchShown

_OF_SHEET = ("Batch", "Kept pieces", "First cuts and handling")
_TWICE = (
    "Pieces",
    "Mean",
    "Light",
    "Two at once",
    "Struck out",
    "Gaps",
    "Interrupted",
    "First-cut bias",
    "First-cut spread",
    "Scale check",
    "Software",
)
"""Rows of the batch sheet that other tables of the page say."""


def batch_page(each: BatchShown, scope: Scope) -> Page:
    """Return the page of a batch.

    Parameters
    ----------
    each : BatchShown
    scope : Scope

    Returns
    -------
    Page
    """
    batch = each.batch
    loaves = lot_rows(batch)
    return Page(
        title=f"{batch.figures.product.name}: batch {batch.run}",
        parts=(
            _weights(batch),
            SheetTable("Batch", (*_sheet_rows(batch, scope), *_checked(batch, scope))),
            SheetTable("Capability of the first cuts", _capability(each)),
            SheetTable("Signals, and what was done", _signals(each, scope)),
            SheetTable("What went otherwise", _happened(batch, scope)),
            *((SheetTable("Baked loaves", loaves),) if loaves else ()),
            *_notes(batch, scope),
        ),
        conclusion=no_evidence_of(batch),
        as_of=f"lines {batch.lines}; {batch.figures.as_of}",
    )


def _weights(batch: BatchEvidence) -> Grid:
    figures = batch.figures
    target_mg = figures.product.limits.target_mg
    rows = (
        ("First cuts", figures.first, list(figures.first_cuts.values())),
        ("Kept pieces", figures.kept, [piece.final_mg for piece in figures.pieces]),
    )
    return Grid(
        "Weights",
        ("Grams", "Pieces", "Mean", "SD", "Least", "Most", "Lines"),
        tuple((name, *_row(sums, masses, target_mg), batch.lines) for name, sums, masses in rows),
    )


def _row(sums: Sums, masses_mg: Sequence[int], target_mg: int) -> tuple[str, ...]:
    ends = (min(masses_mg), max(masses_mg)) if masses_mg else ()
    least, most = (f"{grams(mass):g}" for mass in ends) if ends else (NONE, NONE)
    return (
        str(sums.n),
        number(mean_g(sums, target_mg), 2),
        number(sd_g(sums), 2),
        least,
        most,
    )


def _sheet_rows(batch: BatchEvidence, scope: Scope) -> tuple[SheetRow, ...]:
    """Return what the batch sheet says and no other table of the page."""
    sheet = batch_sheet(batch.figures, zone=scope.zone)
    rows = (row for table in sheet.tables if table.title in _OF_SHEET for row in table.rows)
    return tuple(row for row in rows if row.label not in _TWICE)


def _checked(batch: BatchEvidence, scope: Scope) -> tuple[SheetRow, ...]:
    rows = tuple(
        SheetRow(f"Check {when}", state(check), _check_note(check, scope))
        for when, check in (("before", batch.before), ("after", batch.after))
    )
    who = batch.promises[-1][1].person
    return (*rows, *((SheetRow("Divided by", who or NONE),) if scope.with_people else ()))


def _check_note(check: Check | None, scope: Scope) -> str:
    """Return when a check was, lest an old one looks like the day's, and what it found."""
    return "" if check is None else f"{moment(check.t_utc_ms, scope.zone)}: {check.said.text}"


def _capability(each: BatchShown) -> tuple[SheetRow, ...]:
    found = each.capability.figure
    if found is None:
        return (SheetRow("Cpk", NONE, each.capability.why_not),)
    low, high = found.cpk_interval
    signals = each.chart_signals
    caveat = "; the chart has signals, so this foretells nothing" if signals else ""
    within = found.within
    short = () if within is None else (_short(within.sigma_g, within.cpk),)
    return (
        SheetRow(
            "Cpk",
            number(found.cpk, 2),
            f"95 % interval {number(low, 2)} to {number(high, 2)}, from {found.n} first cuts"
            f"{caveat}",
        ),
        *short,
        SheetRow("Cp", number(found.cp, 2), "as if the mean lay in the middle of the band"),
        SheetRow(
            "Outside the band",
            str(found.outside),
            f"first cuts; by the normal law {100 * found.share_outside:.2g} % would be",
        ),
    )


def _short(sigma_g: float, cpk: float) -> SheetRow:
    note = f"over the spread from one cut to the next, {number(sigma_g, 2)} g"
    return SheetRow("Cpk, short-term", number(cpk, 2), note)


def _signals(each: BatchShown, scope: Scope) -> tuple[SheetRow, ...]:
    rows = [
        SheetRow(
            f"Line {signal.line}",
            f"piece {signal.pieces[0]} to {signal.pieces[1]}",
            f"{moment(signal.t_utc_ms, scope.zone)}, told at the bench: {signal.text}"
            f" {noted(signal.remarks) or 'No reaction is noted.'}",
        )
        for signal in each.batch.signals
    ]
    rows += _of_chart(each)
    return tuple(rows) or (_no_signal(each),)


def _no_signal(each: BatchShown) -> SheetRow:
    if each.chart.figure is not None:
        return SheetRow("None", "no signal", "neither at the bench nor on the chart")
    if not each.batch.figures.first_cuts:
        return SheetRow("None", "no chart", "no first cut is known")
    return SheetRow("None", "no chart", each.chart.why_not)


def _of_chart(each: BatchShown) -> list[SheetRow]:
    """Return what the chart found afterwards, with the line of each piece."""
    chart = each.chart.figure
    if chart is None:
        return []
    found = sorted(
        (track.start + signal.index, track.name, signal.text)
        for track in chart.tracks
        for signal in track.signals
    )
    about = each.batch.remarks
    rows = []
    for place, name, text in found:
        line = each.batch.counted[chart.numbers[place]].line
        said = noted(remark for remark in about if remark.about == line)
        where = f"{name}: {text}"
        rows.append(SheetRow("Chart", f"line {line}", f"{where} {said}".strip()))
    return rows


def _happened(batch: BatchEvidence, scope: Scope) -> tuple[SheetRow, ...]:
    rows = [
        SheetRow(
            f"Line {each.line}",
            each.what,
            f"{moment(each.t_utc_ms, scope.zone)}, {each.said}. {noted(each.remarks)}".strip(),
        )
        for each in batch.happened
    ]
    baked = batch.baked
    if baked is not None:
        rows += [
            SheetRow(f"Loaf {number_}", "struck out", reason)
            for number_, reason in baked.struck_out
        ]
        if baked.doubtful:
            said = counted(len(baked.doubtful), "loaf") if len(baked.doubtful) == 1 else ""
            rows.append(
                SheetRow(
                    "Doubtful",
                    said or f"{len(baked.doubtful)} loaves",
                    "a check found their scale not fit",
                )
            )
    return tuple(rows) or (SheetRow("Nothing", "nothing", "no gap, no void, no interruption"),)


def _notes(batch: BatchEvidence, scope: Scope) -> tuple[SheetTable, ...]:
    rows = tuple(
        SheetRow(
            f"Line {each.line}",
            f"about line {each.about}",
            f"{moment(each.t_utc_ms, scope.zone)}, {each.said}",
        )
        for each in batch.remarks
    )
    return (SheetTable("Notes", rows),) if rows else ()
