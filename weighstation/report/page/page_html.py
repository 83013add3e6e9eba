"""A page -> one HTML file that asks for nothing else, and prints on A4 and Letter."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.report.page.page import Grid, Page

_TEMPLATES = resources.files("weighstation.report.page") / "templates"


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture on a page, and its figures in a table.

    Parameters
    ----------
    svg : str
        The ``svg`` element alone; its title and description say what it shows.
    caption : str
    under : str
        Title of the part of the page that it follows; before all parts where none has it.
    table : Grid or None
        Its figures, folded; None where a part of the page holds them.
    """

    svg: str
    caption: str
    under: str = ""
    table: Grid | None = None


def page_html(page: Page, figures: Sequence[Figure] = ()) -> str:
    """Return a page as HTML.

    Parameters
    ----------
    page : Page
        Its texts are escaped, whatever stands in them.
    figures : sequence of Figure

    Returns
    -------
    str
    """
    from jinja2 import Environment, StrictUndefined  # noqa: PLC0415 - not for a terminal
    from markupsafe import Markup  # noqa: PLC0415 - the same

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    template = environment.from_string((_TEMPLATES / "page.html").read_text("utf-8"))
    titles = {part.title for part in page.parts}
    drawn: dict[str, list[dict[str, object]]] = {}
    for each in figures:
        under = each.under if each.under in titles else ""
        svg = Markup(each.svg)  # noqa: S704 - drawn here
        shown: dict[str, object] = {"svg": svg, "caption": each.caption, "table": each.table}
        drawn.setdefault(under, []).append(shown)
    css = Markup((_TEMPLATES / "page.css").read_text("utf-8"))  # noqa: S704 - our own file
    return template.render(page=page, figures=drawn, css=css)
