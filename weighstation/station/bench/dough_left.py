"""The key for dough that is left -> its weighing, and the line and the words for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal import DoughWeighed, Kind, dough_weighed
from weighstation.quantities import grams_text
from weighstation.specification import Way

if TYPE_CHECKING:
    from weighstation.journal import Body
    from weighstation.station.bench.loop import Bench

NOT_THIS_WAY = "Dough that is left is weighed back only where the pan is emptied between pieces."
PAUSED = "Press P to go on, then D to weigh back the dough that is left."
LOADED = "Take the piece off the pan first, then press D to weigh back the dough that is left."
STILL_ON = "Take the dough off the pan first: it counts as it leaves. Then press D."
STOP_FIRST = "Press D when the dough that is left is weighed, then P to pause."
NOTHING = "No dough was weighed back, and nothing is written."
BROKEN_OFF = "The dough that is left was not weighed to the end: press D and weigh all of it again."


def refusal(bench: Bench) -> str:
    """Return why dough cannot be weighed back now, in one plain sentence; empty where it can.

    Parameters
    ----------
    bench : Bench

    Returns
    -------
    str
    """
    if bench.plan.way is not Way.SINGLE:
        return NOT_THIS_WAY
    if bench.sensing.is_paused:
        return PAUSED
    if bench.is_loaded:
        return LOADED
    piece = bench.open_lifted
    if piece is None:
        return ""
    return (
        f"Piece {piece.number} is still out: bring it back, or press B if it was boarded; then"
        " press D."
    )


def begun(bench: Bench) -> str:
    """Return what to do while dough is weighed back, and what was weighed so far.

    Parameters
    ----------
    bench : Bench

    Returns
    -------
    str
        Empty while none is.
    """
    pile = bench.sensing.pile
    if pile is None:
        return ""
    if pile.lying_mg is not None:
        lies = grams_text(pile.lying_mg, bench.sensing.step_mg)
        return f"{lies} g lie still: take them off, and they count."
    if pile.was_hasty:
        return "That lump left before it lay still: put it on again, and wait for the scale."
    if not pile.lumps:
        return "Put all the dough that is left on the pan, in as many lumps as it takes."
    weight = grams_text(pile.left_mg, bench.sensing.step_mg)
    lumps = "1 lump" if pile.lumps == 1 else f"{pile.lumps} lumps"
    return f"{weight} g in {lumps}: put on the next, or press D when it is all weighed."


def written_text(left_mg: int, division_mg: int) -> str:
    """Return what was weighed back, once it is on the disk.

    Parameters
    ----------
    left_mg, division_mg : int, milligrams

    Returns
    -------
    str
    """
    return f"{grams_text(left_mg, division_mg)} g of dough are left."


def weighed(bench: Bench, run: str) -> tuple[Kind, Body] | None:
    """Return the line for dough that was weighed back; None where none was.

    Parameters
    ----------
    bench : Bench
    run : str

    Returns
    -------
    (Kind, Mapping) or None
    """
    pile = bench.sensing.pile
    if pile is None or not pile.lumps:
        return None
    said = DoughWeighed(pile.left_mg, pile.lumps, bench.numbered)
    return Kind.DOUGH_WEIGHED, dough_weighed(run, said)
