"""A full or read-only disk: said in one sentence, nothing counts, nothing is lost."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
import time
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from station_under_test import Station, steady_hands

from weighstation.errors import JournalFullError, WeighstationError
from weighstation.journal import Entry, Kind, Line, codec
from weighstation.quantities import grams
from weighstation.station.bench.writer import Writer
from weighstation.station.stores import open_for_reading, open_for_writing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from weighstation.station.stores import SqliteStore

PIECES = 60
WAIT_S = 60.0
"""Nobody waits so long: every wait is for a fact, and this is when to call it missing."""


def mounted(folder: Path, options: str) -> None:
    """Mount a small disk; without the right to, skip, but never where everything must run."""
    tool = shutil.which("mount")
    done = tool and subprocess.run(
        [tool, "-t", "tmpfs", "-o", options, "tmpfs", str(folder)], check=False, capture_output=True
    )
    if not done or done.returncode:
        reason = "mounting a small disk needs Linux and the administrator"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted(folder, "size=6m")
    yield folder
    # Lazily: a test that failed may hold a file open, and must not leave a disk behind.
    subprocess.run(["umount", "--lazy", str(folder)], check=True)


def _wait(is_so: Callable[[], bool]) -> None:
    for _ in range(round(WAIT_S / 0.005)):
        if is_so():
            return
        time.sleep(0.005)
    raise AssertionError("it did not come to pass")


def opened(disk: Path) -> SqliteStore:
    return open_for_writing(disk / "journal.sqlite", journal_id="ab" * 16, station="bench-1")


def note(about: int) -> Line:
    return Line(Kind.NOTED, codec.noted(about, "so that the disk fills up " * 40), about)


def filled(disk: Path) -> Path:
    """Fill what is left of the disk, as another program would."""
    ballast = disk / "ballast"
    with ballast.open("wb", buffering=0) as file:
        try:
            while file.write(b"\0" * 4096):
                pass
        except OSError:
            return ballast
    raise AssertionError("the disk did not fill up")


def written_until_full(store: SqliteStore, start: int) -> JournalFullError:
    """Write notes until the disk refuses one, and return what it said."""
    try:
        for about in range(start, 5000):
            store.append(note(about))
    except JournalFullError as error:
        return error
    raise AssertionError("the disk took every line")


def test_a_full_disk_is_said_in_one_sentence_and_takes_half_a_line_never(disk: Path) -> None:
    with closing(opened(disk)) as store:
        store.append(note(1))
        filled(disk)
        error = written_until_full(store, start=2)

        assert "full" in error.sentence
        assert "\n" not in error.sentence
        assert error.exit_code == 4
        assert list(range(1, store.head().seq + 1)) == [line.t_utc_ms for line in store.entries()]
        assert store.head() == store.verify()


def test_lines_go_on_in_order_once_space_is_freed(disk: Path) -> None:
    with closing(opened(disk)) as store:
        store.append(note(1))
        ballast = filled(disk)
        written_until_full(store, start=2)
        last = store.head().seq
        ballast.unlink()

        assert last + 1 == store.append(note(last + 1)).seq
        assert last + 1 == store.verify().seq


def test_the_journal_is_whole_when_it_is_opened_again_on_the_full_disk(disk: Path) -> None:
    store = opened(disk)
    filled(disk)
    written_until_full(store, start=1)
    last = store.head().seq
    store.close()

    with closing(open_for_reading(disk / "journal.sqlite")) as reader:
        assert last == reader.verify().seq


def test_a_new_journal_on_a_full_disk_is_refused_in_one_sentence(disk: Path) -> None:
    ballast = filled(disk)

    with pytest.raises(JournalFullError) as caught:
        opened(disk)

    assert caught.value.exit_code == 4
    ballast.unlink()
    opened(disk).close()


def test_the_writer_stops_counting_and_goes_on_when_there_is_room(disk: Path) -> None:
    durable: list[int] = []
    refused, resumed, done = threading.Event(), threading.Event(), threading.Event()

    def on_durable(entry: Entry) -> None:
        durable.append(entry.t_utc_ms)
        if entry.t_utc_ms == 300:
            done.set()

    def on_refused(error: WeighstationError) -> None:
        assert isinstance(error, JournalFullError)
        refused.set()

    store = opened(disk)
    ballast = filled(disk)
    writer = Writer(store, on_refused=on_refused, on_resumed=resumed.set, retry_s=0.05)
    for about in range(1, 301):
        writer.submit(Kind.NOTED, note(about).body, about, on_durable)
    assert refused.wait(WAIT_S)
    stuck = len(durable)
    assert stuck < 300
    ballast.unlink()
    finished = done.wait(WAIT_S)
    left = writer.close()

    assert finished, f"{len(durable)} of 300 written, {writer.refusal}"
    assert () == left
    assert resumed.is_set()
    assert list(range(1, 301)) == durable == [entry.t_utc_ms for entry in store.entries()]
    store.close()


def test_a_bench_on_a_full_disk_cues_on_and_counts_only_what_is_kept(
    disk: Path, tmp_path: Path
) -> None:
    """The disk fills up once three pieces count; what was allotted before may still take some."""
    truth = steady_hands(tmp_path / "recording.jsonl", pieces=PIECES, seed=5)
    station = Station(disk / "home", f"replay://{truth.path}?speed=100", {})
    _wait(lambda: len(station.pieces) >= 3 or not station.is_running)
    filled(disk)
    code = station.gone(WAIT_S)

    assert code == 4
    alarm, last = station.complaint.splitlines()
    assert "Until then no piece is counted" in alarm
    assert "disk is full" in last
    assert "did not count" in last
    assert 3 <= len(station.pieces) < PIECES
    assert {event["piece"] for event in station.events if event["event"] == "cue"} == set(
        range(1, PIECES + 1)
    )
    with closing(open_for_reading(disk / "home" / "journal.sqlite")) as reader:
        reader.verify()
        run = reader.last_run()
        assert run is not None
        kept = {piece.number: grams(piece.final_mg) for piece in reader.pieces(run.run)}
    assert station.pieces == kept


def test_a_read_only_home_is_answered_in_one_sentence(disk: Path) -> None:
    with closing(opened(disk)) as store:
        store.append(note(1))
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)

    with pytest.raises(JournalFullError, match="cannot be") as caught:
        opened(disk)
    with pytest.raises(JournalFullError, match="cannot be"):
        open_for_writing(disk / "new" / "j.sqlite", journal_id="ab" * 16, station="bench-1")

    assert caught.value.exit_code == 4
    assert "\n" not in caught.value.sentence


def test_a_journal_on_a_read_only_disk_can_still_be_read(disk: Path) -> None:
    with closing(opened(disk)) as store:
        store.append(note(1))
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)

    with closing(open_for_reading(disk / "journal.sqlite")) as reader:
        assert reader.verify().seq == 1


def test_a_statement_on_a_full_disk_is_refused_and_leaves_what_was_there(
    disk: Path, tmp_path: Path
) -> None:
    home = ("--home", str(tmp_path / "home"))
    band = ("--target", "740", "--under", "8", "--over", "8")
    port = ("--port", "simulated://?seed=1&pieces=3&speed=max")
    run = (sys.executable, "-m", "weighstation")
    subprocess.run([*run, "divide", *port, *band, "--events", *home], check=True)
    out = disk / "week.json"
    out.write_text("old")
    filled(disk)
    words = ("giveaway", "--out", str(out), *home)
    result = subprocess.run([*run, *words], check=False, capture_output=True, text=True)

    assert (4, "") == (result.returncode, result.stdout)
    assert 1 == len(result.stderr.splitlines())
    assert "no space left on device" in result.stderr
    assert "old" == out.read_text()
    assert ["ballast", "week.json"] == sorted(path.name for path in disk.iterdir())
