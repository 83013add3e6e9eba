"""Pages of a dossier -> one HTML file that asks for nothing else, and prints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.report.page.page_html import Figure, drawn, environment, style

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import tzinfo

    from weighstation.report.charts.control import ControlChart
    from weighstation.report.dossier.pages import DossierPage

_PACKAGE = "weighstation.report.dossier"


def dossier_html(pages: Sequence[DossierPage], *, zone: tzinfo) -> str:
    """Return the pages of a dossier as HTML.

    Parameters
    ----------
    pages : sequence of DossierPage
        Their texts are escaped, whatever stands in them.
    zone : tzinfo
        Whose clock times the charts are told in.

    Returns
    -------
    str
    """
    template = environment(_PACKAGE).get_template("dossier.html")
    shown = [
        {"page": each.page, "figures": drawn([figure(chart, zone) for chart in each.charts])}
        for each in pages
    ]
    return template.render(
        title=pages[0].page.title,
        pages=shown,
        css=style(),
        own_css=style(_PACKAGE, "dossier.css"),
    )


def figure(chart: ControlChart, zone: tzinfo, *, as_paths: bool = False) -> Figure:
    """Return a chart as a picture on a page, with what has to be known to read it.

    Parameters
    ----------
    chart : ControlChart
    zone : tzinfo
    as_paths : bool
        Letters as lines.

    Returns
    -------
    Figure
    """
    from weighstation.report.charts.picture import chart_svg  # noqa: PLC0415 - only where one is drawn

    said = f"Control chart of {len(chart.numbers)} {chart.noun}s: {_tracks(chart)}"
    key = f"\N{BLACK UP-POINTING TRIANGLE} {chart.key}. " if _has_odd(chart) else ""
    caption = f"{chart.title}. {key}{' '.join(chart.remarks)}"
    return Figure(chart_svg(chart, zone=zone, as_paths=as_paths), said, caption)


def _tracks(chart: ControlChart) -> str:
    return "; ".join(
        f"{track.name}, {len(track.odd)} of {len(track.points)} beyond a limit or signalled"
        for track in chart.tracks
    )


def _has_odd(chart: ControlChart) -> bool:
    return any(track.odd for track in chart.tracks)
