"""What is read of batches, from lines in memory."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, timedelta
from typing import TYPE_CHECKING

import pytest
from audited_bench import COUNTRY, FAILED, Bench, write_days

from weighstation.journal import Kind, Settled, settled
from weighstation.report.dossier import Evidence, Scope
from weighstation.report.dossier.html import dossier_html, figures_of
from weighstation.report.dossier.pages import dossier_pages
from weighstation.report.dossier.questions import questions
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements import dossier_files, evidence
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from pathlib import Path


def read(store: MemoryStore, tmp_path: Path, *, run: str = "") -> Evidence:
    return evidence_of(store, Home(tmp_path), Meant(run), Scope("test", UTC), Patience())


@pytest.fixture
def store() -> MemoryStore:
    return MemoryStore(journal_id="0f" * 16, station="bench-1")


def test_each_piece_says_its_line_and_its_run(store: MemoryStore, tmp_path: Path) -> None:
    write_days(store)
    batch = read(store, tmp_path, run="bbbb0001").batches[0]
    lines = {entry.seq: entry for entry in store.entries()}

    assert ["bbbb0001"] * 12 + ["bbbb0002"] * 30 == [
        batch.counted[piece.number].run for piece in batch.figures.pieces
    ]
    for piece in batch.figures.pieces:
        body = lines[batch.counted[piece.number].line].body
        assert f'"number":{piece.number},' in body


def test_a_settled_doubt_is_no_doubt_any_more(store: MemoryStore, tmp_path: Path) -> None:
    bench = Bench(store)
    bench.check()
    bench.begin("aaaa0001", COUNTRY, person="AK")
    bench.pieces(10)
    bench.end()
    failed = bench.check(FAILED)
    doubted = read(store, tmp_path).batches[0].figures
    good = bench.check()
    bench.write(Kind.NOTED, settled(Settled(failed, good, "Ada Krume", "flour under the pan")))
    found = read(store, tmp_path)

    assert tuple(range(1, 11)) == doubted.doubtful
    assert () == found.batches[0].figures.doubtful
    assert [failed] == [check.line for check in found.checks if not check.said.is_fit]
    assert "flour under the pan" in found.check_remarks[0].said


def test_copied_weights_and_a_clock_that_was_set_are_asked_about(
    store: MemoryStore, tmp_path: Path
) -> None:
    bench = Bench(store)
    bench.check()
    for run in ("aaaa0001", "aaaa0002"):
        bench.random = random.Random(7)
        bench.begin(run, COUNTRY, person="AK")
        bench.pieces(40)
        bench.end()
    bench.begin("aaaa0003", COUNTRY, person="AK")
    bench.pieces(10)
    bench.now, bench.began = (at + timedelta(minutes=30) for at in (bench.now, bench.began))
    bench.pieces(10)
    bench.end()
    asked = questions(read(store, tmp_path))

    assert {"repeated", "clock stepped"} == {each.flag.kind.value for each in asked}
    assert "batch aaaa0003" in {each.of for each in asked}


def test_an_honest_record_is_asked_nothing(store: MemoryStore, tmp_path: Path) -> None:
    write_days(store)

    assert () == questions(read(store, tmp_path))


def test_a_large_journal_is_verified_in_part_and_says_so(
    store: MemoryStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_days(store)
    whole = read(store, tmp_path).proof
    monkeypatch.setattr(evidence, "WHOLE_UP_TO", 100)
    part = read(store, tmp_path, run="cccc0001").proof

    assert ("yes, all", "in part") == (whole.answer, part.answer)
    assert "Lines 108 to 148 follow from each other" in part.verified
    assert "journal verify" in part.verified


def test_there_is_a_cover_a_page_of_first_cuts_and_one_a_batch(
    store: MemoryStore, tmp_path: Path
) -> None:
    write_days(store)
    pages = dossier_pages(read(store, tmp_path))
    alone = dossier_pages(read(store, tmp_path, run="aaaa0001"))

    assert [0, 1, 1, 1, 1] == [len(page.charts) for page in pages]
    assert [0, 1] == [len(page.charts) for page in alone]
    texts = [str(page.page) for page in pages]
    assert "second mix made with 1 % less water" in texts[2]
    assert "No reaction is noted." in texts[4]
    assert "second mix made with 1 % less water" in " ".join(pages[2].charts[0].remarks)
    assert "it fell on the floor" in texts[2]
    assert "the scale was silent" in texts[2]


def test_every_number_of_a_page_names_its_lines(store: MemoryStore, tmp_path: Path) -> None:
    write_days(store)
    cover, cuts, *batches = (page.page for page in dossier_pages(read(store, tmp_path)))

    assert cover.as_of == cuts.as_of == "as of line 148, head " + store.head().digest[:16]
    assert ["lines 2 to 47", "lines 51 to 97", "lines 109 to 147"] == [
        page.as_of.partition(";")[0] for page in batches
    ]


def test_a_text_does_no_more_than_show_itself(store: MemoryStore, tmp_path: Path) -> None:
    bench = Bench(store)
    name = "Rye\u202e\x1b[2J\x07 <i>{{ 7 * 7 }}</i> #set"
    bench.begin("aaaa0001", replace(COUNTRY, name=name), person="AK")
    bench.pieces(10)
    bench.end()
    pages = dossier_pages(read(store, tmp_path))
    text = dossier_html(
        [(each.page, figures_of(each, UTC, f"p{place}")) for place, each in enumerate(pages)]
    )

    assert "Rye??[2J? &lt;i&gt;{{ 7 * 7 }}&lt;/i&gt; #set" in text
    assert all(letter.isprintable() for letter in text if letter != "\n")


def test_a_folder_is_known_by_its_slash_or_by_being_there(tmp_path: Path) -> None:
    for out in (f"{tmp_path}/new/", str(tmp_path)):
        found = dossier_files.outputs_from(out, None)

        assert (None, "") == (found.file, found.form)
        assert found.raw is not None
