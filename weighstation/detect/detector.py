"""The machine that turns a display's rests into loads, touches and lift-offs; one door."""

from __future__ import annotations

from enum import Enum

from weighstation.detect.settling import Rest, Settler
from weighstation.detect.states import State, Stimulus, next_state
from weighstation.events import DivisionLearned, PanLeft, Reading, Status, Weighing
from weighstation.quantities import on_division
from weighstation.specification import Way

Seen = tuple[Weighing | PanLeft, ...]
_NOTHING: Seen = ()
_EMPTY_SHARE = 0.12  # of a load: less than this on the pan is an empty pan
_GLIMPSE_S = 0.15  # so long a level, though never firm, was a rest
_HAND_MOST_S = 1.6  # a hand that lies still on a piece comes off within this time
_HAND_MOST_MG = 80_000.0


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
        self._sign = -1.0 if way is Way.TAKE_AWAY else 1.0
        self._smallest = float(smallest_load_mg)
        self._settler = Settler()
        self._state = State.UNKNOWN
        self._started = False
        self._overloaded = False
        self._swamped = False
        self._base = 0.0
        self._former: float | None = None
        self._visit = 0
        self._touch = 0
        self._placed_s = 0.0
        self._first = 0.0
        self._value = 0.0
        self._glimpse: float | None = None
        self._firm_s = 0.0
        self._last_final = 0.0
        self._said: Weighing | None = None

    @property
    def pan(self) -> Pan:
        """What the pan looks like now."""
        return Pan.OVERLOADED if self._overloaded else _PAN[self._state]

    def feed(self, item: Reading | DivisionLearned) -> Seen:
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
            return self._without_weight(item)
        self._overloaded = False
        y = self._sign * gross_mg
        settler = self._settler
        if settler.calm:
            if abs(y - settler.level_mg) <= settler.tolerance_mg:
                return self._crept(item.t_s) if settler.hold(item.t_s, y) else _NOTHING
            if self._key_pressed(item.t_s, y) and abs(y) <= settler.tolerance_mg:
                settler.hold(item.t_s, y)
                return _NOTHING
            return self._stirred(item.t_s, y)
        if not self._started:
            self._started = True
            settler.start(item.t_s, y)
            return _NOTHING
        if abs(settler.last_mg) > 20 * abs(y) and settler.is_near_start():
            self._key_pressed(item.t_s, y)
        return self._moving(item.t_s, y, settler.follow(item.t_s, y))

    def finish(self, t_s: float) -> Seen:
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

    def _without_weight(self, item: Reading) -> Seen:
        if item.status is Status.OVERLOAD:
            self._overloaded = True
            self._swamped = self._state in (State.STIRRED, State.ARRIVING)
            if self._state is State.ARRIVING:
                self._go(Stimulus.LEFT)
                self._visit -= 1
        return _NOTHING

    def _stirred(self, t_s: float, y: float) -> Seen:
        """Leave a calm level."""
        settler = self._settler
        if self._state is State.EMPTY:
            self._base = settler.level_mg
        elif abs(settler.level_mg - self._value) <= settler.tolerance_mg:
            self._value = settler.level_mg
        self._glimpse = None
        self._go(Stimulus.MOVED)
        return self._moving(t_s, y, settler.stir(t_s, y))

    def _crept(self, t_s: float) -> Seen:
        """The calm level is a division off what was said of it: follow it."""
        level = self._settler.said_mg = self._settler.level_mg
        if self._state is not State.RESTING:
            return _NOTHING
        self._value = level
        if self._touch == 0:
            self._first = level
        return self._say(t_s, self._touch, level - self._base, firm=True)

    def _key_pressed(self, t_s: float, y: float) -> bool:
        """Follow a tare or zero key: the display jumped to zero faster than any load could.

        The levels that count from a zero move with it; a piece on the pan stays what it was.
        """
        settler = self._settler
        before = settler.last_mg
        d = settler.division_mg
        settle_s = settler.response.settle_s
        if (
            abs(y) > max(2.5 * d, 0.015 * abs(before))  # noqa: PLR2004
            or abs(before) < max(20 * d, self._smallest)
            or settle_s is None
            or settle_s < 2.4 * (t_s - settler.last_s)  # noqa: PLR2004
        ):
            return False
        shift = -before
        settler.shift(t_s, shift)
        self._former = None
        self._base += shift
        self._value += shift
        self._first += shift
        if self._glimpse is not None:
            self._glimpse += shift
        return True

    def _moving(self, t_s: float, y: float, rest: Rest | None) -> Seen:
        if self._state is State.STIRRED and self._has_arrived(y, rest):
            self._arrive()
        if rest is not None and rest.firm:
            return self._rested(rest)
        if self._state in (State.ARRIVING, State.TOUCHED):
            if y - self._base < self._empty_below():
                return self._left_moving()
            if rest is not None:
                return self._provisional(rest)
        return _NOTHING

    def _empty_below(self) -> float:
        loaded = max(self._value - self._base, self._smallest)
        return min(_EMPTY_SHARE * loaded, 0.9 * self._smallest)

    def _has_arrived(self, y: float, rest: Rest | None) -> bool:
        if y - self._base < self._smallest:
            return False
        if self._swamped:
            return rest is not None and rest.firm
        if self._former is None:
            return True
        if y > self._former + self._smallest:
            self._base = self._former
            self._former = None
            return True
        return (
            rest is not None
            and rest.firm
            and abs(rest.level_mg - self._former) > max(4 * self._settler.division_mg, 4000.0)
        )

    def _arrive(self) -> None:
        self._go(Stimulus.LOADED)
        self._visit += 1
        self._touch = 0
        self._placed_s = self._settler.onset_s
        self._glimpse = None
        self._value = self._base

    def _left_moving(self) -> Seen:
        """The display is on its way down to empty."""
        if self._state is State.ARRIVING:
            if self._glimpse is None:
                self._visit -= 1
                self._go(Stimulus.LEFT)
                return _NOTHING
            self._first = self._value = self._glimpse
        elif self._glimpse is not None and not self._is_same(self._glimpse):
            self._touch += 1
            self._value = self._glimpse
        left = self._pan_left(self._settler.last_at_mg(self._base + 0.5 * (self._value - self._base)))
        self._go(Stimulus.LEFT)
        return (left,)

    def _provisional(self, rest: Rest) -> Seen:
        net = rest.level_mg - self._base
        if net < self._smallest:
            return _NOTHING
        flat_s = self._settler.flat_s()
        if flat_s >= _GLIMPSE_S or (flat_s > 0 and self._state is State.ARRIVING):
            self._glimpse = rest.level_mg
        if self._state is State.ARRIVING:
            return self._say(rest.t_s, 0, net, firm=False)
        if not self._is_same(rest.level_mg):
            return self._say(rest.t_s, self._touch + 1, net, firm=False)
        return _NOTHING

    def _say(self, t_s: float, touch: int, net: float, *, firm: bool) -> Seen:
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
        """Say whether a level is that of the touch before: flicker and knocks are no touch."""
        settler = self._settler
        d, noise = settler.division_mg, settler.noise_mg
        change = abs(level - self._value)
        if max(settler.above_mg(), settler.below_mg()) < max(4 * d, 5000.0):
            return change < max(1.5 * d, 3 * noise)
        return change < max(0.75 * d, 1.5 * noise)

    def _rested(self, rest: Rest) -> Seen:
        self._swamped = False
        level = rest.level_mg
        net = level - self._base
        if self._state is State.UNKNOWN:
            self._base = level
            self._go(Stimulus.RESTED_EMPTY)
            return _NOTHING
        if self._state is State.STIRRED:
            self._rested_empty(level)
            return _NOTHING
        if self._state is State.ARRIVING and net < self._smallest:
            self._visit -= 1
            self._rested_empty(level)
            return _NOTHING
        if self._state is State.ARRIVING:
            self._go(Stimulus.RESTED_LOADED)
            self._first = self._value = level
            self._firm_s = rest.t_s
            return self._say(rest.t_s, 0, net, firm=True)
        if net < self._smallest / 2:
            left = self._left_moving()
            self._rested_empty(level)
            return left
        return self._rested_again(rest, net)

    def _rested_empty(self, level: float) -> None:
        if level < self._base - self._smallest / 2:
            gone = self._base - level
            tared = abs(gone - self._last_final) < max(3 * self._settler.division_mg, 0.02 * gone)
            self._former = None if tared else self._base
        elif self._former is not None and level > self._former - self._smallest / 2:
            self._former = None
        self._base = level
        self._go(Stimulus.RESTED_EMPTY)

    def _rested_again(self, rest: Rest, net: float) -> Seen:
        self._go(Stimulus.RESTED_LOADED)
        level = rest.level_mg
        if not self._is_same(level):
            if self._moved_by_itself(rest):
                self._settler.patience.see(held=False)
                if self._touch == 0:
                    self._first = level
            else:
                self._settler.patience.see(held=True)
                self._touch += 1
            self._value = level
            self._firm_s = rest.t_s
        return self._say(rest.t_s, self._touch, self._value - self._base, firm=True)

    def _moved_by_itself(self, rest: Rest) -> bool:
        """Say whether the weight moved by itself: a hand came off, or the display crept on.

        A touch shows as a press or a pull beyond the change it leaves; this does not.
        """
        settler = self._settler
        fall = self._value - rest.level_mg
        slack = max(2 * settler.division_mg, 3 * settler.noise_mg)
        return (
            -4 * slack < fall < _HAND_MOST_MG
            and settler.onset_s - self._firm_s < _HAND_MOST_S
            and settler.above_mg() <= slack + max(-fall, 0.0)
            and settler.below_mg() <= slack + max(fall, 0.0)
        )

    def _pan_left(self, t_s: float) -> PanLeft:
        final = self._indicated(self._value - self._base)
        first = final if self._touch == 0 else self._indicated(self._first - self._base)
        self._last_final = self._value - self._base
        self._settler.patience.see(held=True)
        return PanLeft(t_s, self._visit, self._placed_s, first, final, self._touch)
