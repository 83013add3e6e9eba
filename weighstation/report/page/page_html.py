"""A page -> one HTML file that asks for nothing else, and prints on A4 and Letter."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.report.page.page import Page

_TEMPLATES = resources.files("weighstation.report.page") / "templates"


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture on a page; a table on the page holds its figures too.

    Parameters
    ----------
    svg : str
        The ``svg`` element alone.
    said : str
        What it shows, for whoever cannot see it.
    caption : str
    """

    svg: str
    said: str
    caption: str


def page_html(page: Page, figures: Sequence[Figure] = (), *, in_columns: bool = False) -> str:
    """Return a page as HTML.

    Parameters
    ----------
    page : Page
        Its texts are escaped, whatever stands in them.
    figures : sequence of Figure
    in_columns : bool
        On paper its parts stand in two columns; for many short tables.

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
    drawn = [
        {"svg": Markup(each.svg), "said": each.said, "caption": each.caption}  # noqa: S704 - drawn here
        for each in figures
    ]
    css = Markup((_TEMPLATES / "page.css").read_text("utf-8"))  # noqa: S704 - our own file
    return template.render(page=page, figures=drawn, css=css, in_columns=in_columns)
