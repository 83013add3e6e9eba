"""The threads of a bench: reader, loop and writer; whoever shows the batch runs on the main one.

``reader -> queue -> loop (publishes a snapshot) -> writer -> acknowledged lines -> loop``.
Nothing that is slow (a disk, a screen, a pipe) stands between the scale and a cue.
"""

from __future__ import annotations

import sys
import threading
import time
from dataclasses import dataclass
from queue import Empty, SimpleQueue
from typing import TYPE_CHECKING, Any, Generic, Protocol, TypeVar

from weighstation.acquire import OPEN
from weighstation.errors import (
    JournalFullError,
    ScaleAbsentError,
    ScaleError,
    WeighstationError,
)
from weighstation.station.bench.messages import (
    Durable,
    LinkBack,
    LinkLost,
    PortEnded,
    Refused,
    Resumed,
    Stop,
    Tick,
)
from weighstation.station.bench.pace import Pace, speed_of
from weighstation.station.bench.silence import TICK_S
from weighstation.station.bench.writer import Writer
from weighstation.station.ports import Arrival

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.acquire import Recipe
    from weighstation.journal import Line
    from weighstation.station.bench.backlog import Happened
    from weighstation.station.ports import Port
    from weighstation.station.stores import Store

SWITCH_S = 0.0005
"""With one busy thread in the process, this cut the slowest hundredth from 21 to 3 ms."""
READ_S = 0.5
LOOK_EVERY_S = 0.2
"""A lost scale is looked for so often: a look in vain costs a few milliseconds."""
MOST_WAITING = 512
"""A recording played without pauses may run so many arrivals ahead of the loop."""


@dataclass(frozen=True, slots=True)
class Scale:
    """The port in use and how to open it again.

    Parameters
    ----------
    url : str
    port : Port
        Open.
    reopen : callable
        Gives the port anew after its link was lost, or raises.
    recipe : Recipe
        What was learned of it before.
    keep : callable or None
        Is given every arrival as it comes, on the reader's thread; must not wait.
    began_s : float, seconds, or None
        Where the port's clock began, on `time.monotonic`; None where it begins with the first line.
    """

    url: str
    port: Port
    reopen: Callable[[], Port]
    recipe: Recipe = OPEN
    keep: Callable[[Arrival], None] | None = None
    began_s: float | None = None


MessageT_contra = TypeVar("MessageT_contra", contravariant=True)
PictureT_co = TypeVar("PictureT_co", covariant=True)


class Taking(Protocol[MessageT_contra, PictureT_co]):
    """A session: what is weighed, and what is made of it."""

    @property
    def done(self) -> bool:
        """Whether it is over and every line that can be written is."""

    @property
    def failure(self) -> WeighstationError | None:
        """Why it had to stop."""

    @property
    def snapshot(self) -> PictureT_co:
        """The newest picture."""

    def take(self, message: MessageT_contra) -> None:
        """Take the next message in, and draw a new picture."""


SessionT_co = TypeVar("SessionT_co", bound=Taking[Any, Any], covariant=True)


class Runner(Generic[SessionT_co]):
    """One batch, or the loaves of one, on its threads.

    Parameters
    ----------
    session_of : callable
        Makes the session, of its outlets.
    scale : Scale
        Closed when the batch is over.
    store : Store
        Used by nobody else until the batch is over; stays open.

    Attributes
    ----------
    session : Taking
        Owned by the loop until `close`; its ``snapshot`` may be read at any time.
    lines : SimpleQueue of str or None
        Lines of events as they come; None ends them.
    counted_before : int
        Pieces that earlier runs of the batch have counted.
    on_turn : callable or None
        Called on the loop's thread whenever it has drawn a picture; set before `start`. It must
        neither wait nor fail.
    """

    def __init__(
        self, session_of: Callable[[Runner[SessionT_co]], SessionT_co], scale: Scale, store: Store
    ) -> None:
        self.session = session_of(self)
        self.lines: SimpleQueue[str | None] = SimpleQueue()
        self.counted_before: int = self.session.snapshot.counted
        self.unwritten: tuple[Line, ...] = ()
        self.on_turn: Callable[[], None] | None = None
        self._scale = scale
        self._pace = Pace(speed_of(scale.url), scale.began_s)
        self._inbox: SimpleQueue[Any] = SimpleQueue()
        self._room = threading.Semaphore(MOST_WAITING)
        self._closing = threading.Event()
        self._fault: Exception | None = None
        self._writer = Writer(store, on_refused=self._refused, on_resumed=self._resumed)
        self._loop = threading.Thread(target=self._run_loop, name="loop", daemon=True)
        self._reader = threading.Thread(target=self._run_reader, name="reader", daemon=True)

    def start(self) -> None:
        """Start reading and weighing."""
        sys.setswitchinterval(SWITCH_S)
        self._loop.start()
        self._reader.start()

    @property
    def is_over(self) -> bool:
        """Whether the batch has come to its end."""
        return not self._loop.is_alive()

    @property
    def behind(self) -> int:
        """How many lines are not on the disk yet."""
        return self._writer.waiting

    def tell(self: Runner[Taking[MessageT_contra, object]], message: MessageT_contra) -> None:
        """Give the loop a message, such as a key that was pressed; never waits.

        Parameters
        ----------
        message : Message or LoafMessage
            One that its session takes.
        """
        self._inbox.put(message)

    def close(self) -> None:
        """End the threads, whatever state they are in, and let go of the scale.

        Raises
        ------
        WeighstationError
            Why the batch had to stop, or that lines could not be written.
        """
        self._inbox.put(Stop())
        self._loop.join()
        self._closing.set()
        self._reader.join()
        refusal = self._writer.refusal
        self.unwritten = self._writer.close()
        if self._fault:
            raise self._fault
        if self.session.failure:
            raise self.session.failure
        if self.unwritten and refusal:
            raise _never_counted(len(self.unwritten), refusal)

    # ---- what the session has done for it

    def write(self, line: Line, outcome: Happened) -> None:
        """Have a line written; it comes back as `Durable`.

        Parameters
        ----------
        line : Line
        outcome : Outcome, LoafOutcome or None
        """
        self._writer.submit(
            line.kind,
            line.body,
            line.t_utc_ms,
            lambda entry: self._inbox.put(Durable(entry, outcome)),
        )

    def say(self, line: str) -> None:
        """Pass on a line of events.

        Parameters
        ----------
        line : str
        """
        self.lines.put(line)

    def pan_is_empty(self) -> None:
        """Let the store tidy up."""
        self._writer.checkpoint()

    def _refused(self, error: WeighstationError) -> None:
        self._inbox.put(Refused(error))

    def _resumed(self) -> None:
        self._inbox.put(Resumed())

    # ---- the loop

    def _run_loop(self) -> None:
        try:
            while not self.session.done:
                self._turn()
        except Exception as exc:  # noqa: BLE001 - a dead loop must be heard of, whatever killed it
            self._fault = exc
        finally:
            self._closing.set()
            self._room.release()
            self.lines.put(None)

    def _turn(self) -> None:
        try:
            message = self._inbox.get(timeout=TICK_S)
        except Empty:
            message = Tick(self._pace.now_s(time.monotonic()))
        self.session.take(message)
        if isinstance(message, Arrival):
            self._pace.heard(message.t_s, time.monotonic())
            self._room.release()
        if self.on_turn is not None:
            self.on_turn()

    # ---- the reader

    def _run_reader(self) -> None:
        try:
            self._read_on()
        except Exception as exc:  # noqa: BLE001 - a dead reader must be heard of, whatever killed it
            self._fault = exc
            self._inbox.put(Stop())

    def _read_on(self) -> None:
        port: Port | None = self._scale.port
        while port is not None and not self._closing.is_set():
            try:
                arrival = port.read(READ_S)
            except ScaleError as exc:
                port.close()
                port = self._open_again(exc)
                continue
            if arrival is not None:
                if self._scale.keep:
                    self._scale.keep(arrival)
                self._room.acquire()
                self._inbox.put(arrival)
            elif port.ended:
                self._inbox.put(PortEnded())
                break
        if port is not None:
            port.close()

    def _open_again(self, lost: ScaleError) -> Port | None:
        """Return the port, opened again; None when the batch is over first."""
        said = lost.sentence
        self._inbox.put(LinkLost(said))
        lost_s = time.monotonic()
        while not self._closing.wait(LOOK_EVERY_S):
            try:
                port = self._scale.reopen()
            except ScaleAbsentError:
                continue
            except WeighstationError as exc:
                if exc.sentence != said:
                    said = exc.sentence
                    self._inbox.put(LinkLost(said))
                continue
            self._inbox.put(LinkBack(time.monotonic() - lost_s))
            return port
        return None


def _never_counted(count: int, refusal: WeighstationError) -> JournalFullError:
    lines = "1 line" if count == 1 else f"{count} lines"
    return JournalFullError(
        f"{refusal} {lines} could not be written and did not count.", hint=refusal.hint
    )
