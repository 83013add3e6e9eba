"""A journal of an earlier schema is read as it is, and brought up when a station writes it."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from weighstation.errors import ChainBrokenError
from weighstation.journal import Kind, Line, Sums, codec
from weighstation.station.stores import open_for_reading, open_for_writing

FIXTURES = Path(__file__).parents[2] / "fixtures" / "journals"
VERSION_1, VERSION_2 = FIXTURES / "version-1.sqlite", FIXTURES / "version-2.sqlite"
HEAD = "5425655824bc39e3"  # as its sheet said when it was made
HEAD_2 = "ac2907aaa9c2efcd"


@pytest.fixture
def older(tmp_path: Path) -> Path:
    return Path(shutil.copy(VERSION_1, tmp_path / "journal.sqlite"))


def version(path: Path) -> int:
    with closing(sqlite3.connect(path)) as raw:
        return int(raw.execute("PRAGMA user_version").fetchone()[0])


def cut(path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        sql = "SELECT sql FROM sqlite_schema WHERE name = 'entry_is_never_deleted'"
        (guard,) = raw.execute(sql).fetchone()
        raw.execute("DROP TRIGGER entry_is_never_deleted")
        raw.execute("DELETE FROM entry WHERE seq > 5")
        raw.execute(guard)


def test_it_holds_and_reading_it_changes_nothing(older: Path) -> None:
    before = older.read_bytes()
    with closing(open_for_reading(older)) as store:
        head = store.verify()

        assert (8, HEAD) == (head.seq, head.digest[:16])
        assert 6 == len(store.pieces(store.runs()[0].run))
    assert before == older.read_bytes()


def test_writing_it_brings_it_up_and_keeps_every_line(older: Path) -> None:
    with closing(open_for_reading(older)) as store:
        lines, dump = list(store.entries()), list(store.dump())
    with closing(open_for_writing(older, journal_id="x", station="y")) as store:
        assert lines == list(store.entries())
        assert dump == list(store.dump())
        assert HEAD == store.verify().digest[:16]
        store.append(Line(Kind.NOTED, codec.noted(1, "brought up"), 0))
        assert 9 == store.verify().seq

    assert 3 == version(older)


def test_once_brought_up_a_tail_that_is_cut_off_is_missed(older: Path) -> None:
    open_for_writing(older, journal_id="x", station="y").close()
    cut(older)

    with (
        closing(open_for_reading(older)) as store,
        pytest.raises(ChainBrokenError, match="3 lines are missing at the end"),
    ):
        store.verify()


def test_cut_before_that_its_totals_still_disagree(older: Path) -> None:
    cut(older)

    with (
        closing(open_for_reading(older)) as store,
        pytest.raises(ChainBrokenError, match="totals of the run that starts with line 1 "),
    ):
        store.verify()


def test_a_file_that_only_counted_its_cells_adds_them_up_when_it_is_read(tmp_path: Path) -> None:
    """Piece 2 was struck out; the sums of the cells are those of the run, which stood there."""
    path = Path(shutil.copy(VERSION_2, tmp_path / "journal.sqlite"))
    with closing(open_for_reading(path)) as store:
        head, dump = store.verify(), list(store.dump())
        (run,) = store.runs()
        cells = store.tally(run.run)
        (entry, *_) = store.entries()

    assert (10, HEAD_2) == (head.seq, head.digest[:16])
    assert run.kept == sum(cells.values(), Sums())
    assert 6 == run.kept.n
    assert entry.t_utc_ms == run.began_utc_ms

    open_for_writing(path, journal_id="x", station="y").close()
    with closing(open_for_reading(path)) as store:
        assert dump == list(store.dump())
        assert head == store.verify()
        assert (run,) == store.runs_begun(run.began_utc_ms, run.began_utc_ms + 1)
    assert 3 == version(path)


def test_a_file_that_lost_its_totals_is_brought_up_and_rebuilt(tmp_path: Path) -> None:
    path = Path(shutil.copy(VERSION_2, tmp_path / "journal.sqlite"))
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        raw.execute("DROP TABLE run")
    with closing(open_for_writing(path, journal_id="x", station="y")) as store:
        assert () == store.runs()
        store.rebuild()
        assert HEAD_2 == store.verify().digest[:16]
