"""A page as one HTML file."""

from __future__ import annotations

from html.parser import HTMLParser

from weighstation.report.page.page import Grid, Page
from weighstation.report.page.page_html import Figure, page_html
from weighstation.report.page.tables import SheetRow, SheetTable

EVIL = "<script>alert('1 & 2')</script>"
PAGE = Page(
    title=f"Give-away {EVIL}",
    parts=(
        SheetTable("All pieces", (SheetRow(EVIL, "12 g", EVIL),)),
        Grid("Why", ("", EVIL), ((EVIL, "3 g"), ("together", "3 g")), EVIL),
        Grid("", ("", ""), (("a", "b"),)),
    ),
    cautions=(EVIL,),
    conclusion=EVIL,
    as_of="as of line 9, head abab",
)


class Seen(HTMLParser):
    """What stands in a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.open: list[str] = []
        self.asked: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.asked += [str(value) for name, value in attrs if name in ("href", "src")]
        if tag not in ("meta", "link", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert tag == self.open.pop()


def seen(text: str) -> Seen:
    reader = Seen()
    reader.feed(text)
    assert [] == reader.open
    return reader


def test_whatever_stands_in_it_is_text() -> None:
    """A name of a product may be markup; none of it comes to life."""
    text = page_html(PAGE)

    assert "script" not in seen(text).tags
    assert 10 == text.count("&lt;script&gt;")


def test_it_asks_for_nothing_outside_itself() -> None:
    text = page_html(PAGE)

    assert ["data:,"] == seen(text).asked
    assert "url(" not in text
    assert "@import" not in text


def test_a_picture_stands_under_its_part_with_its_figures_folded() -> None:
    table = Grid("In figures", ("", "g"), (("Monday", EVIL),))
    shown = page_html(PAGE, [Figure("<svg><g></g></svg>", f"Weeks {EVIL}", "Why", table)])
    text = shown.replace("&#34;", '"')

    assert {"svg", "details", "summary"} < set(seen(shown).tags)
    assert "script" not in seen(shown).tags
    assert text.index("<h2>Why</h2>") < text.index("<svg>") < text.index("as of line")
    assert text.index("<svg>") < text.index("<summary>In figures</summary>")


def test_a_picture_whose_part_is_not_there_stands_before_all() -> None:
    text = page_html(PAGE, [Figure("<svg><g></g></svg>", "Weeks", "Week by week")])

    assert text.index("<svg>") < text.index("<h2>All pieces</h2>")


def test_every_cell_has_its_heads() -> None:
    text = page_html(PAGE)

    assert 4 == text.count('<th scope="row">')
    assert 1 == text.count('<th scope="col">')
