"""Characters on a wire, bit by bit, sent at one speed and heard at another.

The waveform is kept as the moments at which the level changes, not as samples, so its cost is that
of its edges. The line rests high; the first edge falls, the second rises, and so on.

All three framings have ten bits: a start bit (low), eight bits with the lowest first, a stop bit
(high). With ``7E1`` and ``7O1`` the eighth is the parity of the seven before it.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

FRAMINGS = ("8N1", "7E1", "7O1")
SPEEDS_BAUD = (1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200)
FRAME_BITS = 10
LATENCY_S = 0.016  # an adapter collects this long before it hands over
HANDED_OVER_BYTES = 62  # or until its packet is full


@dataclass(frozen=True, slots=True)
class Waveform:
    """The level of a line over time.

    Parameters
    ----------
    edges_s : (n,) float, seconds
        When the level changes, oldest first; it is high before the first.
    end_s : float, seconds
        When the last stop bit is over; the line rests high from there on.
    """

    edges_s: tuple[float, ...]
    end_s: float


@dataclass(frozen=True, slots=True)
class Character:
    """One character as a receiver took it.

    Parameters
    ----------
    t_s : float, seconds
        The middle of its stop bit.
    code : int
        The byte handed over.
    has_bad_parity, has_bad_stop : bool
        Whether the parity bit, the stop bit was not what it should be.
    """

    t_s: float
    code: int
    has_bad_parity: bool
    has_bad_stop: bool


def send(data: bytes, baud: float, framing: str, start_s: float = 0.0) -> Waveform:
    """Return the waveform of characters sent without a pause.

    Parameters
    ----------
    data : bytes
        With seven bits the eighth of each byte is lost, as in a sender that has only seven.
    baud : float, bits a second
        Speed of the sender.
    framing : str
        One of `FRAMINGS`.
    start_s : float, seconds
        When the first start bit falls.

    Returns
    -------
    Waveform
    """
    edges_s: list[float] = []
    for i, byte in enumerate(data):
        base = i * FRAME_BITS
        edges_s += [start_s + (base + bit) / baud for bit in _edge_bits(byte, framing)]
    return Waveform(tuple(edges_s), start_s + len(data) * FRAME_BITS / baud)


def send_lines(
    lines: Sequence[bytes], baud: float, framing: str, pause_s: float = 0.0
) -> tuple[Waveform, tuple[float, ...]]:
    """Return the waveform of lines with a pause after each, and when each was over.

    Parameters
    ----------
    lines : (n,) bytes
        What is sent, terminators included.
    baud : float, bits a second
        Speed of the sender.
    framing : str
        One of `FRAMINGS`.
    pause_s : float, seconds
        How long the line rests after each of them.

    Returns
    -------
    Waveform, and (n,) float, seconds: the end of the last stop bit of each line.
    """
    edges_s: list[float] = []
    ends_s: list[float] = []
    t_s = 0.0
    for line in lines:
        piece = send(line, baud, framing, t_s)
        edges_s += piece.edges_s
        ends_s.append(piece.end_s)
        t_s = piece.end_s + pause_s
    return Waveform(tuple(edges_s), t_s), tuple(ends_s)


def receive(waveform: Waveform, baud: float, framing: str) -> tuple[bytes, int, int]:
    """Return what a receiver makes of a waveform, with its parity and framing errors.

    Parameters
    ----------
    waveform : Waveform
        What is on the line.
    baud : float, bits a second
        Speed of the receiver.
    framing : str
        One of `FRAMINGS`, for the receiver.

    Returns
    -------
    bytes, all characters, those with errors too; int, parity errors; int, framing errors.
    """
    taken = list(characters(waveform, baud, framing))
    return (
        bytes(character.code for character in taken),
        sum(character.has_bad_parity for character in taken),
        sum(character.has_bad_stop for character in taken),
    )


def characters(
    waveform: Waveform, baud: float, framing: str, from_s: float = 0.0
) -> Iterator[Character]:
    """Yield the characters a receiver takes, each bit sampled in its middle.

    A start bit that is high again in its middle is none. After a stop bit, good or bad, the next
    falling edge starts the next character.

    Parameters
    ----------
    waveform : Waveform
        What is on the line.
    baud : float, bits a second
        Speed of the receiver.
    framing : str
        One of `FRAMINGS`, for the receiver.
    from_s : float, seconds
        When the receiver is switched on, amid a character perhaps.

    Yields
    ------
    Character
    """
    edges_s = waveform.edges_s
    count = len(edges_s)
    parity = _parity_wanted(framing)
    passed = bisect_left(edges_s, from_s)
    while (passed := passed + passed % 2) < count:  # edges of an even number fall
        start_s = edges_s[passed]
        passed = _passed(edges_s, passed + 1, start_s + 0.5 / baud)
        if passed % 2 == 0:
            continue
        code = ones = 0
        for bit in range(8):
            passed = _passed(edges_s, passed, start_s + (1.5 + bit) / baud)
            if passed % 2 == 0:
                code |= 1 << bit
                ones += 1
        stop_s = start_s + (FRAME_BITS - 0.5) / baud
        passed = _passed(edges_s, passed, stop_s)
        is_bad = parity is not None and ones % 2 != parity
        yield Character(stop_s, code if parity is None else code & 0x7F, is_bad, passed % 2 == 1)


def _passed(edges_s: Sequence[float], passed: int, t_s: float) -> int:
    """Count the edges up to a moment; the level is high where the count is even."""
    while passed < len(edges_s) and edges_s[passed] <= t_s:
        passed += 1
    return passed


@cache
def _edge_bits(byte: int, framing: str) -> tuple[int, ...]:
    levels = (1, *_levels(byte, framing))
    return tuple(at for at in range(FRAME_BITS) if levels[at] != levels[at + 1])


def _levels(byte: int, framing: str) -> tuple[int, ...]:
    """Return start bit, eight bits and stop bit, in the order of time."""
    parity = _parity_wanted(framing)
    bits = [byte >> bit & 1 for bit in range(8)]
    if parity is not None:
        bits[7] = (sum(bits[:7]) + parity) % 2
    return (0, *bits, 1)


def _parity_wanted(framing: str) -> int | None:
    """Return what the number of ones is modulo two, None where nothing is checked."""
    return {"8N1": None, "7E1": 0, "7O1": 1}[framing]


@dataclass(slots=True)
class Wire:
    """Lines on a wire, for ports opened at any speed and framing.

    Parameters
    ----------
    lines : (n,) bytes
        What the scale sends, terminators included.
    baud : float, bits a second
        Speed of the scale.
    framing : str
        One of `FRAMINGS`, of the scale.
    pause_s : float, seconds
        How long the wire rests after each line.
    drops_bad_parity : bool
        Whether a port throws away what has a bad parity; ports do not unless told so.

    Attributes
    ----------
    ends_s : (n,) float, seconds
        When the last stop bit of each line is over.
    parity_errors, framing_errors : int
        Counted over all that was heard.
    """

    lines: Sequence[bytes]
    baud: float
    framing: str
    pause_s: float = 0.0
    drops_bad_parity: bool = False
    parity_errors: int = field(default=0, init=False)
    framing_errors: int = field(default=0, init=False)
    ends_s: tuple[float, ...] = field(init=False)
    _waveform: Waveform = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Draw the waveform once."""
        self._waveform, self.ends_s = send_lines(self.lines, self.baud, self.framing, self.pause_s)

    @property
    def end_s(self) -> float:
        """When the wire falls silent, in seconds."""
        return self._waveform.end_s

    def heard(
        self, baud: float, framing: str, listen_s: float, from_s: float = 0.0
    ) -> list[tuple[float, bytes]]:
        """Return what a port hands over, chunk by chunk.

        Parameters
        ----------
        baud : float, bits a second
            Speed the port is opened at.
        framing : str
            One of `FRAMINGS`, for the port.
        listen_s : float, seconds
            How long it is open.
        from_s : float, seconds
            When it is opened, on the clock of the wire.

        Returns
        -------
        list of (float, bytes): seconds since the port was opened at which the last byte of the
        chunk was there, and the chunk.
        """
        chunks: list[tuple[float, bytes]] = []
        first_s = -LATENCY_S
        for character in self._taken(baud, framing, from_s, from_s + listen_s):
            t_s = character.t_s - from_s
            byte = bytes([character.code])
            if t_s - first_s < LATENCY_S and len(chunks[-1][1]) < HANDED_OVER_BYTES:
                chunks[-1] = (t_s, chunks[-1][1] + byte)
            else:
                first_s = t_s
                chunks.append((t_s, byte))
        return chunks

    def _taken(
        self, baud: float, framing: str, from_s: float, until_s: float
    ) -> Iterator[Character]:
        for character in characters(self._waveform, baud, framing, from_s):
            if character.t_s > until_s:
                return
            self.parity_errors += character.has_bad_parity
            self.framing_errors += character.has_bad_stop
            if not (self.drops_bad_parity and character.has_bad_parity):
                yield character
