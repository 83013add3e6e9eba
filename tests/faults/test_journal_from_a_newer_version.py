"""A journal that a newer weighstation wrote is answered in one sentence and left as it is."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import SchemaTooNewError
from weighstation.station.stores import open_for_reading, open_for_writing

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def newer(tmp_path: Path) -> Path:
    path = tmp_path / "journal.sqlite"
    open_for_writing(path, journal_id="ab" * 16, station="bench-1").close()
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("PRAGMA user_version = 4")
    return path


def test_reading_it_is_refused(newer: Path) -> None:
    with pytest.raises(SchemaTooNewError, match="newer weighstation") as caught:
        open_for_reading(newer)

    assert caught.value.exit_code == 4
    assert "\n" not in caught.value.sentence
    assert "Install the newest weighstation" in caught.value.sentence


def test_writing_it_is_refused_and_changes_nothing(newer: Path) -> None:
    before = newer.read_bytes()

    with pytest.raises(SchemaTooNewError):
        open_for_writing(newer, journal_id="ab" * 16, station="bench-1")

    assert before == newer.read_bytes()


def test_the_lock_is_free_again_after_the_refusal(newer: Path) -> None:
    for _ in range(2):
        with pytest.raises(SchemaTooNewError):
            open_for_writing(newer, journal_id="ab" * 16, station="bench-1")
