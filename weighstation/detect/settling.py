"""When a display is calm, and what at: readings in, rests out, the instrument's filter known."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.detect.averaging import LoadBehind
from weighstation.detect.grain import Grain
from weighstation.detect.motion import Motion
from weighstation.detect.patience import Patience
from weighstation.detect.poles import foresee_creep
from weighstation.detect.response import Response
from weighstation.detect.ringing import find_mode, foresee_ring

if TYPE_CHECKING:
    from weighstation.detect.poles import Poles
    from weighstation.detect.ringing import Mode

_CALM_MOST = 24  # readings that a calm level is the mean of
_RESTLESS = 9  # readings without a rest after which the swing is studied
_RESTLESS_S = 0.7
_STEADY = 8  # equal readings: no hand lies so still for so long
_STUDY_EVERY = 3
_NOISY_RUN = 10  # flat readings that must do where a division is lost in noise
_MUCH_FASTER = 4  # a key's jump is so much faster than any lift-off that was seen
_SLOW_SHARE = 0.01  # of the load: a step so small is worth saying, if only provisionally
_ARRIVAL_LEAST_S = 0.19  # flat for less, what has just arrived may still be under a hand
_STAYS_LONGER = 2.5  # a low-pass stays 2.2 times as long on its last division as before
_SLOW_S = 0.15  # between readings: from here on each one tells more


@dataclass(frozen=True, slots=True)
class Rest:
    """A level that the display has come to, or seems to be coming to.

    Parameters
    ----------
    t_s : float, seconds
    level_mg : float, milligrams
    firm : bool
        It is not expected to move.
    """

    t_s: float
    level_mg: float
    firm: bool


class Settler:
    """Follow the display and say when it rests.

    A calm display takes the short way (:meth:`hold`); only a moving one is studied. ``calm``,
    ``level_mg`` and ``tolerance_mg`` are for the caller's short way.
    """

    def __init__(self) -> None:
        self.response = Response()
        self.patience = Patience()
        self.calm = False
        self.level_mg = 0.0
        self.tolerance_mg = 0.0
        self.last_s = 0.0
        self.was_steady = False
        self.grain = Grain(1000.0)
        self.motion = Motion(self.grain, 0.0, 0.0)
        self._behind: LoadBehind | None = None
        self._said_mg = 0.0
        self._count = 0
        self._squares = 0.0
        self._studied = 0
        self._falling = False
        self._way_here: Motion | None = None
        self._foreseen = False
        self._swing_mg = 0.0
        self._fade = 0.0
        self._take_grain(1000.0)

    @property
    def last_mg(self) -> float:
        """The last reading, or the calm level, milligrams."""
        return self.level_mg if self.calm else self.motion.y_mg[-1]

    def learn_division(self, division_mg: int) -> None:
        """Take the scale interval d, milligrams."""
        self._take_grain(float(division_mg))

    def start(self, t_s: float, y_mg: float) -> None:
        """Begin at a level nobody has seen the way to, with a load nobody has followed."""
        self._begin_motion(t_s, y_mg)
        self._behind = None

    def shift(self, t_s: float, shift_mg: float) -> None:
        """Move everything seen without a motion: the scale was tared or set to zero."""
        self.last_s = t_s
        self.level_mg += shift_mg
        self._said_mg += shift_mg
        self.motion.shift(shift_mg)

    def is_faster_than_filter(self, t_s: float) -> bool:
        """Say whether so much could not have happened since the last reading by a load."""
        settle_s = self.response.settle_s
        return settle_s is not None and settle_s > _MUCH_FASTER * (t_s - self.last_s)

    def see_wrong(self) -> None:
        """Learn that the last firm level did not hold though nobody touched the load."""
        self.patience.see(held=False)
        if self._foreseen:
            self.response.distrust()

    def hold(self, t_s: float, y_mg: float) -> bool:
        """Take in a reading of the calm level; say whether the level has crept a division off."""
        if self._swing_mg:
            self._swing_on(t_s)
            return False
        self.last_s = t_s
        shift = y_mg - self.level_mg
        if self._count < _CALM_MOST:
            self._count += 1
            self.level_mg += shift / self._count
            self._squares += shift * (y_mg - self.level_mg)
        else:
            self.level_mg += shift / _CALM_MOST
        crept_mg = abs(self.level_mg - self._said_mg)
        if self._count <= 5 or crept_mg <= 0.7 * self.grain.division_mg:
            return False
        self._said_mg = self.level_mg
        self.see_wrong()
        return True

    def stir(self, t_s: float, y_mg: float) -> Rest | None:
        """Begin a motion with the first reading that left the level."""
        self.was_steady = (
            self._count >= _STEADY
            and self._squares <= self._count * (0.3 * self.grain.noise_mg) ** 2
        )
        if self._count > 2:
            self.response.see_calm(self._count - 1, self._squares)
            if self._way_here is not None:
                self.response.see_lift_off(self._way_here, self.level_mg)
        self._way_here = None
        self._swing_mg = 0.0
        self._take_grain(self.grain.division_mg)
        self._begin_motion(self.last_s, self.level_mg)
        return self.follow(t_s, y_mg)

    def follow(self, t_s: float, y_mg: float) -> Rest | None:
        """Take in a reading of a moving display; return where it rests, if it seems to."""
        motion, grain = self.motion, self.grain
        before_mg = motion.y_mg[-1]
        self.last_s = t_s
        motion.add(t_s, y_mg)
        if self._behind is not None:
            self._behind.follow()
        falls = y_mg < before_mg - grain.noise_mg
        if self._falling and not falls:
            self._study_fall()
        self._falling = falls
        step = abs(y_mg - before_mg)
        if step <= grain.flat_mg:
            run = motion.run()
            if run >= 2 and self._is_firm(run):
                return self._settle(run)
        rest = self._foreseen_rest()
        if rest is not None:
            return rest
        slow = max(2 * grain.division_mg, _SLOW_SHARE * abs(motion.rise_mg), 3 * grain.noise_mg)
        return Rest(t_s, y_mg, firm=False) if step <= slow else None

    def _take_grain(self, division_mg: float) -> None:
        self.grain = self.motion.grain = Grain(division_mg, self.response.noise_mg)
        self.tolerance_mg = self.grain.tolerance_mg

    def _begin_motion(self, t_s: float, level_mg: float) -> None:
        self.calm = False
        self.motion = Motion(self.grain, t_s, level_mg)
        window_s = self.response.window_s
        self._behind = None if window_s is None else LoadBehind(self.motion, window_s)
        self._studied = 0
        self._falling = False

    def _swing_on(self, t_s: float) -> None:
        """Let the allowance for what is still dying down die down with it."""
        self._swing_mg *= math.exp(-self._fade * (t_s - self.last_s))
        self.last_s = t_s
        if self._swing_mg < self.grain.noise_mg:
            self._swing_mg = 0.0
        self.tolerance_mg = self.grain.tolerance_mg + 1.5 * self._swing_mg

    def _is_firm(self, run: int) -> bool:
        """Say whether a run of readings at one level is long enough to be believed."""
        flat_s = self.motion.t_s[-1] - self.motion.t_s[-run]
        if self._is_too_coarse(run, flat_s):
            return False
        extra = self.patience.extra + self._arrival_extra()
        if self._behind is None:
            return self._is_firm_unseen(run, flat_s, extra)
        window_s = self._behind.window_s
        if flat_s >= window_s:
            return run >= 3
        if run < 2 + extra or flat_s < 0.07:
            return False
        still = self._behind.is_still()
        if still is None:
            return run >= (2 if flat_s >= max(0.3 * window_s, _SLOW_S) else 3) + extra
        return still

    def _is_too_coarse(self, run: int, flat_s: float) -> bool:
        """Say whether noise, a ring or a slow creep could make so short a run by chance."""
        grain, response = self.grain, self.response
        fine = grain.noise_mg <= 0.2 * grain.division_mg * run**0.5
        if not grain.is_quiet and not fine and run < _NOISY_RUN:
            return True
        if self._arrives() and flat_s < _ARRIVAL_LEAST_S:
            return True
        return flat_s < 0.8 * response.creep_s or (response.mode is not None and run < 4)

    def _is_firm_unseen(self, run: int, flat_s: float, extra: int) -> bool:
        """Say the same where the instrument's filter has not been seen, or is too short to see."""
        settle_s = self.response.settle_s
        short = settle_s is not None and settle_s < 2.5 * self.motion.interval_s
        if settle_s is None and run < _STAYS_LONGER * self.motion.dwelt_before(run):
            return False
        return run >= (3 if short else 4) + extra and flat_s > 0.12

    def _arrival_extra(self) -> int:
        """Return how many readings more an arrival is given: a hand lies still most often then."""
        return 1 if self._arrives() and self.motion.interval_s < _SLOW_S else 0

    def _arrives(self) -> bool:
        return self.motion.rise_mg > 0.5 * abs(self.motion.y_mg[-1])

    def _settle(self, run: int) -> Rest:
        """Make a run the calm level."""
        motion = self.motion
        kept = motion.y_mg[-run:]
        self._way_here = motion if motion.rise_mg < 0 else None
        self._foreseen = False
        # the first may be the last of the way: low under a load, high on an empty pan
        is_new = run > 2 and (self._arrives() or motion.has_emptied())
        self._be_calm(sum(kept[is_new:]) / len(kept[is_new:]), run)
        self._squares = sum((value - self.level_mg) ** 2 for value in kept)
        return Rest(self.last_s, self.level_mg, firm=True)

    def _foresee(self, level_mg: float, swing_mg: float, fade: float) -> Rest:
        """Call a level calm that the display has not reached yet, and let it come."""
        self._way_here = None
        self._foreseen = True
        self._be_calm(level_mg, 1)
        self._swing_mg = swing_mg
        self._fade = fade
        self.tolerance_mg += 1.5 * swing_mg
        return Rest(self.last_s, level_mg, firm=True)

    def _be_calm(self, level_mg: float, count: int) -> None:
        self.calm = True
        self.level_mg = self._said_mg = level_mg
        self._count = count
        self._squares = 0.0

    def _foreseen_rest(self) -> Rest | None:
        """Return where a display is heading that rings or creeps, as this one is known to do."""
        if self.response.mode is not None:
            rest = self._ring_rest(self.response.mode)
            if rest is not None:
                return rest
        else:
            self._studied += 1
            if self._studied % _STUDY_EVERY == 0 and self._studied >= _RESTLESS - 2:
                self._study_swing()
                hiss = None if self.response.knows_noise else self.motion.hiss()
                if hiss is not None:
                    return self._hear(*hiss)
        return None if self.response.poles is None else self._creep_rest(self.response.poles)

    def _hear(self, level_mg: float, noise_mg: float) -> Rest:
        """Call a level calm under a noise that nobody knew of."""
        self.response.see_hiss(noise_mg)
        self._take_grain(self.grain.division_mg)
        self._way_here = None
        self._foreseen = False
        self._be_calm(level_mg, _NOISY_RUN)
        return Rest(self.last_s, level_mg, firm=True)

    def _ring_rest(self, mode: Mode) -> Rest | None:
        tail = foresee_ring(self.motion.t_s, self.motion.y_mg, mode, self.grain)
        return None if tail is None else self._foresee(tail.level_mg, tail.swing_mg, mode.decay)

    def _creep_rest(self, poles: Poles) -> Rest | None:
        motion, grain = self.motion, self.grain
        least = 3 + self.patience.extra
        level = foresee_creep(motion.t_s, motion.y_mg, poles, grain, least=least)
        if level is None:
            return None
        left_mg = abs(motion.y_mg[-1] - level)
        return self._foresee(level, left_mg + grain.division_mg, poles.decay)

    def _study_swing(self) -> None:
        """Look whether a display that will not rest is ringing."""
        least = _RESTLESS if self.motion.interval_s < _SLOW_S else _RESTLESS - 2
        stretch = self.motion.restless(least, _RESTLESS_S)
        mode = None if stretch is None else find_mode(*stretch, self.grain.noise_mg)
        if mode is not None:
            self.response.see_mode(mode)

    def _study_fall(self) -> None:
        """Learn from an unbroken fall that has just ended: a load has left."""
        fall = self.motion.fall()
        if fall is not None:
            self.response.see_fall(*fall, self.grain.noise_mg)
