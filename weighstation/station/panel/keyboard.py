"""A terminal -> single keys, and the terminal left as it was found."""

from __future__ import annotations

import sys
import time
from contextlib import suppress
from typing import TYPE_CHECKING, Protocol, Self

if TYPE_CHECKING:
    from types import TracebackType


class Keyboard(Protocol):
    """Where keys come from, while it is entered."""

    def __enter__(self) -> Self:
        """Start to hand over single keys."""
        ...

    def __exit__(
        self,
        kind: type[BaseException] | None,
        exc: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Leave the terminal as it was."""
        ...

    def read(self, timeout_s: float) -> str:
        """Return the keys that arrive within a time, or an empty text."""
        ...

    @property
    def is_open(self) -> bool:
        """Whether a key can still come."""
        ...


class NoKeyboard:
    """Standard input is no terminal: there are no keys."""

    is_open = False

    def __enter__(self) -> Self:
        """Do nothing."""
        return self

    def __exit__(self, *_: object) -> None:
        """Do nothing."""

    def read(self, timeout_s: float) -> str:
        """Return an empty text after a time.

        Parameters
        ----------
        timeout_s : float, seconds

        Returns
        -------
        str
        """
        time.sleep(timeout_s)
        return ""


if sys.platform == "win32":
    import msvcrt

    _STEP_S = 0.02

    class _Console:
        """Keys of a Windows console, which needs no setting up and no restoring."""

        is_open = True

        def __enter__(self) -> Self:
            return self

        def __exit__(self, *_: object) -> None:
            pass

        def read(self, timeout_s: float) -> str:
            until_s = time.monotonic() + timeout_s
            while not msvcrt.kbhit():
                if time.monotonic() >= until_s:
                    return ""
                time.sleep(_STEP_S)
            key = msvcrt.getwch()
            if key in "\x00\xe0":  # the first half of an arrow or function key
                msvcrt.getwch()
                return ""
            return key

    def open_keyboard() -> Keyboard:
        """Return the keys of standard input, or none where it is no terminal."""
        return _Console() if sys.stdin is not None and sys.stdin.isatty() else NoKeyboard()

else:
    import atexit
    import os
    import select
    import termios
    from contextlib import ExitStack

    from weighstation.station.panel.leaving import leaving_on_signals

    class _Terminal:
        """Keys of a POSIX terminal, one by one and not echoed, while it is entered."""

        def __init__(self, fd: int) -> None:
            self._fd = fd
            self._before = termios.tcgetattr(fd)
            self._open = True
            self._stack = ExitStack()

        @property
        def is_open(self) -> bool:
            return self._open

        def __enter__(self) -> Self:
            modes = termios.tcgetattr(self._fd)
            modes[3] &= ~(termios.ICANON | termios.ECHO)
            modes[6][termios.VMIN], modes[6][termios.VTIME] = 1, 0
            # A bench has no shell to go back to: Ctrl-Z would leave a dead panel.
            modes[6][termios.VSUSP] = b"\x00"
            termios.tcsetattr(self._fd, termios.TCSADRAIN, modes)
            atexit.register(self._restore)
            self._stack.enter_context(leaving_on_signals())
            return self

        def __exit__(self, *_: object) -> None:
            self._restore()
            atexit.unregister(self._restore)
            self._stack.close()

        def _restore(self) -> None:
            with suppress(termios.error):  # a terminal that has gone needs no restoring
                termios.tcsetattr(self._fd, termios.TCSADRAIN, self._before)

        def read(self, timeout_s: float) -> str:
            if not self._open:
                time.sleep(timeout_s)
                return ""
            if not select.select([self._fd], [], [], timeout_s)[0]:
                return ""
            try:
                keys = os.read(self._fd, 64)
            except OSError:
                keys = b""
            self._open = bool(keys)  # nothing to read where something was due: it hung up
            return keys.decode("latin-1")

    def open_keyboard() -> Keyboard:
        """Return the keys of standard input, or none where it is no terminal of ours.

        Returns
        -------
        Keyboard
            To be entered; a job in the background is given no keys, since asking would stop it.
        """
        try:
            fd = sys.stdin.fileno()
            ours = os.isatty(fd) and os.tcgetpgrp(fd) == os.getpgrp()
            return _Terminal(fd) if ours else NoKeyboard()
        except (AttributeError, ValueError, OSError, termios.error):
            return NoKeyboard()
