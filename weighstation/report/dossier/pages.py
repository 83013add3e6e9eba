"""Evidence -> the pages of a dossier: a cover over all batches, then a page for each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.report.dossier.batch_page import batch_page
from weighstation.report.dossier.cover import cover
from weighstation.report.dossier.figures import product_charts, shown
from weighstation.report.dossier.questions import questions

if TYPE_CHECKING:
    from weighstation.report.charts.control import ControlChart
    from weighstation.report.dossier.evidence import Evidence
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
    charts = product_charts(evidence)
    drawn = tuple(found.figure for _, found in charts if found.figure is not None)
    return (
        DossierPage(cover(evidence, batches, questions(evidence)), drawn),
        *(
            DossierPage(
                batch_page(each, evidence.scope),
                () if each.chart.figure is None else (each.chart.figure,),
            )
            for each in batches
        ),
    )
