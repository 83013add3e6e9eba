"""A dossier as a screen, a record, a PDF and raw rows, from lines in memory."""

from __future__ import annotations

import csv
import io
import json
import random
from dataclasses import replace
from datetime import UTC, datetime
from statistics import fmean, stdev
from typing import TYPE_CHECKING

import pypdf
import pytest
from audited_bench import COUNTRY, FAILED, Bench, write_days
from markupsafe import escape
from rich.console import Console

from weighstation.journal import Kind
from weighstation.report.dossier import Evidence, Scope
from weighstation.report.dossier.cover import conclusion, cover
from weighstation.report.dossier.html import dossier_html, figures_of
from weighstation.report.dossier.open_points import open_points
from weighstation.report.dossier.pages import dossier_pages
from weighstation.report.dossier.questions import questions
from weighstation.report.dossier.raw import csv_lines, piece_rows, program
from weighstation.report.dossier.record import dossier_record
from weighstation.report.dossier.summary import summary
from weighstation.report.dossier.urgent import urgent
from weighstation.report.giveaway.too_light import TooLight
from weighstation.report.page.page_pdf import pages_pdf
from weighstation.report.page.text import print_page
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.dossier_files import write_page, write_raw
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def store() -> MemoryStore:
    return MemoryStore(journal_id="0f" * 16, station="bench-1")


def read(store: MemoryStore, folder: Path, *, run: str = "", people: bool = False) -> Evidence:
    return evidence_of(
        store, Home(folder), Meant(run), Scope("test", UTC, with_people=people), Patience()
    )


def screen(evidence: Evidence) -> str:
    out = io.StringIO()
    print_page(summary(evidence, questions(evidence)), Console(file=out, width=80))
    return out.getvalue()


def troubled(store: MemoryStore) -> None:
    """Eight batches, each open in its own way, on a scale that a check found unfit at last."""
    bench = Bench(store)
    for number in range(1, 9):
        bench.begin(f"aaaa000{number}", COUNTRY, person="AK")
        bench.pieces(12, bias_g=number / 4)
        bench.signal()
        if number < 8:
            bench.end()
    bench.check(FAILED)


def test_a_screen_says_what_there_is_and_what_is_open(store: MemoryStore, tmp_path: Path) -> None:
    write_days(store)
    text = screen(read(store, tmp_path))

    assert "Weighing dossier: test" in text
    assert "No legal proof." in text
    assert "as of line 148, head " in text
    assert "yes, all" in text
    assert max(map(len, text.splitlines())) <= 80


def test_a_screen_with_many_open_points_tells_six_and_how_many_more(
    store: MemoryStore, tmp_path: Path
) -> None:
    troubled(store)
    evidence = read(store, tmp_path)
    points = open_points(evidence, questions(evidence))
    told = {row.label for row in points}

    assert {"No check before", "Scale not fit", "Doubtful", "Still open"} <= told
    assert "No reaction noted" in told
    assert len(points) > 6
    assert f"{len(points) - 6} more" in screen(evidence)


def test_a_record_is_what_the_lines_add_up_to(store: MemoryStore, tmp_path: Path) -> None:
    """Mean and standard deviation by Python's statistics, over the pieces themselves."""
    write_days(store)
    evidence = read(store, tmp_path, people=True)
    record = json.loads(json.dumps(dossier_record(evidence)))

    assert {"line": 148, "head": store.head().digest} == record["as_of"]
    assert (True, True) == (record["proof"]["is_whole"], record["proof"]["holds"])
    assert 3 == len(record["batches"])
    assert record["pieces"] == sum(each["pieces"] for each in record["batches"])
    assert record["giveaway_g"] == pytest.approx(
        sum(each["giveaway_g"] for each in record["batches"])
    )
    for each, batch in zip(record["batches"], evidence.batches, strict=True):
        weights = [piece.final_mg / 1000 for piece in batch.figures.pieces]
        assert fmean(weights) == pytest.approx(each["mean_g"])
        assert stdev(weights) == pytest.approx(each["sd_g"])
        assert each["check_before"] is None or each["check_before"] < each["lines"][0]
        assert "person" in each
    assert [True] * 4 + [False] == [check["is_fit"] for check in record["checks"]]
    assert any(each["baked"] for each in record["batches"])


def test_a_record_of_a_troubled_bench_says_so(store: MemoryStore, tmp_path: Path) -> None:
    troubled(store)
    record = dossier_record(read(store, tmp_path))
    batches = record["batches"]

    assert isinstance(batches, list)
    assert [True] * 8 == [len(each["doubtful"]) == 12 for each in batches]
    assert [False] == [check["is_fit"] for check in record["checks"]]  # type: ignore[attr-defined]
    assert all(each["signals"][0]["reactions"] == [] for each in batches)
    assert all("person" not in each for each in batches)


def test_a_pdf_is_made_twice_alike_and_holds_its_pages(store: MemoryStore, tmp_path: Path) -> None:
    pytest.importorskip("typst", reason="the extra pdf is not installed")
    write_days(store)
    evidence = read(store, tmp_path)
    pages, when = dossier_pages(evidence), evidence.proof.head_utc_ms
    drawn = [(each.page, figures_of(each, UTC, f"p{place}")) for place, each in enumerate(pages)]
    once, again = (pages_pdf(drawn, as_of_utc_ms=when) for _ in range(2))
    made = pypdf.PdfReader(io.BytesIO(once))
    text = " ".join(page.extract_text() for page in made.pages)

    assert once == again
    assert len(made.pages) >= len(pages)
    assert datetime.fromtimestamp(when // 1000, UTC) == made.metadata.creation_date  # type: ignore[union-attr]
    assert "Country loaf" in text
    assert "no legal proof" in text.lower()
    assert store.head().digest[:16] in text


def test_raw_rows_have_every_counted_piece_and_no_formula(
    store: MemoryStore, tmp_path: Path
) -> None:
    write_days(store)
    for people in (False, True):
        evidence = read(store, tmp_path, people=people)
        heads, *rows = csv.reader(io.StringIO("".join(csv_lines(piece_rows(evidence)))))

        assert people == ("person" in heads)
        assert sum(len(batch.figures.pieces) for batch in evidence.batches) == len(rows)
        assert not [cell for row in rows for cell in row if cell[:1] in tuple("=+-@\t\r")]
    assert "hashlib" in program()
    compile(program(), "recompute.py", "exec")


def test_loaves_that_do_not_pass_are_open(store: MemoryStore, tmp_path: Path) -> None:
    bench = Bench(store)
    bench.check()
    bench.begin("aaaa0001", COUNTRY, person="AK")
    bench.pieces(40)
    bench.end()
    bench.loaves(40, 640.0)
    bench.check()
    evidence = read(store, tmp_path)
    (batch,) = json.loads(json.dumps(dossier_record(evidence)))["batches"]

    assert ["do not pass"] == [
        row.said for row in open_points(evidence, ()) if row.label == "Baked loaves"
    ]
    assert batch["baked"]["passes"] is False
    (first,) = urgent(evidence)
    assert first.startswith(
        "Under the limit: the baked loaves of batch aaaa0001, 'Country loaf', do NOT pass by"
    )
    assert cover(evidence, ()).urgent == summary(evidence, ()).urgent == (first,)
    assert "do NOT pass" in " ".join(str(page.page) for page in dossier_pages(evidence))


@pytest.mark.parametrize(
    ("interval_mg", "begins", "said"),
    [
        ((744_000, 746_000), "Under the limit: 'Country loaf' is scaled at 740.0 g", "too light"),
        ((739_000, 751_000), "Maybe under the limit: 'Country loaf'", "maybe too light"),
        (None, "Maybe under the limit: 'Country loaf'", "maybe too light"),
    ],
)
def test_what_is_scaled_too_light_is_said_first_and_is_open(
    store: MemoryStore,
    tmp_path: Path,
    interval_mg: tuple[int, int] | None,
    begins: str,
    said: str,
) -> None:
    """The scaling weight of 740 g is below a least lawful one of 745 g, surely or perhaps."""
    write_days(store)
    light = TooLight("Country loaf", 740_000, 745_000, interval_mg)
    evidence = replace(read(store, tmp_path), too_light=(light,))
    html = dossier_html([(each.page, []) for each in dossier_pages(evidence)])

    (first,) = urgent(evidence)
    assert first.startswith(begins)
    assert [said] == [
        row.said for row in open_points(evidence, ()) if row.label == "Scaling weight"
    ]
    told = [escape(text) for text in (first, conclusion(evidence, ()))]
    assert html.index(told[0]) < html.index(told[1].partition(":")[0])


def test_loaves_of_a_lot_that_the_rule_has_no_plan_for_have_no_verdict(
    store: MemoryStore, tmp_path: Path
) -> None:
    bench = Bench(store)
    bench.check()
    bench.begin("aaaa0001", replace(COUNTRY, quantity_rule="oiml-r87"), person="AK")
    bench.pieces(10)
    bench.end()
    bench.loaves(4, 652.0)
    evidence = read(store, tmp_path)
    (batch,) = json.loads(json.dumps(dossier_record(evidence)))["batches"]
    text = " ".join(str(page.page) for page in dossier_pages(evidence))

    assert batch["baked"]["verdict"] is None
    assert batch["baked"]["why_not"] in text


def test_what_a_troubled_record_leaves_open(store: MemoryStore, tmp_path: Path) -> None:
    """A cut far beyond the others, a piece left lifted, copied weights, a clock set back."""
    bench = Bench(store)
    bench.check()
    for run in ("aaaa0001", "aaaa0002"):
        bench.random = random.Random(7)
        bench.begin(run, COUNTRY, person="AK")
        bench.pieces(40)
        bench.piece(60.0)
        bench.piece(kind=Kind.PIECE_LIFTED)
        bench.end()
    bench.day(2, 1)
    bench.check()
    evidence = read(store, tmp_path)
    points = {row.label: row for row in open_points(evidence, questions(evidence))}

    assert {"Clock", "Unresolved", "Beyond limits", "Data"} <= set(points)
    assert "2 first cuts" == points["Beyond limits"].said
    assert "repeated" in points["Data"].note
    broken = replace(evidence, proof=replace(evidence.proof, fault="Line 3 does not hold."))
    assert "does NOT hold" in {row.said for row in open_points(broken, ())}


def test_loaves_on_a_scale_that_was_not_fit_are_doubtful_on_their_page(
    store: MemoryStore, tmp_path: Path
) -> None:
    bench = Bench(store)
    bench.check()
    bench.begin("aaaa0001", COUNTRY, person="AK")
    bench.pieces(3)
    bench.end()
    bench.loaves(3, 652.0)
    bench.check(FAILED)
    evidence = read(store, tmp_path)
    (_, batch) = (str(page.page) for page in dossier_pages(evidence))

    assert "doubtful" in batch
    assert "Cpk" in batch


def test_whoever_waits_is_told_what_is_being_done(store: MemoryStore, tmp_path: Path) -> None:
    told: dict[str, None] = {}

    class Told(Patience):
        def say(self, what: str, done: int = 0, of: int | None = None) -> None:
            assert of is None or 0 <= done < of
            told[what] = None

    write_days(store)
    patience = Told()
    evidence = evidence_of(store, Home(tmp_path), Meant(), Scope("test", UTC), patience)
    write_raw(tmp_path / "raw", evidence, store, patience)
    write_page(tmp_path / "page.html", ".html", evidence, patience)

    assert {
        *("Reading lines", "Reading loaves", "Reading batches", "Writing lines"),
        *("Working the figures out", "Drawing the charts", "Writing the pages"),
    } == set(told)
