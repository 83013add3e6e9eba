"""Several batches -> the page that says whether their first cuts were under control."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.report.dossier.said import number
from weighstation.report.dossier.stand_ins import no_evidence
from weighstation.report.page.page import Grid, Page
from weighstation.report.page.tables import NONE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.monitor import Individuals
    from weighstation.report.dossier.evidence import Evidence
    from weighstation.report.dossier.figures import BatchShown

_SAID = (
    "Sigma is the mean moving range over 1.128, and the limits lie three of it to each side. Cp and"
    " Cpk are over the overall standard deviation, against the band; where the chart has signals"
    " they describe the batch and foretell nothing. A dash stands where there are too few pieces,"
    " or where the scale cannot tell them apart. The lines of each batch are on the cover."
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
    names = dict.fromkeys(each.batch.figures.product.name for each in batches)
    *others, last = (_first_cuts(name, batches) for name in names)
    return Page(
        title="First cuts: control and capability",
        parts=(*others, replace(last, remark=_SAID)),
        conclusion=no_evidence(evidence),
        as_of=evidence.proof.as_of,
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
