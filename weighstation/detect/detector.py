"""The machine that turns a display's rests into loads, touches and lift-offs; one door."""

from __future__ import annotations

from enum import Enum

from weighstation.detect.settling import Rest, Settler
from weighstation.detect.states import State, Stimulus, next_state
from weighstation.events import DivisionLearned, PanLeft, Reading, Status, Weighing
from weighstation.quantities import on_division
from weighstation.specification import Way

Detected = tuple[Weighing | PanLeft, ...]
_NOTHING: Detected = ()


class Pan(Enum):
    """What the pan looks like, for a screen."""

    NO_READING = "no reading"
    EMPTY = "empty"
    MOVING = "moving"
    LOADED = "loaded"
    OVERLOADED = "overloaded"


_PAN = {
    State.UNKNOWN: Pan.NO_READING,
    State.EMPTY: Pan.EMPTY,
    State.STIRRED: Pan.MOVING,
    State.ARRIVING: Pan.MOVING,
    State.RESTING: Pan.LOADED,
    State.TOUCHED: Pan.MOVING,
}


class Detector:
    """Find every load once.

    Parameters
    ----------
    way : Way
        How pieces meet the scale.
    smallest_load_mg : int, milligrams
        A load lighter than this is no piece (flour, a scrap, a draught).
    """

    def __init__(self, *, way: Way = Way.SINGLE, smallest_load_mg: int) -> None:
        self._way = way
        self._sign = -1 if way is Way.TAKE_AWAY else 1
        self._smallest = float(smallest_load_mg)
        self._settler = Settler()
        self._state = State.UNKNOWN
        self._base = 0.0
        self._former_base: float | None = None
        self._overloaded = False
        self._visit = 0
        self._touch = 0
        self._placed_s = 0.0
        self._first: float | None = None
        self._value = 0.0
        self._left_s: float | None = None
        self._started = False
        self._said: Weighing | None = None

    @property
    def pan(self) -> Pan:
        """What the pan looks like now."""
        return Pan.OVERLOADED if self._overloaded else _PAN[self._state]

    def feed(self, item: Reading | DivisionLearned) -> Detected:
        """Take in one reading; return what it showed.

        Parameters
        ----------
        item : Reading or DivisionLearned

        Returns
        -------
        tuple of Weighing and PanLeft
        """
        if isinstance(item, DivisionLearned):
            self._settler.learn_division(item.division_mg)
            return _NOTHING
        gross_mg = item.gross_mg
        if gross_mg is None:
            self._overloaded = self._overloaded or item.status is Status.OVERLOAD
            return _NOTHING
        self._overloaded = False
        y = float(self._sign * gross_mg)
        settler = self._settler
        if settler.calm:
            if abs(y - settler.level_mg) <= settler.tolerance_mg:
                settler.hold(item.t_s, y)
                return _NOTHING
            return self._stirred(item.t_s, y)
        if not self._started:
            self._started = True
            settler.start(item.t_s, y)
            return _NOTHING
        return self._moving(item.t_s, y, settler.follow(item.t_s, y))

    def finish(self, t_s: float) -> Detected:
        """End the stream: a piece that building up or taking away left open is finished.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        tuple of PanLeft
        """
        if self._way is Way.SINGLE or self._state not in (State.RESTING, State.TOUCHED):
            return _NOTHING
        return (self._pan_left(t_s),)

    def _go(self, stimulus: Stimulus) -> None:
        self._state = next_state(self._state, stimulus)

    def _stirred(self, t_s: float, y: float) -> Detected:
        """Leave a calm level."""
        if self._state is State.EMPTY:
            self._base = self._settler.level_mg
        else:
            self._value = self._settler.level_mg
        self._go(Stimulus.MOVED)
        self._settler.stir(t_s, y)
        return self._moving(t_s, y, None)

    def _moving(self, t_s: float, y: float, rest: Rest | None) -> Detected:
        if self._state is State.STIRRED and y - self._base >= self._smallest:
            self._arrive(t_s)
        if rest is None:
            return self._watch_for_leaving(t_s, y)
        if rest.firm:
            return self._rested(rest)
        return self._provisional(rest)

    def _arrive(self, t_s: float) -> None:
        self._go(Stimulus.LOADED)
        self._visit += 1
        self._touch = 0
        self._placed_s = self._settler.onset_s
        self._first = None

    def _watch_for_leaving(self, t_s: float, y: float) -> Detected:
        return _NOTHING

    def _provisional(self, rest: Rest) -> Detected:
        net = rest.level_mg - self._base
        if net < self._smallest:
            return _NOTHING
        if self._state is State.ARRIVING:
            self._value = rest.level_mg
            return self._say(rest.t_s, 0, net, firm=False)
        if self._state is State.TOUCHED and not self._is_same(rest.level_mg):
            return self._say(rest.t_s, self._touch + 1, net, firm=False)
        return _NOTHING

    def _say(self, t_s: float, touch: int, net: float, *, firm: bool) -> Detected:
        net_mg = self._indicated(net)
        said = self._said
        key = (self._visit, touch, net_mg, firm)
        if said is not None and key == (said.visit, said.touch, said.net_mg, said.firm):
            return _NOTHING
        self._said = Weighing(t_s, self._visit, touch, net_mg, firm)
        return (self._said,)

    def _indicated(self, net: float) -> int:
        return on_division(round(net), round(self._settler.division_mg))

    def _is_same(self, level: float) -> bool:
        d = self._settler.division_mg
        change = abs(level - self._value)
        if self._settler.excursion_mg() < max(4 * d, 5000.0):
            return change < max(1.5 * d, 3 * self._settler.noise_mg)
        return change < max(0.75 * d, 1.5 * self._settler.noise_mg)

    def _rested(self, rest: Rest) -> Detected:
        level = rest.level_mg
        net = level - self._base
        if self._state is State.UNKNOWN:
            return self._first_rest(rest)
        if self._state is State.STIRRED:
            self._base = level
            self._go(Stimulus.RESTED_EMPTY)
            return _NOTHING
        if self._state is State.ARRIVING:
            if net < self._smallest:
                self._visit -= 1
                self._base = level
                self._go(Stimulus.RESTED_EMPTY)
                return _NOTHING
            self._go(Stimulus.RESTED_LOADED)
            self._first = self._value = level
            return self._say(rest.t_s, 0, net, firm=True)
        return self._rested_again(rest, net)

    def _first_rest(self, rest: Rest) -> Detected:
        self._base = rest.level_mg
        self._go(Stimulus.RESTED_EMPTY)
        return _NOTHING

    def _rested_again(self, rest: Rest, net: float) -> Detected:
        if net < self._smallest / 2:
            left = self._pan_left(self._settler.onset_s)
            self._go(Stimulus.LEFT)
            self._go(Stimulus.RESTED_EMPTY)
            self._base = rest.level_mg
            return (left,)
        self._go(Stimulus.RESTED_LOADED)
        if not self._is_same(rest.level_mg):
            self._touch += 1
            self._value = rest.level_mg
        return self._say(rest.t_s, self._touch, rest.level_mg - self._base, firm=True)

    def _pan_left(self, t_s: float) -> PanLeft:
        final = self._indicated(self._value - self._base)
        first = final if self._first is None else self._indicated(self._first - self._base)
        return PanLeft(t_s, self._visit, self._placed_s, first, final, self._touch)
