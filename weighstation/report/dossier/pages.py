"""Evidence -> the pages of a dossier: a cover over all batches, then a page for each."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weighstation.report.dossier.batch_page import batch_page
from weighstation.report.dossier.control_page import control_page
from weighstation.report.dossier.cover import cover
from weighstation.report.dossier.figures import product_charts, shown
from weighstation.report.dossier.many import MOST_TOLD, are_many
from weighstation.report.dossier.questions import questions

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Sequence

    from weighstation.report.baked.figures import Found
    from weighstation.report.charts.control import ControlChart
    from weighstation.report.dossier.evidence import Evidence
    from weighstation.report.dossier.figures import BatchShown
    from weighstation.report.page.page import Page


@dataclass(frozen=True, slots=True)
class DossierPage:
    """One page, and the charts on it.

    Parameters
    ----------
    page : Page
    charts : tuple of ControlChart
    """

    page: Page
    charts: tuple[ControlChart, ...] = ()


def dossier_pages(evidence: Evidence) -> tuple[DossierPage, ...]:
    """Return the pages of a dossier.

    Parameters
    ----------
    evidence : Evidence

    Returns
    -------
    tuple of DossierPage
        The cover first.
    """
    batches, asked = shown(evidence), questions(evidence)
    told = _told(batches, {run for each in asked for run in each.runs})
    front = cover(evidence, asked)
    if len(told) < len(batches):
        front = replace(front, cautions=(*front.cautions, _not_all(len(told), len(batches))))
    return (
        DossierPage(front),
        *_control(evidence, batches),
        *(DossierPage(batch_page(each, evidence.scope), _drawn([each.chart])) for each in told),
    )


def _told(batches: Sequence[BatchShown], asked: Container[str]) -> Sequence[BatchShown]:
    """Return the batches that have a page each: of many those with most to explain, in order."""
    if not are_many(batches):
        return batches
    places = sorted(
        range(len(batches)), key=lambda place: _to_explain(batches[place], asked), reverse=True
    )
    return [batches[place] for place in sorted(places[:MOST_TOLD])]


def _to_explain(each: BatchShown, asked: Container[str]) -> tuple[int, int, int]:
    """Return how much an auditor would ask about a batch, the gravest first."""
    batch, figures = each.batch, each.batch.figures
    lot = None if batch.lot is None else batch.lot.figure
    grave = (
        figures.doubtful,
        figures.unresolved,
        figures.interrupted,
        batch.run in asked,
        lot is not None and lot.passes is False,
    )
    return sum(map(bool, grave)), len(batch.signals), each.chart_signals or 0


def _not_all(told: int, batches: int) -> str:
    return (
        f"The {told} of the {batches} batches with the most to explain have a page of their own:"
        " doubtful pieces, questions to the data, lots that do not pass, interruptions, then"
        " signals. '--run' makes the dossier of any other, '--json' has the figures of each, and"
        " '--raw' every piece and line."
    )


def _control(evidence: Evidence, batches: Sequence[BatchShown]) -> tuple[DossierPage, ...]:
    """Return the page of all first cuts, where there are several batches."""
    if len(batches) < 2:
        return ()
    charts = [found for _, found in product_charts(evidence)]
    return (DossierPage(control_page(evidence, batches), _drawn(charts)),)


def _drawn(charts: Iterable[Found[ControlChart]]) -> tuple[ControlChart, ...]:
    return tuple(found.figure for found in charts if found.figure is not None)
