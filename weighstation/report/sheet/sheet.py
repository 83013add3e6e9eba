"""Figures of a batch -> the tables of its sheet."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING

from weighstation.monitor import individuals
from weighstation.quantities import grams
from weighstation.report.page.local import Local
from weighstation.report.page.tables import (
    NONE,
    SheetRow,
    SheetTable,
    counted,
    named,
    signed,
    spans,
)
from weighstation.report.sheet.boards import boards_table
from weighstation.report.sheet.dough import dough_table
from weighstation.report.sheet.happenings import happenings_table
from weighstation.report.sheet.trace import trace_table

if TYPE_CHECKING:
    from fractions import Fraction

    from weighstation.monitor import Individuals
    from weighstation.report.sheet.figures import BatchFigures, Bench, SettledDoubt
    from weighstation.specification import Limits


@dataclass(frozen=True, slots=True)
class BatchSheet:
    """A batch on one page.

    Parameters
    ----------
    title : str
    tables : tuple of SheetTable
    first_cuts : Individuals or None
        Chart of first cuts in grams; None below two pieces.
    as_of : str
        Which line of the journal it is as of.
    numbers : (n,) tuple of int
        Of the pieces of the chart, in its order.
    """

    title: str
    tables: tuple[SheetTable, ...]
    first_cuts: Individuals | None
    as_of: str
    numbers: tuple[int, ...] = ()


def batch_sheet(figures: BatchFigures, *, zone: tzinfo = UTC) -> BatchSheet:
    """Return the sheet of a batch.

    Parameters
    ----------
    figures : BatchFigures
    zone : tzinfo
        Whose clock times are told in.

    Returns
    -------
    BatchSheet
    """
    dough, boards = dough_table(figures), boards_table(figures, zone=zone)
    happened = happenings_table(figures.happenings)
    trace = trace_table(figures)
    return BatchSheet(
        title=f"Batch sheet: {figures.product.name}",
        tables=(
            SheetTable("Batch", _batch(figures, zone)),
            SheetTable("Kept pieces", _kept(figures)),
            *((dough,) if dough else ()),
            *((boards,) if boards else ()),
            *((trace,) if trace else ()),
            SheetTable("Give-away against the scaling weight, in dough", _giveaway(figures)),
            SheetTable("First cuts and handling", _first(figures)),
            *((happened,) if happened else ()),
        ),
        first_cuts=first_cuts(figures),
        as_of=figures.as_of,
        numbers=tuple(figures.first_cuts),
    )


def first_cuts(figures: BatchFigures) -> Individuals | None:
    """Return the individuals chart of first cuts in grams, or None below two that are known.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    Individuals or None
    """
    if len(figures.first_cuts) < 2:
        return None
    return individuals(map(grams, figures.first_cuts.values()))


def _batch(figures: BatchFigures, zone: tzinfo) -> tuple[SheetRow, ...]:
    limits = figures.product.limits
    rows = [
        *_named_so(figures),
        SheetRow("When", _span(figures, zone)),
        *_entered(figures, zone),
        SheetRow("Scaling weight", f"{grams(limits.target_mg):g} g"),
        SheetRow("Band", _band(limits), "both limits belong to it"),
        *_guard(figures),
        SheetRow("Runs", ", ".join(_run(run.run, run.kept.n, run.ended) for run in figures.runs)),
    ]
    for run in figures.interrupted:
        said = f"run {run.run} after {counted(run.kept.n, 'piece')}"
        rows.append(SheetRow("Interrupted", said, "closed when the station started again"))
    return (*rows, *_measured(figures), *_checked(figures, zone))


def _named_so(figures: BatchFigures) -> tuple[SheetRow, ...]:
    return (SheetRow("Called", figures.batch),) if figures.batch else ()


def _entered(figures: BatchFigures, zone: tzinfo) -> tuple[SheetRow, ...]:
    """Return that weights were entered from a file, and when."""
    when = [datetime.fromtimestamp(ms / 1000, tz=zone) for ms in figures.entered_utc_ms]
    said = ", ".join(f"{each:%Y-%m-%d %H:%M}" for each in when)
    return (SheetRow("Entered", said, "from a file, after the event"),) if said else ()


def _band(limits: Limits) -> str:
    low, high = limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg
    return f"{grams(low):g} to {grams(high):g} g"


def _guard(figures: BatchFigures) -> tuple[SheetRow, ...]:
    """Return that the band was drawn in, where it was."""
    guard = figures.guard
    if guard is None:
        return ()
    was = _band(guard.widened(figures.product.limits))
    said = f"the band is drawn in from {was} by the check on line {guard.check_line}"
    return (SheetRow("Guard band", f"{grams(guard.width_mg):g} g", said),)


def _checked(figures: BatchFigures, zone: tzinfo) -> tuple[SheetRow, ...]:
    """Return the last check of the scale, and which pieces a failed one makes doubtful."""
    check, rows = figures.scale_check, []
    if check is not None:
        when = datetime.fromtimestamp(check.t_utc_ms / 1000, tz=zone)
        said = f"{'fit' if check.is_fit else 'NOT FIT'}, {when:%Y-%m-%d %H:%M}"
        rows.append(SheetRow("Scale check", said, f"line {check.line}. {check.held_against}"))
    elif not all(
        bench.is_simulated or bench.is_replayed or bench.imported_from is not None
        for bench in figures.benches
    ):
        rows.append(SheetRow("Scale check", "none on record"))
    if figures.doubtful:
        rows.append(
            SheetRow(
                "Doubtful",
                counted(len(figures.doubtful), "piece"),
                f"{spans(figures.doubtful)}: a check found the scale not fit; the baked loaves are"
                " to be weighed",
            )
        )
    return (*rows, *map(_settled, figures.settled))


def _settled(settled: SettledDoubt) -> SheetRow:
    said = settled.said
    return SheetRow(
        "Doubt settled",
        counted(len(settled.pieces), "piece"),
        f"{spans(settled.pieces)}: line {settled.line}, by {said.person}: the check on line"
        f" {said.about} failed by mistake ({said.text}); the next, on line {said.settled_by}, was"
        " good",
    )


def _measured(figures: BatchFigures) -> tuple[SheetRow, ...]:
    """Return what the batch was measured on, and for how long it was not."""
    rows = [_scale(bench) for bench in figures.benches]
    if figures.gaps_ms:
        seconds = sum(figures.gaps_ms) / 1000
        rows.append(
            SheetRow(
                "Gaps", str(len(figures.gaps_ms)), f"{seconds:.1f} s in which nothing was weighed"
            )
        )
    versions = dict.fromkeys(bench.software for bench in figures.benches)
    if versions:
        rows.append(SheetRow("Software", f"weighstation {', '.join(versions)}"))
    return tuple(rows)


def _scale(bench: Bench) -> SheetRow:
    if bench.imported_from is not None:
        said = f"entered from the file {bench.imported_from}"
        return SheetRow("Scale", said, "no scale was read by this station")
    known = bench.division_mg
    division = f"division {grams(known):g} g" if known else "division not known at its start"
    if bench.is_simulated:
        return SheetRow("Scale", "simulated scale", f"{bench.scale}, {division}")
    said = "a recording" if bench.scale == "replay://" else bench.scale
    return SheetRow("Scale", said, division)


def _run(name: str, pieces: int, ended: str) -> str:
    return f"{name} ({counted(pieces, 'piece')}, {ended or 'still open'})"


def _kept(figures: BatchFigures) -> tuple[SheetRow, ...]:
    kept, limits = figures.kept, figures.product.limits
    light = figures.light_mg
    below = f"below {grams(limits.target_mg - limits.under_mg):g} g"
    short = f"; {grams(sum(light)):.1f} g short of the scaling weight in all" if light else ""
    numbers = ", ".join(map(str, figures.unresolved))
    return (
        SheetRow("Pieces", str(kept.n)),
        SheetRow("Mean", _mean(kept.mean_d_mg, limits.target_mg)),
        SheetRow("Out of band", _share(figures.out_of_band, kept.n), _boarded(figures)),
        SheetRow("Light", str(len(light)), below + short),
        SheetRow(
            "Lifted, unresolved",
            str(len(figures.unresolved)),
            f"not counted: piece {numbers}" if numbers else "",
        ),
        SheetRow(
            "Two at once",
            str(figures.lifts.two_at_once),
            "not counted" if figures.lifts.two_at_once else "",
        ),
        SheetRow("Struck out", str(figures.voided), _struck_out(figures)),
    )


def _boarded(figures: BatchFigures) -> str:
    """Return what became of the pieces out of band, and which they are."""
    numbers = [str(piece.number) for piece in sorted(figures.boarded, key=lambda p: p.number)]
    return "boarded as they were" + (f": piece {named(numbers)}" if numbers else "")


def _struck_out(figures: BatchFigures) -> str:
    if not figures.voided:
        return ""
    said = [f"piece {piece.number} ({piece.reason})" for piece in figures.lifts.struck_out]
    return "not counted" + (f": {named(said)}" if said else "")


def _giveaway(figures: BatchFigures) -> tuple[SheetRow, ...]:
    kept, target_mg = figures.kept, figures.product.limits.target_mg
    if not kept.n:
        return (SheetRow("Give-away", NONE, "no piece was counted"),)
    share = 100 * kept.sum_d_mg / (kept.n * target_mg)
    return (
        SheetRow(
            "Grams of dough",
            f"{signed(grams(kept.sum_d_mg))} g",
            "mean minus scaling weight, times pieces",
        ),
        SheetRow("Percent", f"{signed(share, 2)} %", "of the scaling weight, times pieces"),
        _money(figures),
        SheetRow(
            "Sum of overs only",
            f"{grams(kept.sum_over_mg):.1f} g",
            "pieces above the scaling weight; light ones not set off",
        ),
        *_over_money(figures),
    )


def _money(figures: BatchFigures) -> SheetRow:
    if figures.money is None:
        return SheetRow("Money", NONE, "the product has no dough_cost_per_kg")
    cost = figures.product.dough_cost_per_kg
    said = Local().money(figures.money, figures.currency)
    return SheetRow("Money", said, f"at {cost} {figures.currency} a kg of dough")


def _over_money(figures: BatchFigures) -> tuple[SheetRow, ...]:
    if figures.over_money is None:
        return ()
    said = Local().money(figures.over_money, figures.currency)
    return (SheetRow("Money of overs", said, "at the same price"),)


def _first(figures: BatchFigures) -> tuple[SheetRow, ...]:
    if not figures.kept.n:
        return (SheetRow("First cuts", NONE, "no piece was counted"),)
    return (*_first_cuts(figures), *_handling(figures))


def _first_cuts(figures: BatchFigures) -> tuple[SheetRow, ...]:
    first, n = figures.first, figures.kept.n
    if first.mean_d_mg is None:
        return (SheetRow("First cuts", NONE, "not said in the file"),)
    spread = first.sd_mg
    of = "" if first.n == n else f", of the {counted(first.n, 'piece')} it is known of"
    return (
        SheetRow(
            "First-cut bias",
            f"{signed(float(first.mean_d_mg) / 1000)} g",
            f"mean first cut minus scaling weight{of}",
        ),
        SheetRow(
            "First-cut spread",
            NONE if spread is None else f"{spread / 1000:.1f} g",
            "standard deviation",
        ),
    )


def _handling(figures: BatchFigures) -> tuple[SheetRow, ...]:
    touches, ms = figures.touches_each, figures.ms_each
    return (
        SheetRow("Touches a piece", f"{touches:.2f}", "adds and trims")
        if touches is not None
        else SheetRow("Touches a piece", NONE, "not said in the file"),
        SheetRow("Seconds a piece", f"{ms / 1000:.1f} s", "from on the pan to off it")
        if ms is not None
        else SheetRow("Seconds a piece", NONE, "no scale saw them"),
    )


def _span(figures: BatchFigures, zone: tzinfo) -> str:
    start = datetime.fromtimestamp(figures.started_utc_ms / 1000, zone)
    last = datetime.fromtimestamp(figures.last_utc_ms / 1000, zone)
    end = last.strftime("%H:%M" if last.date() == start.date() else "%Y-%m-%d %H:%M")
    return f"{start:%Y-%m-%d %H:%M} to {end} {start:%Z}"


def _mean(mean_d_mg: Fraction | None, target_mg: int) -> str:
    if mean_d_mg is None:
        return NONE
    d_g = float(mean_d_mg) / 1000
    return f"{grams(target_mg) + d_g:.1f} g ({signed(d_g)})"


def _share(part: int, whole: int) -> str:
    return f"{part} ({100 * part / whole:.1f} %)" if whole else str(part)
