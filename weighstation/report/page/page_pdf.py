"""Pages with their pictures -> a PDF; the same pages give the same bytes."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from importlib import resources
from typing import TYPE_CHECKING, Final

from weighstation.report.page.page import Grid
from weighstation.report.page.printable import printable

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from typst import Fonts

    from weighstation.report.page.page import Page
    from weighstation.report.page.page_html import Figure
    from weighstation.report.page.tables import SheetTable

_FONTS = ("DejaVu Sans", "Libertinus Serif")
_STANDARD: Final = "a-2b"
"""For archives: ISO 19005-2, level B."""


def pages_pdf(pages: Sequence[tuple[Page, Sequence[Figure]]], *, as_of_utc_ms: int) -> bytes:
    """Return pages as a PDF for archives.

    Parameters
    ----------
    pages : sequence of (Page, sequence of Figure)
        Each begins on a new sheet. The tables behind pictures are left out.
    as_of_utc_ms : int, milliseconds since 1970 UTC
        When the last line of the record was written, which the PDF is dated by.

    Returns
    -------
    bytes

    Raises
    ------
    ImportError
        If the extra ``pdf`` is not installed.
    """
    import typst  # noqa: PLC0415 - an extra

    template = resources.files("weighstation.report.page") / "templates" / "page.typ"
    data = json.dumps(_data(pages), ensure_ascii=False)
    made: bytes = typst.compile(
        template.read_bytes(),
        format="pdf",
        font_paths=_fonts_for(data),
        sys_inputs={"data": data},
        pdf_standards=_STANDARD,
        timestamp=datetime.fromtimestamp(as_of_utc_ms // 1000, UTC),
    )
    return made


def _fonts_for(text: str) -> Fonts:
    """Return the fonts that charts are drawn with, so that pages look like them everywhere.

    Those of the machine are taken too where a letter is in none of them.
    """
    import matplotlib as mpl  # noqa: PLC0415 - only where a PDF is made
    from matplotlib.ft2font import FT2Font  # noqa: PLC0415 - the same
    from typst import Fonts  # noqa: PLC0415 - an extra

    folder = f"{mpl.get_data_path()}/fonts/ttf"
    known = FT2Font(f"{folder}/DejaVuSans.ttf").get_charmap()
    return Fonts(
        include_system_fonts=any(ord(letter) not in known for letter in set(text) if letter > " "),
        include_embedded_fonts=True,
        font_paths=[folder],
    )


def _data(pages: Sequence[tuple[Page, Sequence[Figure]]]) -> dict[str, object]:
    first = pages[0][0]
    return {
        "title": printable(first.title),
        "as_of": first.as_of,
        "fonts": _FONTS,
        "pages": [_page(page, figures) for page, figures in pages],
    }


def _page(page: Page, figures: Sequence[Figure]) -> dict[str, object]:
    titles = {part.title for part in page.parts}
    return {
        "title": printable(page.title),
        "urgent": [printable(text) for text in page.urgent],
        "conclusion": printable(page.conclusion),
        "cautions": page.cautions,
        "as_of": page.as_of,
        "figures": [_figure(each, each.under if each.under in titles else "") for each in figures],
        "parts": [_part(part) for part in page.parts],
    }


def _figure(each: Figure, under: str) -> dict[str, str]:
    return {"svg": each.svg, "caption": printable(each.caption), "under": under}


def _part(part: Grid | SheetTable) -> dict[str, object]:
    heads: tuple[str, ...] = ()
    rows: Iterable[tuple[str, ...]] = ()
    if isinstance(part, Grid):
        heads, rows = part.heads, part.rows
    else:
        rows = ((row.label, row.said, row.note) for row in part.rows)
    return {
        "title": printable(part.title),
        "heads": heads,
        "rows": [[printable(cell) for cell in row] for row in rows],
        "remark": printable(part.remark),
    }
