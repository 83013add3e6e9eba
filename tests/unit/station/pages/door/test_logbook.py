"""The request log stays small and private, and never stands in the way."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING

from weighstation.station.pages.door import logbook
from weighstation.station.pages.door.logbook import OLDER_FILES, kept

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def test_a_line_says_when_who_what_and_how_it_went(tmp_path: Path) -> None:
    with kept(tmp_path / "log") as book:
        book.note("192.0.2.7", 'tablet "two"', "GET", "/bench", 200)
    time, line = (tmp_path / "log").read_text().split(" ", 1)

    assert '192.0.2.7 "tablet \\"two\\"" GET /bench 200\n' == line
    assert (20, "T", "Z") == (len(time), time[10], time[-1])


def test_it_keeps_a_few_files_of_a_size_for_its_owner_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(logbook, "MOST_BYTES", 1000)
    with kept(tmp_path / "log") as book:
        for _ in range(200):
            book.note("192.0.2.7", "tablet", "GET", "/bench", 200)
    files = sorted(tmp_path.iterdir())

    assert ["log", *(f"log.{older}" for older in range(1, OLDER_FILES + 1))] == [
        file.name for file in files
    ]
    assert all(file.stat().st_size <= 1000 for file in files)
    assert {0o600} == {file.stat().st_mode & 0o777 for file in files}


def test_what_a_library_complains_of_goes_there_and_not_to_the_screen(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with kept(tmp_path / "log"):
        logging.getLogger("uvicorn.error").warning("Invalid HTTP request received.")
        logging.getLogger("asyncio").error("socket.accept() out of system resource")
    log = (tmp_path / "log").read_text()

    assert 2 == len(log.splitlines())
    assert "" == capsys.readouterr().err
    assert [] == logging.getLogger("uvicorn.error").handlers


def test_a_log_that_cannot_be_written_is_passed_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "log").mkdir()
    with kept(tmp_path / "log") as book:
        book.note("192.0.2.7", "", "GET", "/bench", 200)

    assert "" == capsys.readouterr().err
