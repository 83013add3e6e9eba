"""The usual way: the pan is emptied between pieces."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.detect.floor import Floor
from weighstation.detect.loads import NOTHING, Loads, Seen
from weighstation.detect.states import State, Stimulus, next_state

if TYPE_CHECKING:
    from weighstation.detect.settling import Rest, Settler

_EMPTY_SHARE = 0.12  # of a load: less than this on the pan is an empty pan
_DIP_MOST_S = 0.09  # a pull at the piece empties the pan for no longer
_SPRING_SHARE = 0.97
_SPRUNG_TO = 0.02
_FLOUR_SHARE = 0.12  # of the smallest load: what rises more may be a first bit of dough
_TRAY_MOST = 0.6  # of the usual weight
_LIKE = 0.25
_GLIMPSE_S = 0.15  # so long a level, though never firm, was a rest


class SingleWay:
    """Find loads that come onto an empty pan and leave it empty.

    Parameters
    ----------
    settler : Settler
    smallest_mg : float, milligrams
        A load lighter than this is no piece.
    usual_mg : float, milligrams, or None
        About what a piece weighs; tells a tray that is tared from a piece that is snatched up.
    """

    def __init__(self, settler: Settler, smallest_mg: float, usual_mg: float | None = None) -> None:
        self.state = State.UNKNOWN
        self._settler = settler
        self._smallest = smallest_mg
        self._usual = usual_mg
        self._loads = Loads(settler)
        self._tray_level: float | None = None
        self._glimpse: float | None = None
        self._flat: float | None = None
        self._gone_since_s: float | None = None
        self._swamped = False
        self._tared = False
        self._unseen = False
        self._has_left = False
        self._floor = Floor(usual_mg)

    @property
    def base_mg(self) -> float:
        """Level of the empty pan, milligrams."""
        return self._loads.base_mg

    def _go(self, stimulus: Stimulus) -> None:
        self.state = next_state(self.state, stimulus)

    def overloaded(self) -> None:
        """Somebody leans on the pan: what seemed to arrive was no load."""
        self._swamped = self.state in (State.STIRRED, State.ARRIVING)
        if self.state is State.ARRIVING:
            self._loads.cancel()
            self._go(Stimulus.LEFT)

    def underloaded(self) -> None:
        """Somebody pulls the pan up: it is not empty, though a pull dips lower than empty."""
        self._gone_since_s = None

    def lost(self) -> None:
        """Forget the load: nobody sees the pan, and who knows what happens on it.

        What lies there afterwards is weighed as a new load, and only if it comes firmly to rest:
        of one that was just being lifted too little would be seen.
        """
        self._glimpse = self._flat = None
        self._unseen = True
        self._go(Stimulus.LOST)

    def shifted(self, shift_mg: float) -> None:
        """Follow a tare or zero key."""
        self._loads.shift(shift_mg)
        self._floor.shift(shift_mg)
        self._tray_level = None
        self._tared = self.state in (State.RESTING, State.TOUCHED)
        if self._glimpse is not None:
            self._glimpse += shift_mg
        self._flat = None

    def crept(self, t_s: float, level_mg: float) -> Seen:
        """Follow a calm level that has crept a division off what was said of it."""
        if self.state is not State.RESTING:
            return NOTHING
        self._loads.correct(level_mg)
        return self._loads.say(t_s, self._loads.touch, self._loads.net_mg, firm=True)

    def stirred(self) -> None:
        """Take note that the display leaves its calm level."""
        level = self._settler.level_mg
        if self.state is State.EMPTY:
            now_s = self._settler.last_s
            self._loads.base_mg = self._floor.stirred(level, self._loads.base_mg, now_s)
        elif abs(level - self._loads.value_mg) <= self._settler.tolerance_mg:
            self._loads.correct(level)
        self._glimpse = self._flat = None
        self._gone_since_s = None
        self._go(Stimulus.MOVED)

    def moving(self, y_mg: float, rest: Rest | None) -> Seen:
        """Take in a reading of a display that is not calm, or has just become so."""
        if self.state is State.STIRRED and self._has_arrived(y_mg, rest):
            self._gone_since_s = None
            self._go(Stimulus.LOADED)
            self._loads.arrive(self._settler.motion.rise_began_s())
            self._glimpse = self._flat = None
        if rest is not None and rest.firm:
            return self._rested(rest)
        if self.state not in (State.ARRIVING, State.TOUCHED):
            return NOTHING
        if y_mg - self._loads.base_mg < self._empty_below():
            return self._maybe_left()
        self._gone_since_s = None
        return NOTHING if rest is None else self._provisional(rest)

    def finish(self, t_s: float) -> Seen:
        """End the stream; what lies on the pan stays there uncounted."""
        del t_s
        return NOTHING

    def _empty_below(self) -> float:
        loaded = max(self._loads.net_mg, self._smallest)
        return min(_EMPTY_SHARE * loaded, 0.9 * self._smallest)

    def _has_arrived(self, y_mg: float, rest: Rest | None) -> bool:
        """Say whether the reading is a load, and not a leaning elbow or a tray put back."""
        if y_mg - self._loads.base_mg < self._smallest:
            return False
        firm = rest is not None and rest.firm
        if self._unseen:
            return firm
        if self._swamped:
            return firm or self._settler.motion.slows_down()
        tray = self._tray_level
        if tray is None:
            return True
        if y_mg > tray + self._smallest:
            self._loads.base_mg = tray
            self._tray_level = None
            return True
        slack = max(4 * self._settler.grain.division_mg, 4000.0)
        return rest is not None and rest.firm and abs(rest.level_mg - tray) > slack

    def _maybe_left(self) -> Seen:
        """Wait a moment on a pan that looks empty: a pull dips as low, but not for so long."""
        now_s = self._settler.last_s
        if self._gone_since_s is None:
            self._gone_since_s = now_s
        return self._left() if now_s - self._gone_since_s > _DIP_MOST_S else NOTHING

    def _left(self) -> Seen:
        """Close a load: the display is on its way down to empty, or there."""
        loads = self._loads
        if self.state is State.ARRIVING:
            if self._glimpse is None:
                self._glimpse = self._settler.motion.dwelt_at_mg(loads.base_mg + self._smallest)
            if self._glimpse is None and self._was_said_of_a_piece():
                self._glimpse = loads.base_mg + (loads.said_net_mg or 0)
            if self._glimpse is None:
                loads.cancel()
                self._go(Stimulus.LEFT)
                return NOTHING
            loads.correct(self._glimpse)
        elif self._glimpse is not None and not loads.is_same(self._glimpse):
            loads.take_glimpse(self._glimpse)
        self._tared = False
        if self._was_tray():
            loads.cancel()
            self._go(Stimulus.LEFT)
            return NOTHING
        halfway = loads.base_mg + 0.5 * loads.net_mg
        self._has_left = True
        self._go(Stimulus.LEFT)
        return (loads.leave(self._settler.motion.last_at_s(halfway)),)

    def _provisional(self, rest: Rest) -> Seen:
        loads = self._loads
        net = rest.level_mg - loads.base_mg
        if net < self._smallest:
            return NOTHING
        self._look(rest.level_mg)
        if self.state is State.ARRIVING:
            net = rest.level_mg - self._floor.under(rest.level_mg, loads.base_mg)
            return loads.say(rest.t_s, 0, net, firm=False)
        if not loads.is_same(rest.level_mg):
            return loads.say(rest.t_s, loads.touch + 1, net, firm=False)
        return NOTHING

    def _look(self, level_mg: float) -> None:
        """Remember a level that may prove the last one seen of this load.

        A flat one counts more than one that was only slow: the hand that lifts presses first.
        """
        motion = self._settler.motion
        if motion.flat_s() >= _GLIMPSE_S:
            self._flat = self._glimpse = level_mg
        elif motion.slows_down() and (self.state is State.ARRIVING or motion.was_worked_on()):
            near_mg = max(5 * motion.grain.division_mg, 0.01 * abs(level_mg))
            if self._flat is None or abs(level_mg - self._flat) > near_mg:
                self._glimpse = level_mg
                self._flat = None

    def _rested(self, rest: Rest) -> Seen:
        self._swamped = self._unseen = False
        loads = self._loads
        net = rest.level_mg - loads.base_mg
        match self.state:
            case State.UNKNOWN | State.STIRRED:
                self._rested_empty(rest.level_mg)
            case State.ARRIVING | State.TOUCHED if net < self._smallest / 2:
                left = self._left()
                self._rested_empty(rest.level_mg)
                return left
            case State.ARRIVING if net < self._smallest or self._was_zeroed(rest.level_mg):
                loads.cancel()
                self._rested_empty(rest.level_mg)
            case State.ARRIVING:
                self._go(Stimulus.RESTED_LOADED)
                loads.base_mg = self._floor.under(rest.level_mg, loads.base_mg)
                return loads.settle(rest.level_mg, rest.t_s)
            case _ if self._tared and rest.level_mg > loads.value_mg + self._smallest:
                self._go(Stimulus.RESTED_LOADED)
                self._tared = False
                return loads.settle_on_tray(rest.level_mg, rest.t_s)
            case _:
                self._go(Stimulus.RESTED_LOADED)
                return loads.settle_again(rest.level_mg, rest.t_s)
        return NOTHING

    def _was_said_of_a_piece(self) -> bool:
        """Say whether the person was shown a weight like a piece's: it must not vanish unsaid."""
        said_mg = self._loads.said_net_mg
        if said_mg is None or self._usual is None:
            return False
        return abs(said_mg - self._usual) < _LIKE * self._usual

    def _was_tray(self) -> bool:
        """Say whether the load was a tray that has been tared: light for a piece, gone at once."""
        motion = self._settler.motion
        if self._usual is None or self._loads.net_mg > _TRAY_MOST * self._usual:
            return False
        return motion.y_mg[0] > 0 and abs(motion.y_mg[1]) < _SPRUNG_TO * motion.y_mg[0]

    def _was_zeroed(self, level_mg: float) -> bool:
        """Say whether a negative empty pan was set to zero: it sprang there, and rests just on it.

        A piece would have to weigh just what was tared away, and come down in a single reading.
        """
        motion = self._settler.motion
        sprang = motion.y_mg[1] - motion.y_mg[0] > _SPRING_SHARE * (level_mg - motion.y_mg[0])
        return sprang and motion.y_mg[0] < 0 and abs(level_mg) < 0.6 * motion.grain.division_mg

    def _rested_empty(self, level_mg: float) -> None:
        """Take a level for that of the empty pan; remember that of a tray that was taken off."""
        loads = self._loads
        gone = loads.base_mg - level_mg
        if self.state is not State.UNKNOWN and gone > self._smallest / 2:
            slack = max(3 * self._settler.grain.division_mg, 0.02 * gone)
            tared = abs(gone - loads.last_net_mg) < slack
            negative = level_mg < -self._smallest / 2  # only a tray that was tared leaves that
            self._tray_level = loads.base_mg if negative and not tared else None
        elif self._tray_level is not None and level_mg > self._tray_level - self._smallest / 2:
            self._tray_level = None
            self._has_left = True  # what rose is the tray
        bare = self._has_left or self.state is not State.STIRRED
        self._has_left = False
        loads.base_mg = self._floor.rested(
            level_mg,
            loads.base_mg,
            flour_mg=max(_FLOUR_SHARE * self._smallest, 5 * self._settler.grain.division_mg),
            bare=bare,
            now_s=self._settler.last_s,
        )
        self._go(Stimulus.RESTED_EMPTY)
