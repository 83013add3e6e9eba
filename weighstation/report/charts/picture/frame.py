"""What every picture has in common: its style, its colours, and how it gets into a page."""

from __future__ import annotations

import io
import logging
import re
import warnings
from contextlib import contextmanager
from html import escape
from typing import TYPE_CHECKING, Any

from weighstation.report.page.printable import printable

if TYPE_CHECKING:
    from collections.abc import Iterator

    from matplotlib.figure import Figure

BLUE, VERMILION, ORANGE, GREEN, PURPLE, SKY, INK = (
    *("#0072B2", "#D55E00", "#E69F00", "#009E73", "#CC79A7", "#56B4E9", "#222222"),
)
STYLE: Any = {
    "font.family": "sans-serif",
    "font.size": 10,
    "hatch.linewidth": 0.7,
    "svg.hashsalt": "weighstation",
    "svg.fonttype": "none",
    "axes.spines.top": False,
    "axes.spines.right": False,
}
_METADATA = re.compile(r"\s*<metadata>.*?</metadata>", re.DOTALL)
_STYLE_SHEET = re.compile(r'\s*<style type="text/css">.*?</style>', re.DOTALL)
_NAMED = re.compile(r'(\bid="|url\(#|href="#)')


@contextmanager
def drawing() -> Iterator[type[Figure]]:
    """Bring the library that draws, quiet and in our style; yield its kind of figure.

    Yields
    ------
    type of Figure
    """
    logging.getLogger("matplotlib").setLevel(logging.ERROR)  # its caches are no news
    import matplotlib as mpl  # noqa: PLC0415 - only where a picture is drawn
    from matplotlib.figure import Figure  # noqa: PLC0415 - the same

    with mpl.rc_context(STYLE), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph")  # a letter the font lacks is a box
        yield Figure


def inline_svg(figure: Figure, name: str, title: str, said: str) -> str:
    """Return a figure as an ``svg`` element that may stand beside others in one page.

    Parameters
    ----------
    figure : Figure
        Drawn inside `drawing`.
    name : str
        Letters and digits; no other picture of the page has it.
    title : str
    said : str
        What it shows, for whoever cannot see it.

    Returns
    -------
    str
        Its letters are text, so that the reader's own font shows what ours lacks.
    """
    written = io.StringIO()
    figure.savefig(written, format="svg", metadata={"Date": None}, bbox_inches="tight")
    text = written.getvalue()
    text = _STYLE_SHEET.sub("", _METADATA.sub("", text[text.index("<svg") :]))
    head, _, body = _NAMED.sub(rf"\g<1>{name}-", text).partition(">")
    told = (
        f'<title id="{name}-title">{escape(printable(title))}</title>'
        f'<desc id="{name}-desc">{escape(printable(said))}</desc>'
    )
    return f'{head} role="img" aria-labelledby="{name}-title {name}-desc">\n{told}{body}'.rstrip()
