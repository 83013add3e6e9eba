"""``weighstation dossier`` on the record of three days, and an outsider who works it out again."""

from __future__ import annotations

import csv
import json
import random
import re
import shutil
import sqlite3
import statistics
import subprocess
import sys
from contextlib import closing
from datetime import date, timedelta
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

import pytest
from audited_bench import FIRST_DAY, LAST_DAY, RYE, audited_home
from station_process import weighstation

from weighstation.station.commands.shop.first_products import FIRST_PRODUCTS

if TYPE_CHECKING:
    from pathlib import Path

DAYS = ("--from", FIRST_DAY, "--to", LAST_DAY)
FIGURES = re.compile(
    r"(\w+): n (\d+), mean off the scaling weight (\S+) g, sd (\S+) g, give-away (\S+) g,"
    r" out of band (\d+)"
)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return audited_home(tmp_path_factory.mktemp("auditor") / "bench")


@pytest.fixture(scope="module")
def raw(home: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("outside") / "raw"
    result = weighstation("dossier", *DAYS, "--raw", str(folder), home=home)
    assert 1 == result.returncode, result.stderr  # a failed check makes pieces doubtful
    return folder


def told(home: Path, *words: str) -> dict[str, Any]:
    result = weighstation("dossier", *words, "--json", home=home)
    assert result.returncode in (0, 1), result.stderr
    record: dict[str, Any] = json.loads(result.stdout)
    return record


def recomputed(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the recipe as a machine would that has Python and nothing else."""
    return subprocess.run(
        [sys.executable, "-I", "-S", str(folder / "recompute.py")],
        check=False,
        capture_output=True,
        text=True,
        cwd=folder,
    )


def entries(home: Path) -> list[tuple[int, str, int, str, str, str]]:
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        columns = "seq, station, t_utc_ms, kind, body, digest"
        return connection.execute(f"SELECT {columns} FROM entry ORDER BY seq").fetchall()


def test_the_figures_are_those_of_the_raw_lines(home: Path) -> None:
    """Mean and standard deviation beside those of Python's own ``statistics``."""
    kept: dict[str, list[float]] = {}
    for _, _, _, kind, body, _ in entries(home):
        piece = json.loads(body)
        if kind == "piece_kept":
            kept.setdefault(piece["run"][:4], []).append(piece["final_mg"] / 1000)
        elif kind == "voided":
            kept[piece["run"][:4]].remove(piece["final_mg"] / 1000)
    found = told(home, *DAYS)["batches"]

    assert ["aaaa0001", "bbbb0002", "cccc0001"] == [each["batch"] for each in found]
    for each in found:
        weights = kept[each["batch"][:4]]
        assert len(weights) == each["pieces"]
        assert statistics.mean(weights) == pytest.approx(each["mean_g"], abs=1e-9)
        assert statistics.stdev(weights) == pytest.approx(each["sd_g"], abs=1e-9)
        off = sum(weight - each["scaling_weight_g"] for weight in weights)
        assert off == pytest.approx(each["giveaway_g"], abs=1e-6)


def test_it_tells_checks_signals_doubts_and_what_is_open(home: Path) -> None:
    record = told(home, *DAYS)
    first, second, third = record["batches"]

    assert [True, True, True, True, False] == [check["is_fit"] for check in record["checks"]]
    assert [(1, 49), (50, 108), (108, 148)] == [
        (each["check_before"], each["check_after"]) for each in (first, second, third)
    ]
    (reaction,) = first["signals"][0]["reactions"]
    assert "softer dough" in reaction
    assert "action: second mix made with 1 % less water" in reaction
    assert ([14.2], 1) == (first["gaps_s"], first["voided"])
    assert (["bbbb0001"], [43]) == (second["interrupted"], second["unresolved"])
    assert ("indicative", 10) == (second["baked"]["verdict"], second["baked"]["loaves"])
    assert list(range(1, 37)) == third["doubtful"]
    assert {"Scale not fit", "Unresolved", "Doubtful", "No reaction noted"} == {
        point["what"] for point in record["open"]
    }


def test_an_outsider_with_python_alone_finds_the_same_figures_and_the_same_head(
    home: Path, raw: Path
) -> None:
    alone = subprocess.run(
        [sys.executable, "-I", "-S", "-c", "import weighstation"], check=False, capture_output=True
    )
    result = recomputed(raw)
    record = told(home, *DAYS)
    chain, *lines = result.stdout.splitlines()
    figures = {found[1]: found.groups()[1:] for found in map(FIGURES.fullmatch, lines) if found}

    assert alone.returncode != 0
    assert (0, "") == (result.returncode, result.stderr)
    assert f"chain: lines 1 to 148 hold, head {record['as_of']['head']}" == chain
    for each in record["batches"]:
        off_g = each["mean_g"] - each["scaling_weight_g"]
        assert figures.pop(each["batch"]) == (
            str(each["pieces"]),
            f"{off_g:+.2f}",
            f"{each['sd_g']:.2f}",
            f"{each['giveaway_g']:+.1f}",
            str(each["out_of_band"]),
        )
    (whole,) = figures.values()
    assert (str(record["pieces"]), f"{record['giveaway_g']:+.1f}") == (whole[0], whole[3])


def test_the_lines_are_there_byte_for_byte(home: Path, raw: Path) -> None:
    with (raw / "entries.csv").open(encoding="utf-8", newline="") as file:
        _, *rows = csv.reader(file)

    assert entries(home) == [
        (int(seq), bytes.fromhex(station).decode(), int(at), kind, body, digest)
        for seq, station, at, kind, body, digest in rows
    ]
    for row in rows:
        for cell in row:
            assert cell[0] not in "=+-@\t\r"


def test_one_changed_byte_of_a_line_is_found(raw: Path, tmp_path: Path) -> None:
    folder = tmp_path / "raw"
    shutil.copytree(raw, folder)
    good = (raw / "entries.csv").read_bytes()
    chance = random.Random(20260302)
    places = [place for place in range(good.index(b"\n") + 1, len(good)) if good[place] > 31]
    for place in chance.sample(places, 40):
        other = chance.choice([byte for byte in b"0123456789abcdefxyz" if byte != good[place]])
        changed = good[:place] + bytes([other]) + good[place + 1 :]
        (folder / "entries.csv").write_bytes(changed)

        assert recomputed(folder).returncode != 0, (place, good[place - 20 : place + 20], other)


@pytest.mark.parametrize("line", [1, 77, 148])
def test_a_line_left_out_is_found(raw: Path, tmp_path: Path, line: int) -> None:
    folder = tmp_path / "raw"
    shutil.copytree(raw, folder)
    rows = (folder / "entries.csv").read_bytes().splitlines(keepends=True)
    del rows[line]
    (folder / "entries.csv").write_bytes(b"".join(rows))

    assert recomputed(folder).returncode != 0


COVERED = (
    *("run", "product", "target_mg", "under_mg", "over_mg", "number", "first_mg", "final_mg"),
    *("touches", "ms", "dough_age_ms", "verdict", "counted_utc", "line"),
)


@pytest.mark.parametrize("column", COVERED)
def test_every_column_of_a_piece_is_held_against_its_lines(
    raw: Path, tmp_path: Path, column: str
) -> None:
    folder = tmp_path / "raw"
    shutil.copytree(raw, folder)
    with (folder / "pieces.csv").open(encoding="utf-8", newline="") as file:
        heads, *rows = csv.reader(file)
    place = heads.index(column)
    rows[1][place] = f"{rows[1][place][:-1]}{'7' if rows[1][place][-1:] != '7' else '8'}"
    with (folder / "pieces.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([heads, *rows])
    result = recomputed(folder)

    assert result.returncode != 0
    assert 1 == len(result.stderr.splitlines())
    assert "Traceback" not in result.stderr


def test_the_first_line_starts_from_the_journal_s_id(raw: Path, tmp_path: Path) -> None:
    folder = tmp_path / "raw"
    shutil.copytree(raw, folder)
    heads, row = (folder / "chain.csv").read_text(encoding="utf-8").splitlines()
    (folder / "chain.csv").write_text(f"{heads}\nx{row[1:]}\n", encoding="utf-8")

    assert "does not start from the journal's id" in recomputed(folder).stderr


@pytest.mark.parametrize(
    ("was", "now"), [(b",732000,732000,", b",732000,733000,"), (b",keep,", b",add,")]
)
def test_a_changed_piece_is_found(raw: Path, tmp_path: Path, was: bytes, now: bytes) -> None:
    folder = tmp_path / "raw"
    shutil.copytree(raw, folder)
    good = (folder / "pieces.csv").read_bytes()
    assert was in good
    (folder / "pieces.csv").write_bytes(good.replace(was, now, 1))

    result = recomputed(folder)

    assert (1, "Piece 1 of run aaaa0001 is not as its line counts it.\n") == (
        result.returncode,
        result.stderr,
    )


def test_no_spreadsheet_takes_a_name_for_a_formula(home: Path, raw: Path, tmp_path: Path) -> None:
    shown, chose = tmp_path / "people", tmp_path / "chose"
    shutil.copytree(home, chose)
    (chose / "products.toml").write_text("show_people = true\n" + FIRST_PRODUCTS, "utf-8")
    weighstation("dossier", *DAYS, "--people", "--raw", str(shown), home=chose)
    with (shown / "pieces.csv").open(encoding="utf-8", newline="") as file:
        last = list(csv.DictReader(file))[-1]
    with (raw / "pieces.csv").open(encoding="utf-8", newline="") as file:
        bare = list(csv.DictReader(file))[-1]

    assert (f"'{RYE.name}", "'=1+1") == (last["product"], last["person"])
    assert "person" not in bare


def test_nobody_is_shown_where_the_shop_did_not_choose_to(home: Path, tmp_path: Path) -> None:
    """Those of whom the record knows: AK and JS divided, Ada Krume checked, AK signed a note."""
    for file in (tmp_path / "week.html", f"{tmp_path / 'raw'}/"):
        weighstation("dossier", *DAYS, "--out", str(file), home=home)
    page = (tmp_path / "week.html").read_text("utf-8")
    pieces = (tmp_path / "raw" / "pieces.csv").read_text("utf-8")
    said = weighstation("dossier", *DAYS, home=home).stdout
    refused = weighstation("dossier", *DAYS, "--people", home=home)

    for text in (page, pieces, said, json.dumps(told(home, *DAYS))):
        assert not re.search(r"Ada Krume|\bAK\b|\bJS\b", text)
    assert "by somebody" in page
    assert 2 == refused.returncode
    assert (
        "--people shows who divided and who signed, and this shop did not choose that. Write"
        " show_people = true into products.toml first.\n"
    ) == refused.stderr


def test_lines_of_one_batch_start_from_the_digest_before_them(home: Path, tmp_path: Path) -> None:
    folder = tmp_path / "one"
    weighstation("dossier", "--run", "cccc0001", "--out", f"{folder}/", home=home)
    with (folder / "chain.csv").open(encoding="utf-8", newline="") as file:
        (chain,) = csv.DictReader(file)
    lines = entries(home)

    assert ("108", lines[106][5]) == (chain["first_seq"], chain["prev_digest"])
    assert ("148", lines[-1][5]) == (chain["last_seq"], chain["head_digest"])
    assert "chain: lines 108 to 148 hold" in recomputed(folder).stdout
    assert "digest of line 107" in (folder / "RECOMPUTE.md").read_text(encoding="utf-8")


def test_a_run_stands_for_its_whole_batch(home: Path) -> None:
    part, whole = (told(home, "--run", run)["batches"] for run in ("bbbb0001", "bbbb0002"))

    assert part == whole
    assert (1, 42) == (len(whole), whole[0]["pieces"])


def test_a_pdf_is_the_same_byte_for_byte(home: Path, tmp_path: Path) -> None:
    made = []
    for name in ("one.pdf", "two.pdf"):
        out = tmp_path / name
        result = weighstation("dossier", *DAYS, "--out", str(out), home=home)
        assert 1 == result.returncode, result.stderr
        made.append(out.read_bytes())

    assert made[0] == made[1]
    assert made[0].startswith(b"%PDF-")
    assert b"pdfaid:part>2<" in made[0]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["one.pdf", "two.pdf"]


class _Asks(HTMLParser):
    """Gathers what a page would fetch, and what it is made of."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: list[str] = []
        self.tags: set[str] = set()
        self.names: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        said = dict(attrs)
        self.names += filter(None, [said.get("id")])
        fetched = [said.get(name) or "" for name in ("src", "href", "xlink:href", "action")]
        self.asked += [each for each in fetched if each and each[0] != "#" and each != "data:,"]


def test_html_asks_for_nothing_and_takes_no_text_for_markup(home: Path, tmp_path: Path) -> None:
    out = tmp_path / "dossier.html"
    weighstation("dossier", *DAYS, "--out", str(out), home=home)
    text = out.read_text(encoding="utf-8")
    page = _Asks()
    page.feed(text)

    assert [] == page.asked
    assert not page.tags & {"script", "iframe", "b", "object"}
    assert "url(http" not in text
    assert "=Rye &lt;b&gt;#1&lt;/b&gt; &amp; \\emph" in text
    assert 4 == text.count("<svg ")


def test_one_screen_says_what_is_open(home: Path) -> None:
    result = weighstation("dossier", *DAYS, home=home)
    lines = result.stdout.splitlines()

    assert 1 == result.returncode
    assert "3 batches, 118 pieces, 0 out of band (0.0 %): 4 points open. No legal proof." in lines
    assert max(map(len, lines)) <= 80
    assert len(lines) <= 24


def test_the_newest_batch_is_meant_where_nothing_is_said(home: Path) -> None:
    assert ["cccc0001"] == [each["batch"] for each in told(home)["batches"]]
    assert ["aaaa0001", "bbbb0002"] == [
        each["batch"] for each in told(home, "country loaf")["batches"]
    ]


TOMORROW = (date.today() + timedelta(days=2)).isoformat()  # noqa: DTZ011 - as the machine's days are


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--run", "nix"), "There is no run 'nix' in the journal."),
        (("Country lof",), "There is no batch of 'Country lof' in the journal."),
        (("--from", TOMORROW), "lies in the future"),
        (("--from", "2024-02-01", "--to", "2024-02-03"), "No batch was begun from 2024-02-01"),
        (("--from", "2024-03-04", "--to", "2024-03-02"), "before it begins"),
        (("--from", "soon"), "'soon' is no day."),
        (("--run", "aaaa0001", "--to", "2024-03-02"), "Give --run, or a product and days"),
        (("--out", "dossier.txt"), "A dossier cannot be written to 'dossier.txt'."),
        (("--out", "raw/", "--raw", "other"), "give one of them"),
        (("--out", "/dev/null/x.html"), "cannot be written"),
        (("--raw", "/dev/null/x"), "cannot be written"),
    ],
)
def test_bad_input_is_answered_in_one_sentence(
    home: Path, words: tuple[str, ...], said: str
) -> None:
    result = weighstation("dossier", *words, home=home)

    assert (2, "") == (result.returncode, result.stdout)
    assert 1 == len(result.stderr.splitlines())
    assert said in result.stderr


def test_an_empty_home_is_answered_in_one_sentence(tmp_path: Path) -> None:
    result = weighstation("dossier", home=tmp_path)

    assert 2 == result.returncode
    assert 1 == len(result.stderr.splitlines())


def altered(home: Path, folder: Path, *sql: str) -> Path:
    shutil.copytree(home, folder)
    with closing(sqlite3.connect(folder / "journal.sqlite")) as connection:
        (dropped,) = connection.execute(
            "SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%update%'"
            " AND tbl_name = 'entry'"
        ).fetchone()
        name = dropped.split()[2]
        for each in (f"DROP TRIGGER {name}", *sql, dropped):
            connection.execute(each)
        connection.commit()
    return folder


def test_no_dossier_is_made_of_lines_that_do_not_hold(home: Path, tmp_path: Path) -> None:
    body = "UPDATE entry SET body = replace(body, '740', '741') WHERE seq = 120"
    other = altered(home, tmp_path / "altered", body.replace("'740', '741'", "'keep', 'kept'"))
    result = weighstation("dossier", "--run", "cccc0001", home=other)

    assert (1, "") == (result.returncode, result.stdout)
    assert "Line 120 does not follow from the lines before it." in result.stderr


def test_a_line_before_those_used_that_does_not_hold_is_said(home: Path, tmp_path: Path) -> None:
    change = "UPDATE entry SET t_utc_ms = t_utc_ms + 1 WHERE seq = 5"
    other = altered(home, tmp_path / "altered", change)
    result = weighstation("dossier", "--run", "cccc0001", home=other)
    record = json.loads(weighstation("dossier", "--run", "cccc0001", "--json", home=other).stdout)

    assert 1 == result.returncode
    assert "NOT the whole journal" in result.stdout
    assert "Line 5 does not follow" in record["proof"]["fault"]
    assert not record["proof"]["holds"]


def entered(home: Path, *rows: str) -> Path:
    """Return a home whose journal holds pieces from a file."""
    band = "scaling_weight_g = 920\nunder_g = 9\nover_g = 9\n"
    product = f'currency = "EUR"\n[[product]]\nname = "Tin loaf"\n{band}'
    (home / "products.toml").write_text(product)
    (home / "tally.csv").write_text("\n".join(["time;product;grams", *rows]))
    result = weighstation("journal", "import", str(home / "tally.csv"), home=home)
    assert 0 == result.returncode, result.stderr
    return home


def test_weights_from_a_file_are_shown_as_entered_late(tmp_path: Path) -> None:
    times = [f"2024-03-02T05:{place:02}:00+01:00" for place in range(20)]
    home = entered(tmp_path, *(f"{time};Tin loaf;{918 + n % 7}" for n, time in enumerate(times)))
    record = told(home, "--from", "2024-03-02", "--to", "2024-03-02")

    assert ["entered late"] == [asked["kind"] for asked in record["questions"]]
    assert (20, None) == (record["pieces"], record["batches"][0]["chart_signals"])
    assert {"Data"} == {point["what"] for point in record["open"]}


def test_an_outsider_works_out_weights_from_a_file(tmp_path: Path) -> None:
    home = entered(
        tmp_path, "2024-03-02T05:10:00+01:00;Tin loaf;921", "2024-03-02T05:11:00+01:00;Tin loaf;931"
    )
    made = weighstation("dossier", "--raw", str(tmp_path / "raw"), home=home)
    result = recomputed(tmp_path / "raw")

    assert (0, 0) == (made.returncode, result.returncode), result.stderr
    assert "all: n 2, mean off the scaling weight +6.00 g, sd 7.07 g" in result.stdout
