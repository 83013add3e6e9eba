"""The one door: readings in, loads out."""

from __future__ import annotations

from enum import Enum

from weighstation.detect.loads import NOTHING, Seen
from weighstation.detect.settling import Settler
from weighstation.detect.single import SingleWay
from weighstation.detect.stack import StackWay
from weighstation.detect.states import State
from weighstation.events import DivisionLearned, Reading, Status
from weighstation.specification import Way


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
    usual_load_mg : int, milligrams, or None
        About what a piece weighs; tells a board or a remainder from a piece where nothing else
        does.
    """

    def __init__(
        self,
        *,
        way: Way = Way.SINGLE,
        smallest_load_mg: int,
        usual_load_mg: int | None = None,
    ) -> None:
        self._sign = -1.0 if way is Way.TAKE_AWAY else 1.0
        self._smallest = float(smallest_load_mg)
        self._settler = Settler()
        self._machine = (
            SingleWay(self._settler, self._smallest, usual_load_mg)
            if way is Way.SINGLE
            else StackWay(self._settler, self._smallest, usual_load_mg, board=way is Way.BUILD_UP)
        )
        self._piles = way is not Way.SINGLE
        self._started = False
        self._overloaded = False

    @property
    def pan(self) -> Pan:
        """What the pan looks like now."""
        return Pan.OVERLOADED if self._overloaded else _PAN[self._machine.state]

    @property
    def base_mg(self) -> float:
        """Level of the empty pan as it was last seen, milligrams."""
        return self._sign * self._machine.base_mg

    def feed(self, item: Reading | DivisionLearned) -> Seen:
        """Take in one reading; return what it showed.

        Parameters
        ----------
        item : Reading or DivisionLearned

        Returns
        -------
        tuple of Weighing and PanLeft
        """
        settler = self._settler
        if isinstance(item, DivisionLearned):
            settler.learn_division(item.division_mg)
            return NOTHING
        if item.gross_mg is None:
            return self._without_weight(item)
        self._overloaded = False
        t_s = item.t_s
        y_mg = self._sign * item.gross_mg
        if settler.calm:
            if abs(y_mg - settler.level_mg) <= settler.tolerance_mg:
                return self._crept(t_s) if settler.hold(t_s, y_mg) else NOTHING
            return self._stirred(t_s, y_mg)
        if not self._started:
            self._started = True
            settler.start(t_s, y_mg)
            return NOTHING
        if settler.motion.is_near_start():
            self._follow_key(t_s, y_mg)
        return self._machine.moving(y_mg, settler.follow(t_s, y_mg))

    def lose_sight(self, t_s: float) -> None:
        """Forget the load on the pan: the link was lost, or the scale served something else.

        What was learned of the instrument stays, and so does the empty pan's level; what lies on
        the pan afterwards is weighed anew.

        Parameters
        ----------
        t_s : float, seconds
        """
        if self._started:
            self._settler.start(t_s, self._machine.base_mg)
            self._machine.lost()

    def finish(self, t_s: float) -> Seen:
        """End the stream: a piece that building up or taking away left open is finished.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        tuple of PanLeft
        """
        return self._machine.finish(t_s)

    def _without_weight(self, item: Reading) -> Seen:
        if item.status is Status.OVERLOAD:
            self._overloaded = True
            self._machine.overloaded()
        elif item.status is Status.UNDERLOAD:
            self._machine.underloaded()
        return NOTHING

    def _crept(self, t_s: float) -> Seen:
        return self._machine.crept(t_s, self._settler.level_mg)

    def _stirred(self, t_s: float, y_mg: float) -> Seen:
        """Leave a calm level."""
        settler = self._settler
        if self._follow_key(t_s, y_mg) and abs(y_mg) <= settler.tolerance_mg:
            settler.hold(t_s, y_mg)
            return NOTHING
        self._machine.stirred()
        return self._machine.moving(y_mg, settler.stir(t_s, y_mg))

    def _follow_key(self, t_s: float, y_mg: float) -> bool:
        """Follow a tare or zero key; say whether one was pressed.

        The display then jumps to zero faster than its own filter lets a load. The levels that
        count from a zero move with it; a piece on the pan stays what it was.
        """
        settler = self._settler
        before_mg = settler.last_mg
        if abs(before_mg) < max(20 * settler.grain.division_mg, self._smallest):
            return False
        d = settler.grain.division_mg
        if not -d <= self._sign * y_mg <= max(2.5 * d, 0.015 * abs(before_mg)):
            return False  # a finger on the key pushes the pan down, never up
        sprang_up = self._piles and settler.calm and self._sign * before_mg < 0 and abs(y_mg) <= d
        if not sprang_up and not settler.is_faster_than_filter(t_s):
            return False
        settler.shift(t_s, -before_mg)
        self._machine.shifted(-before_mg)
        return True
