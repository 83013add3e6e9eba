"""A check of the scale -> what the person at the bench reads while it is done."""

from __future__ import annotations

from dataclasses import replace
from textwrap import fill
from typing import TYPE_CHECKING

from weighstation.quantities import MG_PER_G, grams_text
from weighstation.station.bench.check_watch import Trouble

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.journal import ScaleChecked
    from weighstation.station.bench.check_watch import CheckWatch, Placement, Taken

LINE = 78
"""So many letters of a line a terminal holds."""
_LONGEST_NAME = 28
"""A longer name of a weight is cut short where a line of 80 says what to do with it."""
SECONDS_A_LOAD = 6


def filled(text: str) -> str:
    """Return a text in lines that a terminal holds, and a line end.

    Parameters
    ----------
    text : str

    Returns
    -------
    str
    """
    return fill(text, LINE) + "\n"


def opening_text(name: str, placements: Sequence[Placement], against: str) -> str:
    """Return what is going to be done.

    Parameters
    ----------
    name : str
        The scale.
    placements : sequence of Placement
    against : str
        The limits, in one plain sentence.

    Returns
    -------
    str
    """
    count = "1 load" if len(placements) == 1 else f"{len(placements)} loads"
    about_s = SECONDS_A_LOAD * (len(placements) + 1)
    said = f"Checking {name}: {count}, about {about_s} seconds. {against}"
    return filled(said)


def asked_text(watch: CheckWatch, *, has_keys: bool) -> str:
    """Return what the person is to do now.

    Parameters
    ----------
    watch : CheckWatch
    has_keys : bool

    Returns
    -------
    str
        One line.
    """
    shown = _shown(watch.shown_mg, watch)
    match watch.trouble:
        case Trouble.NOT_EMPTY:
            return f"The scale shows {shown}: take everything off the pan"
        case Trouble.NOT_ZERO:
            fails = "; Enter: it fails so" if has_keys else ""
            return f"Empty, it shows {shown}: clean it, press its zero key{fails}"
        case Trouble.ANOTHER_LOAD:
            fails = "; if it is, Enter: fails" if has_keys else ""
            return f"It shows {shown}, not {_mass(watch.wanted)}: put that on alone{fails}"
        case Trouble.LEFT_OVER:
            fails = "; if it is off, Enter: fails" if has_keys else ""
            return f"It shows {shown}: take everything off{fails}"
        case Trouble.NONE:
            return _asked(watch)


def now_text(watch: CheckWatch) -> str:
    """Return what the scale shows now, where nothing else says it; else an empty text.

    Parameters
    ----------
    watch : CheckWatch

    Returns
    -------
    str
    """
    is_said = watch.trouble is not Trouble.NONE or watch.shown_mg is None
    return "" if is_said else f"  [{_shown(watch.shown_mg, watch)}]"


def _asked(watch: CheckWatch) -> str:
    wanted, place = watch.wanted, (len(watch.taken) + 1) // 2
    if wanted is None:
        return "Take it off" if watch.taken else "Empty the pan"
    where = f"at the {wanted.where}" if wanted.where else "in the middle"
    again = watch.taken[-2:-1] and watch.taken[-2].placement == wanted
    verb = "Again" if again else "Put on"
    load = _load(replace(wanted, weight=_shortened(wanted.weight)))
    return f"{verb} {place}/{watch.count}: {load} {where}"


def _shortened(name: str) -> str:
    """Return the name of a weight so that a line has room for what is to be done with it."""
    is_long = len(name) > _LONGEST_NAME
    return f"{name[: _LONGEST_NAME - 1]}\N{HORIZONTAL ELLIPSIS}" if is_long else name


def _load(placed: Placement) -> str:
    """Return a load and its weight; a name that says the grams says enough."""
    mass = _mass(placed)
    return placed.weight if placed.weight.startswith(mass) else f"{mass} ({placed.weight})"


def _mass(placed: Placement | None) -> str:
    return "" if placed is None else f"{placed.load_mg / MG_PER_G:.10g} g"


def _shown(shown_mg: int | None, watch: CheckWatch) -> str:
    if shown_mg is None:
        return "no weight"
    return f"{grams_text(shown_mg, watch.division_mg or MG_PER_G)} g"


def taken_text(taken: Taken, watch: CheckWatch) -> str:
    """Return that an indication was taken.

    Parameters
    ----------
    taken : Taken
    watch : CheckWatch

    Returns
    -------
    str
        One line.
    """
    shown = _shown(taken.indicated_mg, watch)
    if taken.placement is None:
        return f"  empty: {shown}"
    where = f", {taken.placement.where}" if taken.placement.where else ""
    return f"  {_load(taken.placement)}{where}: {shown}"


def findings_text(check: ScaleChecked) -> str:
    """Return what a check found.

    Parameters
    ----------
    check : ScaleChecked

    Returns
    -------
    str
    """
    rows = ((("ok" if f.is_good else "NOT FIT"), f.text) for f in check.findings)
    return "".join(
        fill(f"  {word:<9}{text}", LINE, subsequent_indent=" " * 11) + "\n" for word, text in rows
    )
