"""A running batch -> whoever watches it: event lines, the panel or plain lines."""

from __future__ import annotations

import sys
import time
from queue import Empty
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from weighstation.station.panel.arming import Arming
from weighstation.station.panel.keyboard import NoKeyboard, open_keyboard

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from typing import TextIO

    from weighstation.station.bench.loaf_session import LoafSession
    from weighstation.station.bench.runner import Runner, Taking
    from weighstation.station.bench.session import Session

AskedT = TypeVar("AskedT")
AskedT_co = TypeVar("AskedT_co", covariant=True)
PictureT = TypeVar("PictureT")

ALARM_LOOK_S = 0.5
"""How long a line of events is waited for before the newest picture is looked at for an alarm."""
LOOK_S = 0.03
"""How long a key is waited for before the newest picture is looked at."""


def write_events(runner: Runner[Any], stream: TextIO, aside: TextIO) -> None:
    """Write the lines of events as they come, each flushed, until the batch is over.

    Parameters
    ----------
    runner : Runner
    stream : TextIO
    aside : TextIO
        Where an alarm goes, such as a scale that is lost, which is no event.
    """
    alarm = ""
    line: str | None = ""
    while line is not None:
        line = _next_line(runner)
        if line:
            stream.write(line + "\n")
            stream.flush()
        before, alarm = alarm, runner.session.snapshot.alarm
        if alarm and not before:  # its words go on changing, as what waits for the disk is counted
            aside.write(f"{alarm}\n")
            aside.flush()


def _next_line(runner: Runner[Any]) -> str | None:
    """Return the next line, None after the last; nothing where none comes for a while."""
    try:
        return runner.lines.get(timeout=ALARM_LOOK_S)
    except Empty:
        return ""


def wait(runner: Runner[Any]) -> None:
    """Show nothing until the batch is over.

    Parameters
    ----------
    runner : Runner
    """
    while runner.lines.get() is not None:
        pass


def watch(runner: Runner[Session], *, plain: bool) -> None:
    """Show the panel, or plain lines, and pass on keys, until the batch is over.

    Parameters
    ----------
    runner : Runner of Session
    plain : bool
        Plain lines even where a panel could be shown.
    """
    from rich.console import Console  # noqa: PLC0415 - not for event lines

    from weighstation.station.panel.panel import Panel, suits  # noqa: PLC0415 - the same
    from weighstation.station.panel.plain import piece_lines  # noqa: PLC0415 - the same

    console = Console(file=sys.stdout)
    if plain or not suits(console):
        lines = piece_lines(sys.stdout, runner.counted_before)
        _watch(runner, Arming(), lambda snapshot, _: lines.show(snapshot))
        return
    with Panel(console) as panel:
        _watch(runner, Arming(), panel.show)


def watch_loaves(runner: Runner[LoafSession], stream: TextIO, *, plain: bool) -> None:
    """Do the same where baked loaves are weighed.

    Parameters
    ----------
    runner : Runner of LoafSession
    stream : TextIO
        Where plain lines go.
    plain : bool
    """
    from rich.console import Console  # noqa: PLC0415 - not for event lines

    from weighstation.station.panel.loaf_keys import LoafKeys  # noqa: PLC0415 - the same
    from weighstation.station.panel.loaf_panel import render_loaves  # noqa: PLC0415 - the same
    from weighstation.station.panel.loaf_plain import loaf_lines  # noqa: PLC0415 - the same
    from weighstation.station.panel.panel import Panel, suits  # noqa: PLC0415 - the same

    console = Console(file=stream)
    if plain or not suits(console):
        lines = loaf_lines(stream, runner.counted_before)
        _watch(runner, LoafKeys(), lambda snapshot, _: lines.show(snapshot))
        return
    with Panel(console, render_loaves) as panel:
        _watch(runner, LoafKeys(), panel.show)


def has_keys() -> bool:
    """Tell whether a person can press keys."""
    return not isinstance(open_keyboard(), NoKeyboard)


class Keys(Protocol[AskedT_co, PictureT]):
    """Characters and pictures in, what a person asks for out."""

    def feed(self, chars: str, t_s: float, latest: PictureT) -> Iterable[AskedT_co]:
        """Return what the keys that arrived at a time ask for."""

    def picture(self, t_s: float, latest: PictureT) -> PictureT:
        """Return the newest picture with what is armed."""


def _watch(
    runner: Runner[Taking[AskedT, PictureT]],
    keys: Keys[AskedT, PictureT],
    show: Callable[[PictureT, float], object],
) -> None:
    with open_keyboard() as keyboard:
        while not runner.is_over:
            chars = keyboard.read(LOOK_S)
            now_s, latest = time.monotonic(), runner.session.snapshot
            for asked in keys.feed(chars, now_s, latest):
                runner.tell(asked)
            show(keys.picture(now_s, latest), now_s)
        show(runner.session.snapshot, time.monotonic())
