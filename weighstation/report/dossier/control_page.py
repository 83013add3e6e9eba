"""Several batches -> the page that says whether their first cuts were under control."""

from __future__ import annotations

from dataclasses import replace
from statistics import median
from typing import TYPE_CHECKING

from weighstation.report.dossier.many import are_many, week_of
from weighstation.report.dossier.said import number
from weighstation.report.dossier.stand_ins import no_evidence
from weighstation.report.page.page import Grid, Page
from weighstation.report.page.tables import NONE

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import tzinfo

    from weighstation.monitor import Individuals
    from weighstation.report.dossier.evidence import Evidence
    from weighstation.report.dossier.figures import BatchShown

_SAID = (
    "Sigma is the mean moving range over 1.128, and the limits lie three of it to each side. Cp and"
    " Cpk are over the overall standard deviation, against the band; where the chart has signals"
    " they describe the batch and foretell nothing. A dash stands where there are too few pieces,"
    " or where the scale cannot tell them apart. The lines of each batch are on the cover."
)

_SAID_OF_MANY = (
    "Each batch has a chart of its own, with its own sigma and limits; here are the medians of a"
    " week, and its batch with the lowest Cpk. Charts are the batches whose spread the scale can"
    " resolve. '--json' has the figures of every batch, and '--run' makes the dossier of one."
)


def control_page(evidence: Evidence, batches: Sequence[BatchShown]) -> Page:
    """Return the page of the first cuts of several batches.

    Parameters
    ----------
    evidence : Evidence
    batches : sequence of BatchShown

    Returns
    -------
    Page
    """
    many, zone = are_many(batches), evidence.scope.zone
    names = dict.fromkeys(each.batch.figures.product.name for each in batches)
    *others, last = (
        _by_week(name, batches, zone) if many else _first_cuts(name, batches) for name in names
    )
    return Page(
        title="First cuts: control and capability",
        parts=(*others, replace(last, remark=_SAID_OF_MANY if many else _SAID)),
        conclusion=no_evidence(evidence),
        as_of=evidence.proof.as_of,
    )


def _by_week(name: str, batches: Sequence[BatchShown], zone: tzinfo) -> Grid:
    heads = ("Week", "Charts", "Sigma g", "Signals", "None in", "Cpk", "Least Cpk", "Its batch")
    weeks: dict[str, list[BatchShown]] = {}
    for each in batches:
        if each.batch.figures.product.name == name:
            week = week_of(each.batch.figures.started_utc_ms, zone)
            weeks.setdefault(week, []).append(each)
    rows = tuple(_week_row(week, found) for week, found in weeks.items())
    return Grid(f"{name}: first cuts", heads, rows)


def _week_row(week: str, batches: Sequence[BatchShown]) -> tuple[str, ...]:
    signals = [each.chart_signals for each in batches if each.chart_signals is not None]
    sigmas = [each.cuts.sigma for each in batches if each.cuts is not None]
    found = [(each.capability.figure, each.batch.run) for each in batches]
    cpks = sorted((figure.cpk, run) for figure, run in found if figure is not None)
    least = (number(cpks[0][0], 2), cpks[0][1]) if cpks else (NONE, NONE)
    return (
        week,
        str(len(signals)),
        number(median(sigmas) if sigmas else None, 2),
        str(sum(signals)),
        f"{signals.count(0)} charts",
        number(median(cpk for cpk, _ in cpks) if cpks else None, 2),
        *least,
    )


def _first_cuts(name: str, batches: Sequence[BatchShown]) -> Grid:
    heads = ("Batch", "Mean g", "Sigma g", "Lower", "Upper", "Signals", "Cp", "Cpk", "95 % of Cpk")
    mine = [each for each in batches if each.batch.figures.product.name == name]
    return Grid(f"{name}: first cuts", heads, tuple(_cuts_row(each) for each in mine))


def _cuts_row(each: BatchShown) -> tuple[str, ...]:
    return (each.batch.run, *_control(each.cuts), _count(each.chart_signals), *_indices(each))


def _count(signals: int | None) -> str:
    return NONE if signals is None else str(signals)


def _control(cuts: Individuals | None) -> tuple[str, ...]:
    if cuts is None:
        return (NONE,) * 4
    centre, sigma = number(cuts.centre, 2), number(cuts.sigma, 2)
    return centre, sigma, number(cuts.lower, 1), number(cuts.upper, 1)


def _indices(each: BatchShown) -> tuple[str, ...]:
    found = each.capability.figure
    if found is None:
        return (NONE,) * 3
    low, high = found.cpk_interval
    return (
        number(found.cp, 2),
        number(found.cpk, 2),
        f"{number(low, 2)} to {number(high, 2)}",
    )
