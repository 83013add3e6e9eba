"""Of more batches than anybody reads, weeks are told, and some batches have a page."""

from __future__ import annotations

import json
from datetime import UTC, timedelta
from typing import TYPE_CHECKING

import pytest
from audited_bench import CHECK, COUNTRY, FAILED, RYE, Bench, write_days

from weighstation.journal import Kind
from weighstation.report.dossier import Evidence, Scope, many
from weighstation.report.dossier.open_points import open_points
from weighstation.report.dossier.pages import dossier_pages
from weighstation.report.dossier.record import dossier_record
from weighstation.report.page.page import Grid, Page
from weighstation.report.page.tables import SheetTable
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from pathlib import Path

EVERYTHING = Meant(product="Country loaf")


@pytest.fixture
def store() -> MemoryStore:
    return MemoryStore(journal_id="0f" * 16, station="bench-1")


@pytest.fixture(autouse=True)
def _few_are_many(monkeypatch: pytest.MonkeyPatch) -> None:
    """More than four of anything are too many to be told one by one."""
    monkeypatch.setattr(many, "MOST_TOLD", 4)
    monkeypatch.setattr("weighstation.report.dossier.pages.MOST_TOLD", 4)


def read(store: MemoryStore, folder: Path, meant: Meant = EVERYTHING) -> Evidence:
    return evidence_of(store, Home(folder), meant, Scope("test", UTC), Patience(60.0))


def part(page: Page, title: str) -> Grid | SheetTable:
    return next(each for each in page.parts if each.title == title)


def three_weeks(store: MemoryStore) -> None:
    """Write nine batches in three weeks; the last scale check finds the scale unfit."""
    bench = Bench(store)
    for week in range(3):
        for day in (0, 1, 2):
            bench.day(4)
            bench.now += timedelta(days=7 * week + day)
            bench.check()
            bench.begin(f"w{week}d{day}", COUNTRY, person="AK")
            bench.pieces(30)
            if (week, day) == (1, 1):
                bench.piece(kind=Kind.PIECE_LIFTED)
            if (week, day) == (0, 1):
                bench.signal()
            bench.end()
            bench.loaves(10, 653 if day else 640)
    bench.check(FAILED)


def test_kept_pieces_are_told_by_week_and_add_up(store: MemoryStore, tmp_path: Path) -> None:
    three_weeks(store)
    evidence = read(store, tmp_path)
    grid = part(dossier_pages(evidence)[0].page, "Country loaf: kept pieces")
    assert isinstance(grid, Grid)
    names = [row[0] for row in grid.rows]
    pieces = [int(row[grid.heads.index("Pieces")]) for row in grid.rows]

    assert ["2024-W10", "2024-W11", "2024-W12", "in all"] == names
    assert pieces[-1] == sum(pieces[:-1]) == evidence.kept.n == 270
    assert "--json has the figures of each" in grid.remark
    assert 9 == len(json.loads(json.dumps(dossier_record(evidence)))["batches"])


def test_pages_go_to_the_batches_with_most_to_explain(store: MemoryStore, tmp_path: Path) -> None:
    three_weeks(store)
    cover, cuts, *batches = (each.page for each in dossier_pages(read(store, tmp_path)))
    told = [page.title.rpartition(" ")[2] for page in batches]

    assert 4 == len(told)
    assert sorted(told) == told
    assert {"w1d1", "w2d2", "w0d0"} <= set(told)  # unresolved, doubtful, light loaves
    assert "The 4 of the 9 batches with the most to explain" in cover.cautions[-1]
    grid = part(cuts, "Country loaf: first cuts")
    assert isinstance(grid, Grid)
    assert ["2024-W10", "2024-W11", "2024-W12"] == [row[0] for row in grid.rows]


def test_checks_are_told_by_scale_and_those_that_failed_alone(
    store: MemoryStore, tmp_path: Path
) -> None:
    three_weeks(store)
    table = part(dossier_pages(read(store, tmp_path))[0].page, "Scale checks")
    assert isinstance(table, SheetTable)

    assert ["10 checks", f"Line {store.head().seq}"] == [row.label for row in table.rows]
    assert "9 fit, 1 not" == table.rows[0].said
    assert f"scale {CHECK.scale}, from 2024-03-04" in table.rows[0].note
    assert "at most 5.0 days apart" in table.rows[0].note


def test_lots_are_counted_and_those_that_do_not_pass_are_told(
    store: MemoryStore, tmp_path: Path
) -> None:
    three_weeks(store)
    page = dossier_pages(read(store, tmp_path))[0].page
    counts, failed = part(page, "Baked loaves"), part(page, "Baked loaves that do NOT pass")
    assert isinstance(counts, Grid)
    assert isinstance(failed, Grid)

    assert (("Country loaf", "9", "6", "3", "0"),) == counts.rows
    assert ["w0d0", "w1d0", "w2d0"] == [row[0] for row in failed.rows]


def test_what_is_open_of_many_batches_is_one_point(store: MemoryStore, tmp_path: Path) -> None:
    bench = Bench(store)
    bench.check()
    for number in range(5):
        bench.begin(f"aaaa000{number}", COUNTRY, person="AK")
        bench.pieces(6)
        bench.end()
        bench.loaves(10, 640)
    bench.check(FAILED)
    points = {row.label: row for row in open_points(read(store, tmp_path), ())}

    assert "30 pieces" == points["Doubtful"].said
    assert points["Doubtful"].note.startswith("in 5 batches, weigh its loaves: aaaa0000")
    assert "5 lots" == points["Baked loaves"].said


def test_few_batches_are_told_one_by_one(store: MemoryStore, tmp_path: Path) -> None:
    write_days(store)
    cover, *_, last = (
        each.page for each in dossier_pages(read(store, tmp_path, Meant(product=RYE.name)))
    )

    assert "cccc0001" in last.title
    assert 3 == len(cover.cautions)
