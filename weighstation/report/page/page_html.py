"""A page -> one HTML file that asks for nothing else, and prints on A4 and Letter."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING

from weighstation.report.page.printable import printable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from jinja2 import Environment

    from weighstation.report.page.page import Grid, Page

_PACKAGE = "weighstation.report.page"


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture on a page, and its figures in a table.

    Parameters
    ----------
    svg : str
        The ``svg`` element alone, which says what it shows to whoever cannot see it.
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
    titles = {part.title for part in page.parts}
    below: dict[str, list[dict[str, object]]] = {}
    for figure, shown in zip(figures, drawn(figures), strict=True):
        below.setdefault(figure.under if figure.under in titles else "", []).append(shown)
    template = environment().get_template("page.html")
    first = below.pop("", [])
    return template.render(
        page=page, figures=first, below=below, css=style(), in_columns=in_columns
    )


def environment(*packages: str) -> Environment:
    """Return where templates are found: those of pages, after those of other packages.

    Parameters
    ----------
    packages : str
        Each with a folder ``templates``.

    Returns
    -------
    jinja2.Environment
    """
    from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined  # noqa: PLC0415 - not for a terminal

    return Environment(
        loader=ChoiceLoader([PackageLoader(name) for name in (*packages, _PACKAGE)]),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _shown(value: object) -> object:
    """Return a text with nothing in it that does more than show itself; our own markup as it is."""
    return printable(value) if type(value) is str else value


def drawn(figures: Sequence[Figure]) -> list[dict[str, object]]:
    """Return pictures as a template takes them.

    Parameters
    ----------
    figures : (n,) sequence of Figure

    Returns
    -------
    (n,) list of dict
    """
    from markupsafe import Markup  # noqa: PLC0415 - see environment

    return [
        {
            "svg": Markup(each.svg),  # noqa: S704 - drawn here
            "caption": each.caption,
            "table": each.table,
        }
        for each in figures
    ]


def style(package: str = _PACKAGE, name: str = "page.css") -> str:
    """Return a style sheet as a template takes it.

    Parameters
    ----------
    package, name : str
        Where it is, in a folder ``templates``.

    Returns
    -------
    str
    """
    from markupsafe import Markup  # noqa: PLC0415 - see environment

    text = (resources.files(package) / "templates" / name).read_text("utf-8")
    return Markup(text)  # noqa: S704 - our own file
