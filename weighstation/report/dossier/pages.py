"""Evidence -> the pages of a dossier: a cover over all batches, then a page for each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.report.dossier.batch_page import batch_page
from weighstation.report.dossier.control_page import control_page
from weighstation.report.dossier.cover import cover
from weighstation.report.dossier.figures import product_charts, shown
from weighstation.report.dossier.questions import questions

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

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
    batches = shown(evidence)
    return (
        DossierPage(cover(evidence, questions(evidence))),
        *_control(evidence, batches),
        *(DossierPage(batch_page(each, evidence.scope), _drawn([each.chart])) for each in batches),
    )


def _control(evidence: Evidence, batches: Sequence[BatchShown]) -> tuple[DossierPage, ...]:
    """Return the page of all first cuts, where there are several batches."""
    if len(batches) < 2:
        return ()
    charts = [found for _, found in product_charts(evidence)]
    return (DossierPage(control_page(evidence, batches), _drawn(charts)),)


def _drawn(charts: Iterable[Found[ControlChart]]) -> tuple[ControlChart, ...]:
    return tuple(found.figure for found in charts if found.figure is not None)
