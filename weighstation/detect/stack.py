"""Building up on a board, and taking away from a bulk: the pan is not emptied between pieces.

Taking away is building up seen in a mirror, so both are this one machine: it is fed levels that
rise with every piece.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.detect.loads import NOTHING, Loads, Seen
from weighstation.detect.states import State, Stimulus, next_state

if TYPE_CHECKING:
    from weighstation.detect.settling import Rest, Settler

_EMPTY_D = 5  # divisions: nearer to the floor, the pan is empty but for flour
_BOARD_ALIKE = 0.05  # of a board: the same one, or its brother
_UNLIKE = 0.2  # of the usual weight: farther from it, a first load on a zeroed scale is a board


class StackWay:
    """Find loads that come on top of those before, until the board leaves.

    Parameters
    ----------
    settler : Settler
    smallest_mg : float, milligrams
        A step smaller than this is a touch, not a piece.
    usual_mg : float, milligrams, or None
        About what a piece weighs: it tells a board from the first piece, and a remainder of the
        bulk from the last one.
    board : bool
        What rises after everything was taken off is a board first, not a piece.
    """

    def __init__(
        self, settler: Settler, smallest_mg: float, usual_mg: float | None, *, board: bool
    ) -> None:
        self.state = State.UNKNOWN
        self._settler = settler
        self._smallest = smallest_mg
        self._usual = usual_mg
        self._board = board
        self._loads = Loads(settler)
        self._floor = 0.0
        self._board_off = False
        self._board_mg = 0.0
        self._fresh = False
        self._unseen = False

    @property
    def base_mg(self) -> float:
        """Level that the next piece is added to, milligrams."""
        return self._loads.base_mg

    def _go(self, stimulus: Stimulus) -> None:
        self.state = next_state(self.state, stimulus)

    def overloaded(self) -> None:
        """Somebody leans on the pan; nothing is decided before it rests again."""

    def underloaded(self) -> None:
        """Somebody pulls the pan up; nothing is decided before it rests again."""

    def lost(self) -> None:
        """Forget the open piece and where the pile stood: nobody sees the pan."""
        self._unseen = True
        self._go(Stimulus.LOST)

    def shifted(self, shift_mg: float) -> None:
        """Follow a tare or zero key."""
        self._loads.shift(shift_mg)
        self._floor += shift_mg

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
            self._loads.base_mg = level
        elif abs(level - self._loads.value_mg) <= self._settler.tolerance_mg:
            self._loads.correct(level)
        self._go(Stimulus.MOVED)

    def moving(self, y_mg: float, rest: Rest | None) -> Seen:
        """Take in a reading of a display that is not calm, or has just become so."""
        if rest is None:
            return NOTHING
        if rest.firm:
            return self._rested_open(rest) if self._is_open() else self._rested_closed(rest)
        if self.state is State.TOUCHED and self._is_touch(y_mg):
            net = rest.level_mg - self._loads.base_mg
            if not self._loads.is_same(rest.level_mg):
                return self._loads.say(rest.t_s, self._loads.touch + 1, net, firm=False)
        return NOTHING

    def finish(self, t_s: float) -> Seen:
        """End the stream: the last piece is finished."""
        if not self._is_open():
            return NOTHING
        self._go(Stimulus.LOST)
        return (self._loads.leave(t_s),)

    def _is_open(self) -> bool:
        return self.state in (State.RESTING, State.TOUCHED)

    def _is_touch(self, level_mg: float) -> bool:
        loads = self._loads
        change = level_mg - loads.value_mg
        if change >= self._smallest:
            return False
        return change > -self._smallest or level_mg - loads.base_mg >= self._smallest

    def _rested_closed(self, rest: Rest) -> Seen:
        """Tell what a level is with no piece open: a piece, a board, or nothing of the kind."""
        level = rest.level_mg
        loads = self._loads
        rise = level - loads.base_mg
        if self.state is State.UNKNOWN or self._unseen:
            self._fresh = (
                not self._unseen and abs(level) <= _EMPTY_D * self._settler.grain.division_mg
            )
            self._unseen = False
            self._take_floor(level)
            self._go(Stimulus.RESTED_EMPTY)
        elif rise >= self._smallest and self._is_piece(level):
            self._go(Stimulus.LOADED)
            return self._open(rest)
        else:
            if rise >= self._smallest:
                self._board_off = False
                self._floor = level
            elif rise <= -self._smallest:
                self._cleared(level)
            loads.base_mg = level
            self._go(Stimulus.RESTED_EMPTY)
        return NOTHING

    def _is_piece(self, level_mg: float) -> bool:
        """Tell a piece from a first board on an empty scale, and from what was left of a bulk."""
        rise = level_mg - self._loads.base_mg
        if self._board_off and abs(rise - self._board_mg) < _BOARD_ALIKE * self._board_mg:
            return False
        if self._board:
            doubtful, self._fresh = self._fresh or self._board_off, False
        else:
            doubtful = abs(level_mg - self._floor) <= _EMPTY_D * self._settler.grain.division_mg
        if self._usual is None or not doubtful:
            return True
        return abs(rise - self._usual) < _UNLIKE * self._usual

    def _open(self, rest: Rest) -> Seen:
        self._board_off = False
        self._loads.arrive(self._settler.motion.onset_s)
        self._go(Stimulus.RESTED_LOADED)
        return self._loads.settle(rest.level_mg, rest.t_s)

    def _rested_open(self, rest: Rest) -> Seen:
        """Tell what a level is with a piece open: a touch, the next one, or something taken off."""
        level = rest.level_mg
        loads = self._loads
        if self._is_touch(level):
            self._go(Stimulus.RESTED_LOADED)
            return loads.settle_again(level, rest.t_s)
        left = loads.leave(self._settler.motion.onset_s)
        self._go(Stimulus.LEFT)
        if level > loads.value_mg:
            loads.base_mg = loads.value_mg
            if self._board or self._is_piece(level):
                self._go(Stimulus.LOADED)
                return (left, *self._open(rest))
        self._cleared(level)
        loads.base_mg = level
        self._go(Stimulus.RESTED_EMPTY)
        return (left,)

    def _take_floor(self, level_mg: float) -> None:
        self._floor = self._loads.base_mg = level_mg

    def _cleared(self, level_mg: float) -> None:
        """Something was taken off; below the floor it was the board as well."""
        self._board_off = self._board and level_mg < self._floor - self._smallest / 2
        if self._board_off:
            self._board_mg = self._floor - level_mg
