"""Keys -> controls: what a floury hand or a foot pedal can say.

========================  ==================================================
``b``, space              turn round what the last lifted piece was taken for
``v``, backspace          strike out the last counted piece (twice)
``p``                     pause, and go on
``d``                     weigh back the dough that is left, and go on dividing
``e``                     end the batch (twice)
``c``                     close the board that is filling (twice)
``s``                     a board goes to the bench: its shaping begins (twice)
``i``, ``o``              a board goes into the oven, and comes out (twice)
``0`` to ``9``            after the first of these: another board, by its number
========================  ==================================================

What is said of a board cannot be taken back, so its key is pressed twice, and the first press names
the board that the second one means.
"""

from __future__ import annotations

from enum import Enum
from typing import Literal, TypeAlias

ARMED_S = 3.0
"""How long a first press waits for its second."""
REPEAT_S = 0.15
"""A key held down repeats faster than this; fingers and feet do not."""
REPEAT_DELAY_S = 1.2
"""A key held down may wait this long before it starts to repeat."""
ESCAPE_S = 0.1
"""A terminal sends the rest of an arrow or function key within this time."""


class Control(Enum):
    """What a person asks of the bench."""

    TURN = "turn"
    VOID = "void"
    PAUSE = "pause"
    DOUGH = "dough left"
    END = "end"
    CLOSE = "close"
    BENCH = "bench"
    OVEN_IN = "oven in"
    OVEN_OUT = "oven out"


KEYS: dict[str, Control] = {
    "b": Control.TURN,
    " ": Control.TURN,
    "v": Control.VOID,
    "\x7f": Control.VOID,
    "\x08": Control.VOID,
    "p": Control.PAUSE,
    "d": Control.DOUGH,
    "e": Control.END,
    "c": Control.CLOSE,
    "s": Control.BENCH,
    "i": Control.OVEN_IN,
    "o": Control.OVEN_OUT,
}
OfBatch: TypeAlias = Literal[Control.TURN, Control.PAUSE, Control.DOUGH, Control.END]
"""What needs no name of what it means."""
OfBoard: TypeAlias = Literal[Control.CLOSE, Control.BENCH, Control.OVEN_IN, Control.OVEN_OUT]
OF_BOARDS: tuple[OfBoard, ...] = (
    Control.CLOSE,
    Control.BENCH,
    Control.OVEN_IN,
    Control.OVEN_OUT,
)
TWICE = (Control.VOID, Control.END, *OF_BOARDS)
DIGITS = "0123456789"
MOST_DIGITS = 4
"""Of the number of a board; more of them are slips."""


class KeyMachine:
    """Characters and time in, controls out; it never asks for the time.

    A key not touched for a while acts at once. Touched again soon, it acts once it has been
    quiet for ``REPEAT_S``, because a pedal that is held down repeats by itself, and must neither
    strike a piece out nor turn a decision round and round.
    """

    def __init__(self) -> None:
        self._seen: dict[Control, float] = {}
        self._waiting: tuple[Control, float] | None = None
        self._armed: tuple[Control, float] | None = None
        self._escape: tuple[str, float] | None = None
        self._digits = ""

    @property
    def typed(self) -> int | None:
        """The number that was typed after the first press of a key for boards, or None."""
        return int(self._digits) if self._digits else None

    def feed(self, chars: str, t_s: float) -> tuple[Control, ...]:
        """Return what the characters that arrived at a time ask for.

        Parameters
        ----------
        chars : str
            As the terminal sent them; those that mean nothing are passed over.
        t_s : float, seconds
            Never less than the time before.

        Returns
        -------
        tuple of Control
        """
        controls = list(self.poll(t_s))
        for char in chars:
            if self._escaped(char, t_s):
                continue
            control = KEYS.get(char.lower())
            if control is not None:
                controls += self._press(control, t_s)
            elif char in DIGITS:
                self._type(char, t_s)
        return tuple(controls)

    def poll(self, t_s: float) -> tuple[Control, ...]:
        """Return what has come due by a time without a further key; call it every 0.1 s or so.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        tuple of Control
        """
        if self._waiting is None or t_s - self._waiting[1] < REPEAT_S:
            return ()
        control, pressed_s = self._waiting
        self._waiting = None
        return self._act(control, pressed_s)

    def armed(self, t_s: float) -> str:
        """Return the control that wants a second press at a time, or an empty text.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        str
            The value of the control, or ``""``.
        """
        if self._armed is None or t_s - self._armed[1] > ARMED_S:
            return ""
        return self._armed[0].value

    def stand_down(self) -> None:
        """Forget a first press: what it named is no longer what a second one would do."""
        self._armed = None

    def _press(self, control: Control, t_s: float) -> tuple[Control, ...]:
        before_s = self._seen.get(control)
        self._seen[control] = t_s
        if before_s is None or t_s - before_s >= REPEAT_DELAY_S:
            return self._act(control, t_s)
        held = t_s - before_s < REPEAT_S
        self._waiting = None if held else (control, t_s)
        return ()

    def _type(self, digit: str, t_s: float) -> None:
        """Take a digit of a board's number, and wait for the second press anew."""
        armed = self.armed(t_s)
        if self._armed is not None and armed in (control.value for control in OF_BOARDS):
            self._digits = (self._digits + digit)[:MOST_DIGITS]
            self._armed = (self._armed[0], t_s)

    def _act(self, control: Control, t_s: float) -> tuple[Control, ...]:
        confirmed = self.armed(t_s) == control.value
        self._armed, self._digits = None, ""
        if control in TWICE and not confirmed:
            self._armed = (control, t_s)
            return ()
        return (control,)

    def _escaped(self, char: str, t_s: float) -> bool:
        """Return whether a character belongs to an arrow or function key."""
        kind, since_s = self._escape or ("", t_s)
        if t_s - since_s > ESCAPE_S:
            kind = ""
        if char == "\x1b":
            self._escape = ("start", t_s)
            return True
        if kind == "start":
            self._escape = ("body", t_s) if char in "[O" else None
            return True
        if kind == "body":
            self._escape = None if "@" <= char <= "~" else ("body", t_s)
            return True
        self._escape = None
        return False
