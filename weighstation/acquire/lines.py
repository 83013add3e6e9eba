"""Bytes, in any pieces -> whole lines."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

MAX_BYTES = 256
_IDLE = b"\x00\xff"  # what an open line without a sender, or a loose plug, puts into the stream
DAMAGED = 0xFE
"""Stands for a character whose parity was wrong; no line that holds it is read."""
_STX, _ETX = b"\x02", b"\x03"
_CHECK_BYTES = 3
_END = re.compile(rb"[\n\x03]")


@dataclass(slots=True)
class LineSplitter:
    """Cuts a stream at CR, LF, CR LF or LF CR, and frames at their ETX.

    A line ends with its first CR or LF, so that it is out at once; the other one of the pair then
    ends an empty line, and empty lines are nothing. NUL and 0xFF are dropped, and so is what
    stands before STX, and up to three check characters behind ETX. A line that grows beyond
    ``MAX_BYTES`` is given out as it is, and the rest up to its end is thrown away. ``idle`` is
    true where a whole line may begin.
    """

    idle: bool = field(default=True, init=False)
    _open: bytes = field(default=b"", init=False)
    _skipping: bool = field(default=False, init=False)
    _behind_frame: bool = field(default=False, init=False)

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
        stream = (self._open + data.translate(None, _IDLE)).replace(b"\r", b"\n")
        if self._skipping or self._behind_frame or _STX in stream or _ETX in stream:
            lines = self._cut_frames(stream)
        else:
            lines = stream.split(b"\n")
            self._open = lines.pop()
        if len(self._open) > MAX_BYTES:
            lines.append(self._open)
            self._open = b""
            self._skipping = True
        self.idle = not (self._open or self._skipping or self._behind_frame)
        return [line[: MAX_BYTES + 1] for line in lines if line]

    def _cut_frames(self, stream: bytes) -> list[bytes]:
        lines = []
        at = 0
        for end in _END.finditer(stream):
            if not self._skipping:
                lines.append(self._unframed(stream[at : end.start()]))
            self._skipping = False
            self._behind_frame = end[0] == _ETX
            at = end.end()
        self._open = b"" if self._skipping else stream[at:]
        return lines

    def _unframed(self, line: bytes) -> bytes:
        """Return what stands behind STX; nothing for check characters."""
        if len(line) > MAX_BYTES:
            return line
        _, found, framed = line.rpartition(_STX)
        if not found and self._behind_frame and len(line) <= _CHECK_BYTES:
            return b""
        return framed

    def finish(self) -> bytes:
        """Return what came after the last line end; what comes next begins a line of its own.

        Returns
        -------
        bytes
        """
        rest, self._open = self._open, b""
        self._skipping = self._behind_frame = False
        self.idle = True
        return rest
