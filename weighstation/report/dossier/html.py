"""Pages of a dossier -> one HTML file that asks for nothing else, and prints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.report.page.page_html import Figure, drawn, environment, style

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import tzinfo

    from weighstation.report.charts.control import ControlChart
    from weighstation.report.dossier.pages import DossierPage
    from weighstation.report.page.page import Page

_PACKAGE = "weighstation.report.dossier"


def dossier_html(pages: Sequence[tuple[Page, Sequence[Figure]]]) -> str:
    """Return the pages of a dossier as HTML.

    Parameters
    ----------
    pages : sequence of (Page, sequence of Figure)
        The texts of a page are escaped, whatever stands in them.

    Returns
    -------
    str
    """
    template = environment(_PACKAGE).get_template("dossier.html")
    return template.render(
        title=pages[0][0].title,
        pages=[{"page": page, "figures": drawn(figures)} for page, figures in pages],
        css=style(),
        own_css=style(_PACKAGE, "dossier.css"),
    )


def figures_of(page: DossierPage, zone: tzinfo, name: str) -> list[Figure]:
    """Return the charts of a page as pictures, with what has to be known to read them.

    Parameters
    ----------
    page : DossierPage
    zone : tzinfo
    name : str
        Letters and digits that no other page has.

    Returns
    -------
    list of Figure
    """
    return [_figure(chart, zone, f"{name}c{place}") for place, chart in enumerate(page.charts, 1)]


def _figure(chart: ControlChart, zone: tzinfo, name: str) -> Figure:
    from weighstation.report.charts.picture import chart_svg, drawn_how  # noqa: PLC0415 - only where one is drawn

    said = f"Control chart of {len(chart.numbers)} {chart.nouns}: {_tracks(chart)}"
    key = f"\N{BLACK UP-POINTING TRIANGLE} {chart.key}. " if _has_odd(chart) else ""
    caption = f"{chart.title}. {key}{' '.join(filter(None, (drawn_how(chart), *chart.remarks)))}"
    return Figure(chart_svg(chart, name, said, zone=zone), caption)


def _tracks(chart: ControlChart) -> str:
    return "; ".join(
        f"{track.name}, {len(track.odd)} of {len(track.points)} beyond a limit or signalled"
        for track in chart.tracks
    )


def _has_odd(chart: ControlChart) -> bool:
    return any(track.odd for track in chart.tracks)
