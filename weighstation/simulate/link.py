"""The link between scale and station: lines lost, torn, held up and run together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random


@dataclass(frozen=True, slots=True)
class LinkSpec:
    """How well the link works.

    Parameters
    ----------
    baud : int, bits a second
        Ten bits a character.
    lost : float, share of lines
        Dropped whole.
    torn : float, share of lines
        Some characters missing in the middle or at the end.
    split : float, share of lines
        Arrive in two pieces.
    stall : float, share of lines
        After such a line nothing arrives for ``stall_s``; then all at once.
    stall_s : float, seconds
    jitter_s : float, seconds
        Each arrival is late by up to so much more, a different delay each time; order is kept.
    """

    baud: int = 9600
    lost: float = 0.0
    torn: float = 0.0
    split: float = 0.0
    stall: float = 0.0
    stall_s: float = 0.35
    jitter_s: float = 0.0

    def seconds(self, line: bytes) -> float:
        """Return how long a line takes.

        Parameters
        ----------
        line : bytes

        Returns
        -------
        float, seconds
        """
        return 10 * len(line) / self.baud


class Link:
    """The link at work: lines in, arrivals out.

    Parameters
    ----------
    spec : LinkSpec
    rng : Random
    """

    def __init__(self, spec: LinkSpec, rng: Random) -> None:
        self._spec = spec
        self._rng = rng
        self._held = b""
        self._until_s = 0.0
        self._last_s = 0.0

    def carry(self, t_s: float, line: bytes) -> Iterator[tuple[float, bytes]]:
        """Yield what arrives of a line, and when.

        Parameters
        ----------
        t_s : float, seconds
            When the scale began to send it.
        line : bytes

        Yields
        ------
        tuple of (float, bytes)
        """
        for at_s, data in self._delivered(t_s, line):
            self._last_s = max(at_s, self._last_s)
            yield self._last_s, data

    def _delivered(self, t_s: float, line: bytes) -> Iterator[tuple[float, bytes]]:
        spec, rng = self._spec, self._rng
        if spec.lost and rng.random() < spec.lost:
            return
        at_s = t_s + spec.seconds(line) + rng.uniform(0.0, 0.002)
        if spec.jitter_s:
            at_s += rng.uniform(0.0, spec.jitter_s)
        if spec.torn and rng.random() < spec.torn:
            line = _torn(line, rng)
        if self._held or (spec.stall and rng.random() < spec.stall):
            yield from self._hold(at_s, line)
        elif spec.split and rng.random() < spec.split:
            cut = rng.randint(1, len(line) - 1)
            yield at_s - spec.seconds(line[cut:]), line[:cut]
            yield at_s, line[cut:]
        else:
            yield at_s, line

    def _hold(self, at_s: float, line: bytes) -> Iterator[tuple[float, bytes]]:
        if not self._held:
            self._until_s = at_s + self._spec.stall_s
        self._held += line
        if at_s >= self._until_s:
            yield at_s, self._held
            self._held = b""

    def finish(self) -> Iterator[tuple[float, bytes]]:
        """Yield what was held up when the scale fell silent.

        Yields
        ------
        tuple of (float, bytes)
        """
        if self._held:
            yield max(self._until_s, self._last_s), self._held
            self._held = b""


def _torn(line: bytes, rng: Random) -> bytes:
    """Return the line without some of its characters; its end may go with them."""
    first = rng.randint(1, len(line) - 2)
    return line[:first] + line[first + rng.randint(1, 4) :]
