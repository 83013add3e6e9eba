"""The book of loads: which one lies there, how it first came to rest, how often it was touched."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.events import PanLeft, Weighing
from weighstation.quantities import on_division

if TYPE_CHECKING:
    from weighstation.detect.settling import Settler

Seen = tuple[Weighing | PanLeft, ...]
NOTHING: Seen = ()
_HAND_MOST_S = 1.0  # a hand that lies still on a piece comes off within this time


class Loads:
    """Levels of the present load, and what is said of it.

    Levels are display readings; a net weight is a difference of two of them.

    Parameters
    ----------
    settler : Settler
        Whose division and noise decide what counts as a change.
    """

    def __init__(self, settler: Settler) -> None:
        self._settler = settler
        self.base_mg = 0.0
        self.value_mg = 0.0
        self.visit = 0
        self.touch = 0
        self.firm_s = 0.0
        self.last_net_mg = 0.0
        self._first_mg = 0.0
        self._placed_s = 0.0
        self._said: Weighing | None = None

    @property
    def net_mg(self) -> float:
        """Net weight of the present load, milligrams."""
        return self.value_mg - self.base_mg

    def arrive(self, placed_s: float) -> None:
        """Open the next load.

        Parameters
        ----------
        placed_s : float, seconds
        """
        self.visit += 1
        self.touch = 0
        self._placed_s = placed_s
        self.value_mg = self._first_mg = self.base_mg

    def cancel(self) -> None:
        """Take back a load that seemed to arrive and was none."""
        self.visit -= 1

    def settle(self, level_mg: float, t_s: float) -> Seen:
        """Take the level at which the load first came to rest.

        Parameters
        ----------
        level_mg : float, milligrams
        t_s : float, seconds

        Returns
        -------
        tuple of Weighing
        """
        self._first_mg = self.value_mg = level_mg
        self.firm_s = t_s
        return self.say(t_s, self.touch, self.net_mg, firm=True)

    def settle_on_tray(self, level_mg: float, t_s: float) -> Seen:
        """Take the load for a tray that was tared, and what came onto it for the load.

        Parameters
        ----------
        level_mg : float, milligrams
        t_s : float, seconds

        Returns
        -------
        tuple of Weighing
        """
        self.base_mg = self.value_mg
        self.touch = 0
        self._placed_s = self._settler.motion.rise_began_s()
        return self.settle(level_mg, t_s)

    def settle_again(self, level_mg: float, t_s: float) -> Seen:
        """Take a level at which the load came to rest again; a changed one is one more touch.

        Parameters
        ----------
        level_mg : float, milligrams
        t_s : float, seconds

        Returns
        -------
        tuple of Weighing
        """
        settler = self._settler
        if not self.is_same(level_mg):
            soon = t_s - self.firm_s < _HAND_MOST_S
            by_itself = (
                soon and not settler.was_steady and settler.motion.moved_by_itself_to(level_mg)
            )
            if by_itself:
                settler.see_wrong()
                self.correct(level_mg)
            else:
                settler.patience.see(held=True)
                self.touch += 1
                self.value_mg = level_mg
            self.firm_s = t_s
        return self.say(t_s, self.touch, self.net_mg, firm=True)

    def correct(self, level_mg: float) -> None:
        """Correct the level of a load that nobody touched.

        Parameters
        ----------
        level_mg : float, milligrams
        """
        self.value_mg = level_mg
        if self.touch == 0:
            self._first_mg = level_mg

    def shift(self, shift_mg: float) -> None:
        """Move every level: the scale was tared or set to zero.

        Parameters
        ----------
        shift_mg : float, milligrams
        """
        self.base_mg += shift_mg
        self.value_mg += shift_mg
        self._first_mg += shift_mg

    def is_same(self, level_mg: float) -> bool:
        """Say whether a level is that of the touch before: flicker and knocks are no touch.

        Parameters
        ----------
        level_mg : float, milligrams

        Returns
        -------
        bool
        """
        motion, grain = self._settler.motion, self._settler.grain
        d, noise = grain.division_mg, grain.noise_mg
        change = abs(level_mg - self.value_mg)
        if max(motion.above_mg(), motion.below_mg()) < max(4 * d, 5000.0):
            return change < max(1.5 * d, 3 * noise)
        return change < max(0.75 * d, 1.5 * noise)

    def say(self, t_s: float, touch: int, net_mg: float, *, firm: bool) -> Seen:
        """Return what is to be said of the load now, unless it has just been said.

        Parameters
        ----------
        t_s : float, seconds
        touch : int
        net_mg : float, milligrams
        firm : bool

        Returns
        -------
        tuple of Weighing
        """
        shown_mg = self._indicated(net_mg)
        said = self._said
        if said is not None and (self.visit, touch, shown_mg, firm) == (
            said.visit,
            said.touch,
            said.net_mg,
            said.firm,
        ):
            return NOTHING
        self._said = Weighing(t_s, self.visit, touch, shown_mg, firm)
        return (self._said,)

    def leave(self, t_s: float) -> PanLeft:
        """Close the present load.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        PanLeft
        """
        self.last_net_mg = self.net_mg
        self._settler.patience.see(held=True)
        final_mg = self._as_said(self._indicated(self.net_mg))
        first_mg = self._indicated(self._first_mg - self.base_mg) if self.touch else final_mg
        if self._said is not None:
            t_s = max(t_s, self._said.t_s)
        return PanLeft(t_s, self.visit, self._placed_s, first_mg, final_mg, self.touch)

    def _as_said(self, final_mg: int) -> int:
        """Return the firm weight that was said last, if the load left a division beside it.

        What a person was told and did not touch is what counts.
        """
        said = self._said
        if said is None or not said.firm or (said.visit, said.touch) != (self.visit, self.touch):
            return final_mg
        d = self._settler.grain.division_mg
        return said.net_mg if abs(final_mg - said.net_mg) < 1.5 * d else final_mg

    @property
    def said_net_mg(self) -> int | None:
        """What was said last of the present load; None where nothing was."""
        said = self._said
        return None if said is None or said.visit != self.visit else said.net_mg

    def take_glimpse(self, level_mg: float) -> None:
        """Take a level that never became firm for the load's weight: it left too soon.

        Parameters
        ----------
        level_mg : float, milligrams
        """
        self.touch += 1
        self.value_mg = level_mg

    def _indicated(self, net_mg: float) -> int:
        return on_division(round(net_mg), round(self._settler.grain.division_mg))
