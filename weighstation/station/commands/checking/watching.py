"""A port and a person -> the indications of a check, asked for one after another."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from shutil import get_terminal_size
from typing import TYPE_CHECKING

from weighstation.errors import ScaleError, SpecificationError, WeighstationError
from weighstation.station.commands.checking.texts import asked_text, now_text, taken_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.station.bench.check_watch import CheckWatch
    from weighstation.station.panel.keyboard import Keyboard
    from weighstation.station.ports import Clock, Port

    MayJudge = Callable[[int], None]

LOOK_S = 0.1
SILENT_S = 10.0
MOST_S = 600.0
"""A check that is not done by then was left alone."""
TAKES = "\r\n"


@dataclass(slots=True)
class Prompt:
    """What the person reads while the check goes on.

    Parameters
    ----------
    on_terminal : bool
        Whether a line can be written again in place.
    has_keys : bool
    """

    on_terminal: bool
    has_keys: bool
    _asked: str = ""
    _line: str = ""
    _told: int = 0

    def show(self, watch: CheckWatch) -> None:
        """Say what was taken, and what is asked for now.

        Parameters
        ----------
        watch : CheckWatch
        """
        for taken in watch.taken[self._told :]:
            self._write(f"{taken_text(taken, watch)}\n")
        self._told = len(watch.taken)
        if watch.is_done:
            return
        asked = asked_text(watch, has_keys=self.has_keys)
        if self.on_terminal:
            line = f"> {asked}.{now_text(watch)}"[: get_terminal_size().columns - 1]
            if line != self._line:
                self._write(line)
                self._line = line
        elif asked != self._asked:
            self._write(f"{asked}.\n")
        self._asked = asked

    def leave(self) -> None:
        """Let what follows begin on a line of its own."""
        if self.on_terminal and self._line:
            self._write("")

    def _write(self, text: str) -> None:
        clear = "\r\x1b[K" if self.on_terminal else ""
        if text.endswith("\n"):
            self._line = ""
        sys.stderr.write(clear + text)
        sys.stderr.flush()


def watch_scale(
    watch: CheckWatch, port: Port, keyboard: Keyboard, clock: Clock, may_judge: MayJudge
) -> None:
    """Follow a scale until all loads were seen.

    Parameters
    ----------
    watch : CheckWatch
    port : Port
        Open; stays so.
    keyboard : Keyboard
        Entered.
    clock : callable, seconds
        Of the port.
    may_judge : callable, milligrams
        Is told the division whenever it is learned, and raises where the weights cannot judge a
        scale of that division.

    Raises
    ------
    ScaleError
        If the link is lost, or the scale says nothing or nothing that is a weight.
    SpecificationError
        If a recording ends, or nobody goes on, before all was seen, or the weights are too poor.
    """
    prompt = Prompt(sys.stderr.isatty(), keyboard.is_open)
    try:
        _follow(watch, (port, keyboard, clock), prompt, may_judge)
    except (WeighstationError, KeyboardInterrupt, SystemExit):
        prompt.leave()
        raise


def _follow(
    watch: CheckWatch, bench: tuple[Port, Keyboard, Clock], prompt: Prompt, may_judge: MayJudge
) -> None:
    port, keyboard, clock = bench
    prompt.show(watch)
    division_mg, began_s = watch.division_mg, clock()
    heard_s = began_s
    while not watch.is_done:
        arrival = port.read(LOOK_S)
        if arrival is not None:
            heard_s = clock()
            watch.feed(arrival.data, arrival.t_s)
        elif port.ended:
            raise _ended(watch)
        if watch.division_mg is not None and watch.division_mg != division_mg:
            division_mg = watch.division_mg
            may_judge(division_mg)
        if any(key in TAKES for key in keyboard.read(0)):
            watch.accept()
        prompt.show(watch)
        _refuse_silence(clock() - heard_s, clock() - began_s, watch)


def _ended(watch: CheckWatch) -> SpecificationError:
    done = sum(taken.placement is not None for taken in watch.taken)
    return SpecificationError(
        f"The scale's bytes ended after {done} of {watch.count} loads.",
        hint="Give a recording in which each weight is put on an empty pan and taken off again.",
    )


def _refuse_silence(silent_s: float, lasted_s: float, watch: CheckWatch) -> None:
    if watch.refusal:
        raise ScaleError(watch.refusal)
    if silent_s > SILENT_S:
        raise ScaleError(
            f"The scale has said nothing for {silent_s:.0f} s.",
            hint="See that it is switched on and sends all the time, and check again.",
        )
    if lasted_s > MOST_S:
        raise SpecificationError("The check was left alone for too long.", hint="Check again.")
