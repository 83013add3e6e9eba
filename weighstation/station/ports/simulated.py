"""A simulated scale at the far end of a real line: a pseudo-terminal, or a socket."""

from __future__ import annotations

import os
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.simulate import Bench, Habits, HandsSpec, ScaleSpec
from weighstation.simulate.check_loads import check_loads
from weighstation.specification import MOST_G, Way
from weighstation.station.ports.address import Address
from weighstation.station.ports.network import open_tcp
from weighstation.station.ports.played import PlayedLine
from weighstation.station.ports.port import Arrival
from weighstation.station.ports.serial_line import open_serial

if TYPE_CHECKING:
    from weighstation.station.ports.port import Clock, Port

ENDLESS = 1_000_000
_FULL_S = 0.01


def simulated_bench(address: Address) -> Bench:
    """Return the scale and hands that a URL describes.

    Parameters
    ----------
    address : Address
        Options ``seed`` (1), ``pieces`` (as many as are wanted), ``target`` (740), ``under`` and
        ``over`` (8) in grams, ``division`` (1) in grams, ``rate`` (10) in lines a second,
        ``bias`` (0.004) and ``spread`` (0.02) of first cuts as fractions, ``way`` (single);
        as shares from 0 to 1 ``lifts`` (corrections made off the pan), ``boards`` (pieces boarded
        out of band), ``doubles`` (two pieces at once), ``knocks``, all 0.

    Returns
    -------
    weighstation.simulate.Bench

    Raises
    ------
    SpecificationError
        If an option makes no sense.
    """
    scale = _scale(address)
    hands = HandsSpec(
        target_g=address.number("target", 740, least=1),
        under_g=address.number("under", 8),
        over_g=address.number("over", 8),
        bias=address.number("bias", 0.004, least=-0.5),
        spread=address.number("spread", 0.02),
        habits=Habits(
            lifts=address.number("lifts", 0),
            boards_anyway=address.number("boards", 0),
            doubles=address.number("doubles", 0),
            knocks=address.number("knocks", 0),
        ),
        way=Way(address.choice("way", "single", tuple(way.value for way in Way))),
    )
    pieces = int(address.number("pieces", ENDLESS, least=1))
    seed = int(address.number("seed", 1))
    return Bench(scale, hands, pieces=pieces, seed=seed, scene="simulated")


def _scale(address: Address) -> ScaleSpec:
    return ScaleSpec(
        division=f"{address.number('division', 1, least=0.001):g}",
        rate_hz=address.number("rate", 10, least=1),
    )


def _coming(address: Address) -> Iterator[tuple[float, bytes]]:
    """Return what comes: a morning's pieces, or the loads of a check where these are given."""
    if "loads" not in address.options:
        return ((chunk.t_s, chunk.data) for chunk in simulated_bench(address).arrivals())
    scale = _scale(address)
    loads_g = [_load_g(text) for text in address.options["loads"].split(",")]
    seed = int(address.number("seed", 1))
    return ((line.t_s, line.data) for line in check_loads(scale, loads_g, seed=seed))


def _load_g(text: str) -> float:
    try:
        load_g = float(text)
    except ValueError:
        load_g = -1.0
    if not 0 <= load_g < MOST_G:
        raise SpecificationError(
            f"A simulated load of '{text}' g makes no sense.", hint="Write loads=500,500,1000."
        )
    return load_g


def open_simulated(address: Address, clock: Clock) -> Port:
    """Return a simulated scale; with a place, one that another program plays into that line.

    Parameters
    ----------
    address : Address
    clock : callable, seconds

    Returns
    -------
    Port

    Raises
    ------
    SpecificationError
        If an option makes no sense.
    ScaleError
        If the line cannot be opened.
    """
    return PlayedLine(address, clock) if address.place else SimulatedPort(address, clock)


class SimulatedPort:
    """Bytes of a simulated scale, through a real line.

    Its clock runs ``speed`` times as fast as the station's, so that physics and times agree. With
    ``speed=max`` there is no line and no waiting: every byte carries its own time.

    Parameters
    ----------
    address : Address
        Options of `simulated_bench`, ``speed`` (1) and ``link`` (``pty`` or ``socket``); with
        ``loads`` in grams, apart by commas, check weights are put on instead of pieces.
    clock : callable, seconds

    Raises
    ------
    SpecificationError
        If an option makes no sense.
    """

    descriptor: bytes | None = None

    def __init__(self, address: Address, clock: Clock) -> None:
        address.expect(*_OPTIONS)
        self.name = "a simulated scale"
        self._coming = _coming(address)
        self._line: _Line | None = None
        self._over = False
        if address.options.get("speed") != "max":
            speed = address.number("speed", 1, least=0.01)
            began_s = clock()
            link = address.choice("link", "pty" if os.name == "posix" else "socket", _LINKS)
            self._line = _Line(self._coming, lambda: (clock() - began_s) * speed, speed, link)

    @property
    def ended(self) -> bool:
        """Whether the morning is over and all of it was read."""
        return self._line.ended if self._line else self._over

    def read(self, timeout_s: float) -> Arrival | None:
        """Return what has come, or None when nothing came in time.

        Parameters
        ----------
        timeout_s : float, seconds

        Returns
        -------
        Arrival or None

        Raises
        ------
        LinkLostError
            If the line broke.
        """
        if self._line:
            return self._line.read(timeout_s)
        for t_s, data in self._coming:
            return Arrival(t_s, data)
        self._over = True
        return None

    def close(self) -> None:
        """Switch the scale off."""
        self._over = True
        if self._line:
            self._line.close()


_LINKS = ("pty", "socket")
_OPTIONS = (
    *("seed", "speed", "pieces", "target", "under", "over"),
    *("division", "rate", "bias", "spread", "way", "link"),
    *("lifts", "boards", "doubles", "knocks", "loads"),
)


class _Line:
    """A thread that plays a scale into one end of a line, and the port at the other."""

    def __init__(
        self, coming: Iterator[tuple[float, bytes]], clock: Clock, speed: float, link: str
    ) -> None:
        self._coming = coming
        self._clock = clock
        self._speed = speed
        self._closing = threading.Event()
        self._sent = self._received = 0
        self._over = False
        self._send, self._hang_up, self._port = (_pty if link == "pty" else _socket)(clock)
        self._thread = threading.Thread(target=self._play, name="simulated scale", daemon=True)
        self._thread.start()

    @property
    def ended(self) -> bool:
        return self._over and self._received >= self._sent

    def read(self, timeout_s: float) -> Arrival | None:
        arrival = self._port.read(timeout_s)
        if arrival is not None:
            self._received += len(arrival.data)
        return arrival

    def close(self) -> None:
        self._closing.set()
        self._thread.join(timeout=1)
        self._port.close()
        self._hang_up()

    def _play(self) -> None:
        with suppress(OSError):
            for t_s, data in self._coming:
                wait_s = (t_s - self._clock()) / self._speed
                if self._closing.wait(max(wait_s, 0)):
                    return
                self._push(data)
        self._over = True

    def _push(self, data: bytes) -> None:
        while data and not self._closing.is_set():
            try:
                gone = self._send(data)
            except BlockingIOError:
                self._closing.wait(_FULL_S)
                continue
            self._sent += gone
            data = data[gone:]


Ends = tuple[Callable[[bytes], int], Callable[[], None], "Port"]


def _pty(clock: Clock) -> Ends:
    """Return a pseudo-terminal: how to send, how to hang up, and the port at its far end."""
    near, far = os.openpty()
    os.set_blocking(near, False)
    try:
        port = open_serial(Address("serial", os.ttyname(far)), clock)
    finally:
        os.close(far)
    return lambda data: os.write(near, data), lambda: os.close(near), port


def _socket(clock: Clock) -> Ends:
    """Return a socket: how to send, how to hang up, and the port at its far end."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        host, number = server.getsockname()
        port = open_tcp(Address("tcp", f"{host}:{number}"), clock)
        near, _ = server.accept()
    near.settimeout(0)
    return near.send, near.close, port
