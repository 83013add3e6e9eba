"""Lines that carry a check of their own characters: which rule it is, and whether a line holds.

A rule is believed only where it fits every line of many that differ; a line that does not hold
was torn, however well it reads.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from functools import reduce
from operator import xor
from typing import TYPE_CHECKING

from weighstation.acquire.lines import MAX_BYTES

if TYPE_CHECKING:
    from collections.abc import Iterator

ENOUGH_FRAMES = 20
ENOUGH_VALUES = 5
_STX, _ETX = b"\x02", b"\x03"
_ENDS = (b"\r\n", b"\n\r", b"\r", b"\n", _ETX)
_IDLE = b"\x00\xff"


class Rule(Enum):
    """How the check of some bytes is worked out."""

    XOR = "exclusive or"
    SUM7 = "sum modulo 128"
    SUM8 = "sum modulo 256"
    TWOS = "two's complement of the sum"

    def of(self, data: bytes) -> int:
        """Return the check of some bytes.

        Parameters
        ----------
        data : bytes

        Returns
        -------
        int
            0 to 255.
        """
        match self:
            case Rule.XOR:
                return reduce(xor, data, 0)
            case Rule.SUM7:
                return sum(data) & 0x7F
            case Rule.SUM8:
                return sum(data) & 0xFF
            case Rule.TWOS:
                return -sum(data) & 0xFF


@dataclass(frozen=True, slots=True)
class Checksum:
    """A check that each line of a port carries.

    Parameters
    ----------
    rule : Rule
    hexed : bool
        Written as two hexadecimal digits, else as one raw byte.
    end : bytes
        What ends a line: CR LF, LF CR, CR, LF or ETX.
    behind_end : bool
        The check stands behind the end, else right before it.
    covers_end : bool
        The end's first byte is checked too.
    """

    rule: Rule
    hexed: bool
    end: bytes
    behind_end: bool
    covers_end: bool = False

    @property
    def length(self) -> int:
        """Characters that the check takes."""
        return 2 if self.hexed else 1

    def body(self, frame: bytes) -> bytes | None:
        """Return what a frame says, or None where its check does not hold.

        Parameters
        ----------
        frame : bytes
            A line and its check, without the end.

        Returns
        -------
        bytes or None
        """
        body, written = frame[: -self.length], frame[-self.length :]
        _, _, body = body.rpartition(_STX)
        body = body.strip(b"\r\n") if self.behind_end else body
        if not body or len(written) < self.length:
            return None
        value = self._value(written)
        covered = body + self.end[:1] if self.covers_end else body
        return body if value == self.rule.of(covered) else None

    def _value(self, written: bytes) -> int | None:
        if not self.hexed:
            return written[0]
        try:
            return int(written, 16)
        except ValueError:
            return None

    def text(self) -> str:
        r"""Return it as one short text, which `of_text` reads.

        Returns
        -------
        str
            Rule, form, place, end, and ``end`` once more where that is checked too.

        Examples
        --------
        >>> Checksum(Rule.XOR, True, b"\r\n", False).text()
        'xor hex before 0d0a'
        """
        words = [self.rule.name.lower(), "hex" if self.hexed else "byte"]
        words += ["behind" if self.behind_end else "before", self.end.hex()]
        return " ".join([*words, "covered"] if self.covers_end else words)

    @classmethod
    def of_text(cls, text: str) -> Checksum:
        """Return the checksum that `text` wrote.

        Parameters
        ----------
        text : str

        Returns
        -------
        Checksum

        Raises
        ------
        ValueError
            If it is none.
        """
        rule, form, place, end, *covered = text.split()
        known = (
            form in ("hex", "byte"),
            place in ("behind", "before"),
            covered in ([], ["covered"]),
        )
        if (
            not all(known)
            or rule.upper() not in Rule.__members__
            or bytes.fromhex(end) not in _ENDS
        ):
            raise ValueError(f"'{text}' is no checksum")
        return cls(
            Rule[rule.upper()], form == "hex", bytes.fromhex(end), place == "behind", bool(covered)
        )

    def __str__(self) -> str:
        return f"{self.rule.value}, {'two digits' if self.hexed else 'one byte'}"


class BadLine(bytes):
    """A line whose check does not hold."""

    __slots__ = ()


@dataclass(slots=True)
class CheckedSplitter:
    """Cuts a stream into lines that carry a check, and takes the check off.

    It has the face of `weighstation.acquire.lines.LineSplitter`. A raw check may be the very byte
    that ends a line; so a line that does not hold is tried once more together with what follows.
    A line that grows beyond ``MAX_BYTES`` is given out as it is, and the rest up to its end is
    thrown away.
    """

    checksum: Checksum
    idle: bool = field(default=True, init=False)
    _open: bytes = field(default=b"", init=False)
    _held: bytes = field(default=b"", init=False)
    _skipping: bool = field(default=False, init=False)

    def feed(self, data: bytes) -> list[bytes]:
        """Return the lines that these bytes complete, those that do not hold as `BadLine`.

        Parameters
        ----------
        data : bytes

        Returns
        -------
        list of bytes
        """
        frames, self._open = cut(self._open + data, self.checksum)
        lines: list[bytes] = []
        for frame in frames:
            lines += self._read(frame)
        lines += self._skip_overlong()
        self.idle = not (self._open or self._held or self._skipping)
        return lines

    def finish(self) -> bytes:
        """Return what came after the last line end; what comes next begins a line of its own.

        Returns
        -------
        bytes
        """
        rest, self._open, self._held = self._held + self._open, b"", b""
        self.idle = True
        return rest

    def _skip_overlong(self) -> Iterator[bytes]:
        """Give out an open line that is longer than any; keep of it what its end may begin with."""
        end = self.checksum.end
        at = self._open.find(end)
        begin = max(len(self._open) - len(end) + 1, 0) if at < 0 else at
        if begin > MAX_BYTES and not self._skipping:
            yield from self._overlong(self._open)
            self._skipping = True
        if self._skipping:
            self._open = self._open[begin:]

    def _overlong(self, frame: bytes) -> Iterator[bytes]:
        held, self._held = self._held, b""
        yield from self._bad(held)
        yield BadLine(frame[: MAX_BYTES + 1])

    def _bad(self, held: bytes) -> Iterator[bytes]:
        bad = held.strip(self.checksum.end + _IDLE)
        if bad:
            yield BadLine(bad[: MAX_BYTES + 1])

    def _read(self, frame: bytes) -> Iterator[bytes]:
        if self._skipping:
            self._skipping = False
            return
        behind = self.checksum.length if self.checksum.behind_end else 0
        if len(frame) - behind > MAX_BYTES:
            yield from self._overlong(frame)
            return
        held, self._held = self._held, b""
        body = self.checksum.body(frame)
        if body is None and held:
            body = self.checksum.body(held + frame)
            if body is not None:
                held = b""
        yield from self._bad(held)
        if body is not None:
            yield body
        elif frame:
            self._held = frame + self.checksum.end


def cut(stream: bytes, checksum: Checksum) -> tuple[list[bytes], bytes]:
    """Return the frames of a stream, their checks included and their ends not, and its open rest.

    Parameters
    ----------
    stream : bytes
    checksum : Checksum

    Returns
    -------
    tuple of list of bytes, and bytes
    """
    if not checksum.behind_end:
        *frames, rest = stream.split(checksum.end)
        return frames, rest
    frames, at = [], 0
    while (end := stream.find(checksum.end, at)) >= 0:
        begin, behind = end + len(checksum.end), end + len(checksum.end) + checksum.length
        if behind > len(stream):
            break
        frames.append(stream[at:end] + stream[begin:behind])
        at = behind
    return frames, stream[at:]


def find_checksums(stream: bytes) -> tuple[Checksum, ...]:
    """Return every rule that fits all lines of a stream but a torn first one.

    Parameters
    ----------
    stream : bytes

    Returns
    -------
    tuple of Checksum
        Empty where no rule fits ``ENOUGH_FRAMES`` lines with ``ENOUGH_VALUES`` checks. Several
        agree on every line that was seen, and any of them does.
    """
    clean = (
        stream.translate(None, _IDLE) if b"\xff" in stream[:8] or b"\x00" in stream[:8] else stream
    )
    return tuple(rule for rule in _candidates(clean) if _fits(clean, rule))


def _candidates(stream: bytes) -> Iterator[Checksum]:
    end = next((end for end in _ENDS if stream.count(end) >= ENOUGH_FRAMES), None)
    ends = {end, _ETX} if stream.count(_ETX) >= ENOUGH_FRAMES else {end}
    for used in sorted(ends - {None}, key=lambda used: used or b""):
        for rule in Rule:
            for hexed in (False, True):
                for behind in (False, True):
                    for covers in (False, True):
                        yield Checksum(rule, hexed, used or b"", behind, covers)


def _fits(stream: bytes, checksum: Checksum) -> bool:
    splitter = CheckedSplitter(checksum)
    lines = splitter.feed(stream)
    torn = sum(isinstance(line, BadLine) for line in lines[1:])
    good = [line for line in lines if not isinstance(line, BadLine)]
    values = {checksum.rule.of(line) for line in good}
    return not torn and len(good) >= ENOUGH_FRAMES and len(values) >= ENOUGH_VALUES
