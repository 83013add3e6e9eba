"""What the person is told of a load, and when telling it again says something new."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.evaluate.verdict import MOST_EXTRA_BITS, judge
from weighstation.events import Cue, Verdict

if TYPE_CHECKING:
    from weighstation.events import Weighing
    from weighstation.specification import Limits


def cue_for(now: Weighing, limits: Limits, *, number: int, bits: int) -> Cue:
    """Return the cue for a weighing.

    Parameters
    ----------
    now : Weighing
    limits : Limits
    number : int
        What the piece will be called if it counts.
    bits : int
        Extra bits that have gone onto it.

    Returns
    -------
    Cue
    """
    verdict = judge(now.net_mg, limits)
    return Cue(
        t_s=now.t_s,
        piece=number,
        touch=now.touch,
        net_mg=now.net_mg,
        verdict=verdict,
        error_mg=now.net_mg - limits.target_mg,
        firm=now.firm,
        cut_again=bits > MOST_EXTRA_BITS and verdict is not Verdict.KEEP,
    )


def is_news(cue: Cue, told: Cue | None, *, division_mg: int) -> bool:
    """Say whether a cue tells more than the last one did.

    Parameters
    ----------
    cue : Cue
    told : Cue or None
        The last one given for this load.
    division_mg : int, milligrams

    Returns
    -------
    bool
        True if anything but the time changed, the weight by a division or more.
    """
    if told is None or abs(cue.net_mg - told.net_mg) >= division_mg:
        return True
    return told != replace(cue, t_s=told.t_s, net_mg=told.net_mg, error_mg=told.error_mg)
