"""``record``: bytes of a scale with their arrival times, one line each, never over a file."""

from __future__ import annotations

import math
import sys
import threading
import time
from contextlib import suppress
from datetime import UTC, datetime
from queue import SimpleQueue
from typing import TYPE_CHECKING, Self

from weighstation.acquire.recording import Arrival, Header, encode_arrival, encode_header
from weighstation.errors import JournalFullError, SpecificationError
from weighstation.station.commands.batches.resume import last_promise
from weighstation.station.commands.shop.home import Home
from weighstation.station.devices.opening import find

if TYPE_CHECKING:
    from pathlib import Path
    from types import TracebackType

    from weighstation.acquire import Recipe
    from weighstation.station.ports import Arrival as Came
    from weighstation.station.ports import Port

READ_S = 0.5


def header_of(url: str, descriptor: bytes | None, recipe: Recipe) -> Header:
    """Return the header of a recording that begins now.

    Parameters
    ----------
    url : str
        Of the port.
    descriptor : bytes or None
        Of a scale that sends reports.
    recipe : Recipe
        What was learned of the scale before, so that a replay reads it alike.

    Returns
    -------
    Header
    """
    return Header(url, started=datetime.now(UTC), descriptor=descriptor, recipe=recipe)


class RecordingFile:
    """A recording being written, each line flushed, so that a power cut costs one line at most.

    Parameters
    ----------
    path : Path
        Must not exist yet.
    header : Header

    Raises
    ------
    SpecificationError
        If the file exists, or its folder does not.
    JournalFullError
        If it cannot be written.
    """

    def __init__(self, path: Path, header: Header) -> None:
        self.path = path
        try:
            self._file = path.open("x", encoding="utf-8")
        except FileExistsError as exc:
            raise SpecificationError(
                f"There is a file '{path}' already.", hint="Choose another name for the recording."
            ) from exc
        except (FileNotFoundError, NotADirectoryError) as exc:
            raise SpecificationError(
                f"There is no folder '{path.parent}' to put the recording into.",
                hint="Make it first, or choose another place for the recording.",
            ) from exc
        except OSError as exc:
            raise self._full(exc) from exc
        self._line(encode_header(header))

    def write(self, arrival: Came) -> None:
        """Write one arrival.

        Parameters
        ----------
        arrival : Arrival

        Raises
        ------
        JournalFullError
            If the disk refuses.
        """
        self._line(encode_arrival(Arrival(arrival.t_s, arrival.data)))

    def close(self) -> None:
        """Let go of the file; what it still holds is a line that was refused before."""
        with suppress(OSError):
            self._file.close()

    def _line(self, line: str) -> None:
        try:
            self._file.write(line + "\n")
            self._file.flush()
        except OSError as exc:
            raise self._full(exc) from exc

    def _full(self, exc: OSError) -> JournalFullError:
        return JournalFullError(
            f"The recording '{self.path}' cannot be written"
            f" ({(exc.strerror or str(exc)).lower()}).",
            hint="Choose another place for it.",
        )


class RecordingThread:
    """Writes a recording beside a batch, so that a slow disk delays nothing.

    Parameters
    ----------
    file : RecordingFile

    Attributes
    ----------
    failure : JournalFullError or None
        Why it stopped writing; the batch goes on.
    """

    def __init__(self, file: RecordingFile) -> None:
        self.failure: JournalFullError | None = None
        self._file = file
        self._queue: SimpleQueue[Came | None] = SimpleQueue()
        self._thread = threading.Thread(target=self._run, name="recording", daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        exc: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._queue.put(None)
        self._thread.join()
        self._file.close()
        if self.failure:
            sys.stderr.write(f"{self.failure.sentence}\n")

    def keep(self, arrival: Came) -> None:
        """Take an arrival to be written; never waits.

        Parameters
        ----------
        arrival : Arrival
        """
        if self.failure is None:
            self._queue.put(arrival)

    def _run(self) -> None:
        while (arrival := self._queue.get()) is not None:
            try:
                self._file.write(arrival)
            except JournalFullError as exc:
                self.failure = exc
                return


def run_record(file: Path, *, port: str | None, seconds: float | None, home: Path | None) -> int:
    """Record a scale until a time is up, the port ends or Ctrl-C.

    Parameters
    ----------
    file : Path
    port : str or None
        URL; None for the scale used last.
    seconds : float, seconds, or None
        How long; None for until it is stopped.
    home : Path or None

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If no scale is named, the time is no number, the file exists or its folder does not.
    ScaleError
        If the scale cannot be opened or is lost.
    JournalFullError
        If the disk refuses.
    """
    if seconds is not None and not math.isfinite(seconds):
        raise SpecificationError(
            "--seconds must be a number, 0 or more.", hint="Leave it out to record until Ctrl-C."
        )
    last = None if port is not None else last_promise(Home.find(home).journal_path)
    url = last.scale if last else port
    if url is None:
        raise SpecificationError(
            "No scale is named, and none was used before.",
            hint="Give one with --port, as in --port serial:///dev/ttyUSB0.",
        )
    began_s = time.monotonic()
    finding = find(url, Home.find(home).profiles())
    source = finding.open(lambda: time.monotonic() - began_s)
    try:
        target = RecordingFile(file, header_of(url, source.descriptor, finding.recipe))
        count = 0
        try:
            count = _copy(source, target, seconds)
        finally:
            target.close()
    finally:
        source.close()
    arrivals = "1 arrival is" if count == 1 else f"{count} arrivals are"
    sys.stderr.write(f"{arrivals} in '{file}'.\n")
    return 0


def _copy(source: Port, target: RecordingFile, seconds: float | None) -> int:
    """Copy until there is nothing more to copy; return how many arrivals there were."""
    count = 0
    until_s = None if seconds is None else time.monotonic() + seconds
    try:
        while not source.ended and (until_s is None or time.monotonic() < until_s):
            arrival = source.read(READ_S)
            if arrival is not None:
                target.write(arrival)
                count += 1
    except KeyboardInterrupt:
        sys.stderr.write("\n")
    return count
