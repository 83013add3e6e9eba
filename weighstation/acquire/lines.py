"""Bytes, in any pieces -> whole lines with the moment their end arrived."""

from __future__ import annotations

from dataclasses import dataclass, field

MAX_BYTES = 256
_IDLE = b"\x00\xff"  # what an open line without a sender, or a loose plug, puts into the stream
_ENDS = bytes.maketrans(b"\r\x03", b"\n\n")
_START_OF_TEXT = b"\x02"
_CHECK_BYTES = 3


@dataclass(slots=True)
class LineSplitter:
    """Cuts a stream at CR, LF, CR LF or LF CR.

    A line ends with its first CR or LF, so that it is out at once; the other one of the pair then
    ends an empty line, and empty lines are nothing. NUL and 0xFF are dropped. A line that grows
    beyond ``MAX_BYTES`` is given out as it is, and the rest up to its end is thrown away.
    A frame from STX to ETX is a line too; the check characters behind it are dropped.
    ``idle`` is true between lines.
    """

    idle: bool = field(default=True, init=False)
    _open: bytes = field(default=b"", init=False)
    _skipping: bool = field(default=False, init=False)
    _framed: bool = field(default=False, init=False)

    def feed(self, data: bytes) -> list[bytes]:
        """Return the lines that these bytes complete, without their ends.

        Parameters
        ----------
        data : bytes

        Returns
        -------
        list of bytes
            A line of more than ``MAX_BYTES`` was cut there.
        """
        stream = self._open + data.translate(None, _IDLE)
        lines = stream.translate(_ENDS).split(b"\n")
        if self._skipping:
            if len(lines) == 1:
                return []
            lines[0] = b""
            self._skipping = False
        self._open = lines.pop()
        if len(self._open) > MAX_BYTES:
            lines.append(self._open)
            self._open = b""
            self._skipping = True
        self.idle = not self._open and not self._skipping
        if self._framed or _START_OF_TEXT in stream:
            lines = [self._unframed(line) for line in lines]
        return [line[: MAX_BYTES + 1] for line in lines if line]

    def _unframed(self, line: bytes) -> bytes:
        """Return what stands between STX and ETX; nothing for check characters."""
        _, found, framed = line.rpartition(_START_OF_TEXT)
        if found:
            self._framed = True
            return framed
        return b"" if self._framed and len(line) <= _CHECK_BYTES else line

    def finish(self) -> bytes:
        """Return what came after the last line end; the stream is over.

        Returns
        -------
        bytes
        """
        rest, self._open = self._open, b""
        return rest
