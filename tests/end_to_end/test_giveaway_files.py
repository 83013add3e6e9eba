"""``giveaway --out``: files, held against sums over the raw lines by another hand."""

from __future__ import annotations

import csv
import html
import json
import re
import sqlite3
import stat
from contextlib import closing
from typing import TYPE_CHECKING

import openpyxl
import pypdf
import pytest
from planned_shop import refused
from station_process import weighstation
from weeks_of_a_shop import SPAN, weeks

from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.giveaway import Order, run_giveaway, span_from

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.specification import Catalogue


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return weeks(tmp_path_factory.mktemp("owner") / "bench", top='decimal = ","\n')


def written(home: Path, folder: Path, *names: str) -> list[Path]:
    paths = [folder / name for name in names]
    words = [word for path in paths for word in ("--out", str(path))]
    result = weighstation("giveaway", *SPAN, *words, home=home)
    assert (0, "") == (result.returncode, result.stderr)
    assert all(f"'{path}'" in result.stdout for path in paths)
    return paths


def raw(home: Path) -> dict[str, list[int]]:
    """Return net minus scaling weight of every piece by product, from the lines alone."""
    found: dict[str, list[int]] = {}
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        bodies = [
            json.loads(body)
            for (body,) in connection.execute("SELECT body FROM entry ORDER BY seq")
        ]
    runs = {body["run"]: body for body in bodies if "target_mg" in body}
    for body in bodies:
        if "final_mg" in body:
            promised = runs[body["run"]]
            d_mg = body["final_mg"] - promised["target_mg"]
            found.setdefault(promised["product"], []).append(d_mg)
    return found


def test_a_table_for_programs_holds_the_sums_of_the_raw_lines(home: Path, tmp_path: Path) -> None:
    (path,) = written(home, tmp_path, "week.csv")
    with path.open(encoding="utf-8", newline="") as file:
        rows = {(row["level"], row["name"]): row for row in csv.DictReader(file)}
    for name, d_mg in raw(home).items():
        row = rows["product", name]

        assert len(d_mg) == int(row["pieces"])
        assert sum(d_mg) == round(1000 * float(row["giveaway_g"]))
        assert sum(d for d in d_mg if d > 0) == round(1000 * float(row["over_sum_g"]))
    assert 4 == sum(level == "week" for level, _ in rows)
    assert {"EUR"} == {row["currency"] for row in rows.values()}


def test_several_files_of_one_statement_say_the_same(home: Path, tmp_path: Path) -> None:
    names = ("week.html", "week.csv", "week.xlsx", "week.json")
    page, table, book, record = written(home, tmp_path, *names)
    told = json.loads(record.read_text("utf-8"))
    head = told["as_of"]["head"]

    assert head[:16] in page.read_text("utf-8")
    assert head in table.read_text("utf-8")
    sheet = openpyxl.load_workbook(book)["Statement"]
    figures = {(line[0].value, line[2].value): line[1].value for line in sheet.iter_rows()}
    assert told["giveaway_g"] == figures["give-away", "g"]
    assert told == json.loads(weighstation("giveaway", *SPAN, "--json", home=home).stdout)


def test_a_person_reads_the_shop_s_sign_and_a_program_a_point(home: Path, tmp_path: Path) -> None:
    page, table = written(home, tmp_path, "week.html", "week.csv")

    assert "921,8 g" in page.read_text("utf-8")
    assert "921.8083" in table.read_text("utf-8")


def test_the_products_file_is_read_once(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    reads: list[Path] = []
    catalogue = Home.catalogue

    def counting(shop: Home) -> Catalogue:
        reads.append(shop.products_path)
        return catalogue(shop)

    monkeypatch.setattr(Home, "catalogue", counting)
    order = Order(span_from(SPAN[1], SPAN[3]), "Tin loaf")
    names = ("week.csv", "week.json")

    assert 0 == run_giveaway(home, order, as_json=False, out=[tmp_path / name for name in names])
    assert [home / "products.toml"] == reads


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--out", "week.doc"), "A statement cannot be written to 'week.doc'."),
        (("--out", "week.csv", "--json"), "--out writes files and --json prints"),
        (("--out", "no-such-folder/week.csv"), "cannot be written (no such file or directory)"),
        (("--out", "week.csv", "--out", "week.csv"), "Two of --out are one file"),
    ],
)
def test_what_cannot_be_written_is_refused_in_one_sentence(
    home: Path, words: tuple[str, ...], sentence: str
) -> None:
    assert sentence in refused(weighstation("giveaway", *SPAN, *words, home=home))


def test_a_file_can_be_read_by_others_as_any_file(home: Path, tmp_path: Path) -> None:
    beside = tmp_path / "plain.txt"
    beside.write_text("")
    (path,) = written(home, tmp_path, "week.json")

    assert stat.S_IMODE(beside.stat().st_mode) == stat.S_IMODE(path.stat().st_mode)


def test_a_pdf_is_the_same_byte_for_byte_and_says_what_the_page_says(
    home: Path, tmp_path: Path
) -> None:
    """For archives by ISO 19005-2; every table and picture of the page is in it."""
    page, one, two = written(home, tmp_path, "week.html", "week.pdf", "again.pdf")
    text = " ".join(sheet.extract_text() for sheet in pypdf.PdfReader(one).pages)
    titles = re.findall("<h2>([^<]+)</h2>", page.read_text(encoding="utf-8"))

    assert one.read_bytes() == two.read_bytes()
    assert b"pdfaid:part>2<" in one.read_bytes()
    assert len(titles) > 5
    assert [] == [title for title in titles if html.unescape(title) not in text]
    assert "dough above what the label asks for" in text
    assert "1051,3 kg" in text
