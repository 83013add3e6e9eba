"""What is saved from the owner's page, through a real browser and as a program reads it.

The PDF is read by another hand's program, poppler's pdftotext; the workbook by openpyxl.
"""

from __future__ import annotations

import csv
import io
import os
import shutil
import subprocess
import urllib.request
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import urlencode

import openpyxl
import pytest
from chromium_pages import launched
from served_station import served
from station_process import weighstation
from weeks_of_a_shop import SPAN, weeks

if TYPE_CHECKING:
    from collections.abc import Iterator
    from email.message import Message
    from pathlib import Path

    from playwright.sync_api import Page
    from served_station import Station

DAYS = urlencode({"from": SPAN[1], "to": SPAN[3]})
IDLE = ("serve", "--port", "0", "--scale", "simulated://?seed=5&speed=10")
PATIENCE_S = 120.0
NAME = "give-away-2026-03-02-2026-03-29"
KINDS = {
    "pdf": "application/pdf",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "csv": "text/csv; charset=utf-8",
    "html": "text/html; charset=utf-8",
}


class Saved(NamedTuple):
    """A file as it came over the wire."""

    body: bytes
    headers: Message


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return weeks(tmp_path_factory.mktemp("shop") / "home")


@pytest.fixture(scope="module")
def station(home: Path) -> Iterator[Station]:
    with served(*IDLE, home=home) as found:
        yield found


@pytest.fixture(scope="module")
def page(station: Station) -> Iterator[Page]:
    with launched() as browser:
        shown = browser.new_page()
        shown.goto(f"{station.url}/owner?{DAYS}")
        yield shown


def fetched(url: str) -> Saved:
    with urllib.request.urlopen(url, timeout=PATIENCE_S) as answer:
        return Saved(answer.read(), answer.headers)


def text_of(pdf: Path) -> str:
    """Return the words of a PDF; without poppler skip, but never where everything must run."""
    if shutil.which("pdftotext") is None:
        reason = "the PDF is read by another hand's program: apt-get install poppler-utils"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    done = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, check=True)
    return done.stdout.decode()


def own(home: Path, folder: Path, form: str, *words: str) -> bytes:
    """Return what the command itself writes."""
    path = folder / f"own.{form}"
    result = weighstation("giveaway", *SPAN, *words, "--out", str(path), home=home)
    assert 0 == result.returncode, result.stderr
    return path.read_bytes()


@pytest.mark.parametrize("form", KINDS)
def test_each_file_is_saved_under_a_name_that_says_what_it_is(
    page: Page, station: Station, form: str
) -> None:
    link = page.get_by_role("link", name=form.upper(), exact=True)
    url = f"{station.url}/owner/giveaway.{form}"
    with (
        page.expect_download(timeout=1000 * PATIENCE_S) as waiting,
        page.expect_response(lambda found: found.url.startswith(url)) as answer,
    ):
        link.click()
    headers = answer.value.headers

    assert f"{NAME}.{form}" == waiting.value.suggested_filename
    assert waiting.value.path().stat().st_size > 500
    assert KINDS[form] == headers["content-type"]
    assert "nosniff" == headers["x-content-type-options"]
    assert headers["content-disposition"].startswith("attachment")


def test_the_pdf_is_one_with_the_figures_of_the_week(
    page: Page, station: Station, home: Path, tmp_path: Path
) -> None:
    """To the byte the command's own, and its words are those that the page shows."""
    pdf = tmp_path / "saved.pdf"
    pdf.write_bytes(fetched(f"{station.url}/owner/giveaway.pdf?{DAYS}").body)
    said = text_of(pdf)
    table = page.get_by_role("region", name="By product").locator("tbody tr")
    rows = [row.locator("th, td").all_inner_texts() for row in table.all()]

    assert pdf.read_bytes().startswith(b"%PDF-")
    assert own(home, tmp_path, "pdf") == pdf.read_bytes()
    assert 3 == len(rows)
    lines = [" ".join(line.split()) for line in said.splitlines()]
    assert [] == [row for row in rows if " ".join(row) not in lines]
    for figure in page.locator(".headline dd").all_inner_texts():
        assert figure in " ".join(said.split())


def test_workbook_and_rows_hold_the_sums_of_the_page(
    station: Station, home: Path, tmp_path: Path
) -> None:
    rows = fetched(f"{station.url}/owner/giveaway.csv?{DAYS}").body
    book = fetched(f"{station.url}/owner/giveaway.xlsx?{DAYS}").body
    products = openpyxl.load_workbook(io.BytesIO(book), data_only=False)
    names = {
        cell.value
        for sheet in products.worksheets
        for line in sheet.iter_rows()
        for cell in line
        if isinstance(cell.value, str)
    }

    assert own(home, tmp_path, "csv") == rows
    assert len(list(csv.reader(io.StringIO(rows.decode("utf-8-sig"))))) > 3
    assert {"Tin loaf", "Hearth loaf", "Sesame roll"} <= names


def test_what_if_goes_into_the_file_too(
    page: Page, station: Station, home: Path, tmp_path: Path
) -> None:
    asked = {"product": "Tin loaf", "aim": "915"}
    page.goto(f"{station.url}/owner?{DAYS}&{urlencode(asked)}")
    href = page.get_by_role("link", name="PDF", exact=True).get_attribute("href")
    saved = fetched(f"{station.url}{href}")
    page.goto(f"{station.url}/owner?{DAYS}")

    assert own(home, tmp_path, "pdf", "--product", "Tin loaf", "--aim", "915") == saved.body
    assert f'"{NAME}-Tin-loaf-what-if.pdf"' in saved.headers["content-disposition"]


def test_a_file_that_cannot_be_made_is_told_on_the_page(page: Page, station: Station) -> None:
    answer = page.goto(f"{station.url}/owner/giveaway.pdf?from=2020-01-01&to=2020-01-07")
    said = page.get_by_role("alert").inner_text()
    first = page.get_by_label("First day").first.input_value()
    page.goto(f"{station.url}/owner?{DAYS}")

    assert answer is not None
    assert 400 == answer.status
    assert "No piece was counted" in said
    assert "2020-01-01" == first
