"""Recordings as they are written, and a runner whose parts break."""

from __future__ import annotations

import time
from contextlib import suppress
from functools import partial
from pathlib import Path

import pytest

from weighstation.acquire import OPEN, Header
from weighstation.acquire.recording import decode
from weighstation.errors import JournalFullError, SpecificationError
from weighstation.journal import RunStarted
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.bench.batch import Batch
from weighstation.station.bench.loop import BenchPlan
from weighstation.station.bench.runner import Runner, Scale
from weighstation.station.bench.session import Session
from weighstation.station.bench.session_plan import SessionPlan
from weighstation.station.bench.standing import Standing
from weighstation.station.bench.timeline import VirtualTime
from weighstation.station.commands.scales.record import RecordingFile, RecordingThread, header_of
from weighstation.station.ports import Arrival
from weighstation.station.stores import MemoryStore

LIMITS = Limits(740_000, 8_000, 8_000)
PROMISE = RunStarted(
    run="r1",
    product=Product("Country loaf", LIMITS),
    way=Way.SINGLE,
    lifted=LiftedPolicy.GUESS,
    scale="broken://",
    software="test",
)


class BrokenPort:
    """A port with a fault of ours in it."""

    descriptor = None

    name = "broken"
    ended = False

    def read(self, timeout_s: float) -> Arrival | None:
        raise ZeroDivisionError(timeout_s)

    def close(self) -> None:
        pass


def test_recording_holds_what_came_as_it_came(tmp_path: Path) -> None:
    path = tmp_path / "taken.jsonl"
    with RecordingThread(
        RecordingFile(path, header_of("serial:///dev/ttyUSB0", None, OPEN))
    ) as thread:
        thread.keep(Arrival(0.25, b"S +00651 g\r\n"))
        thread.keep(Arrival(0.25, b"\x02\xff"))
    recording = decode(path.read_text().splitlines())

    assert [(0.25, b"S +00651 g\r\n"), (0.25, b"\x02\xff")] == [
        (arrival.t_s, arrival.data) for arrival in recording.arrivals
    ]
    assert recording.header is not None
    assert "serial:///dev/ttyUSB0" == recording.header.source
    assert recording.header.started is not None
    assert () == recording.warnings


def test_recording_is_never_written_over_a_file(tmp_path: Path) -> None:
    (tmp_path / "there.jsonl").write_text("")

    with pytest.raises(SpecificationError, match="already"):
        RecordingFile(tmp_path / "there.jsonl", Header())


@pytest.mark.parametrize("place", ["no/taken.jsonl", "file/taken.jsonl"])
def test_recording_in_a_folder_that_is_not_there_is_bad_usage(tmp_path: Path, place: str) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(SpecificationError, match="There is no folder"):
        RecordingFile(tmp_path / place, Header())


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_recording_that_cannot_be_written_is_a_full_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with suppress(OSError), Path("/dev/full").open("w", encoding="utf-8") as full:
        monkeypatch.setattr(Path, "open", lambda *_, **__: full)
        with pytest.raises(JournalFullError, match="cannot be written"):
            RecordingFile(tmp_path / "taken.jsonl", Header())


def test_disk_that_refuses_a_recording_does_not_stop_the_batch(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    file = RecordingFile(tmp_path / "taken.jsonl", Header())

    def refuse(_: Arrival) -> None:
        raise JournalFullError("The disk is full.")

    monkeypatch.setattr(file, "write", refuse)
    with RecordingThread(file) as thread:
        for _ in range(3):
            thread.keep(Arrival(0.0, b"x"))

    assert "The disk is full.\n" == capsys.readouterr().err


def test_reader_that_dies_is_heard_of() -> None:
    """A fault of ours must end the batch, not leave a panel that never changes."""
    store = MemoryStore(journal_id="0" * 32, station="bench")
    runner = Runner(
        partial(
            Session,
            SessionPlan(BenchPlan(LIMITS), "Country loaf"),
            Batch(PROMISE, VirtualTime()),
            Standing(),
        ),
        Scale("broken://", BrokenPort(), BrokenPort),
        store,
    )
    runner.start()
    until_s = time.monotonic() + 60
    while not runner.is_over:
        assert time.monotonic() < until_s
        time.sleep(0.01)

    with pytest.raises(ZeroDivisionError):
        runner.close()
