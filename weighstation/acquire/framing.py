"""Bytes heard with eight bits and no parity -> whether that is how they were sent.

A line that is set to seven bits and a parity bit shows its parity in the highest bit; a wrong
speed gives no three lines alike that can be read (common practice; the tests have a model of the
wire).
"""

from __future__ import annotations

from dataclasses import dataclass

from weighstation.acquire.fields import read_fields
from weighstation.acquire.lines import LineSplitter
from weighstation.acquire.recognition import PATIENCE_LINES, recognise
from weighstation.acquire.states import state_of

SPEEDS_BAUD = (9600, 4800, 2400, 19200, 1200, 38400, 57600, 115200)
"""In the order in which they are worth trying."""
LINES = 3
_PRINTABLE_LEAST = 0.98
_CONTROLS = frozenset(b"\r\n\t\x02\x03\x00")
_FEWEST_BYTES = 12


@dataclass(frozen=True, slots=True)
class Framing:
    """How characters are put on a line.

    Parameters
    ----------
    bits : int
    parity : str
        ``N``, ``E`` or ``O``.
    """

    bits: int
    parity: str

    def __str__(self) -> str:
        return f"{self.bits}{self.parity}1"


EIGHT, EVEN, ODD = Framing(8, "N"), Framing(7, "E"), Framing(7, "O")


def judge_framing(heard: bytes) -> Framing | None:
    """Return how some bytes were sent, or None where they tell no weights whichever way.

    Parameters
    ----------
    heard : bytes
        As received with eight bits and no parity.

    Returns
    -------
    Framing or None
    """
    if len(heard) < _FEWEST_BYTES:
        return None
    if _reads(heard):
        return EIGHT
    parities = {_odd(byte) for byte in heard[1:]}
    if len(parities) == 1 and _reads(bytes(byte & 0x7F for byte in heard)):
        return ODD if parities.pop() else EVEN
    return None


def looks_like_text(heard: bytes) -> bool:
    """Say whether some bytes are whole lines of text, as sent with or without parity.

    Parameters
    ----------
    heard : bytes
        As received with eight bits and no parity.

    Returns
    -------
    bool
    """
    even = len({_odd(byte) for byte in heard}) == 1
    text = bytes(byte & 0x7F for byte in heard) if even else heard
    ended = any(end in text for end in b"\r\n\x03")
    return len(heard) >= _FEWEST_BYTES // 2 and ended and _is_printable(text)


def _is_printable(heard: bytes) -> bool:
    printable = sum(32 <= byte < 127 or byte in _CONTROLS for byte in heard)
    return printable >= _PRINTABLE_LEAST * len(heard)


def _odd(byte: int) -> bool:
    return byte.bit_count() % 2 == 1


def _reads(heard: bytes) -> bool:
    """Say whether three lines in a row read as weights, and nearly nothing else came."""
    if not _is_printable(heard):
        return False
    lines = LineSplitter().feed(heard)[1:]  # the first may have begun before we listened
    texts = [line.decode("latin-1") for line in lines]
    told = [text for text in texts if read_fields(text) or not state_of(text, below_zero=False)]
    return any(
        recognise(told[at : at + LINES]) or recognise(told[at : at + PATIENCE_LINES])
        for at in range(len(told) - LINES + 1)
    )
