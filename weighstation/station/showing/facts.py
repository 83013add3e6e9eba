"""What stands in small letters: the caption under a cue, facts of the batch, and the clocks."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from weighstation.events import Verdict
from weighstation.plan.clock.clock import Fit
from weighstation.quantities import grams_text
from weighstation.station.bench.board_words import rest_text
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.wording import age_text, lain_text, signed
from weighstation.station.showing.told import told

if TYPE_CHECKING:
    from weighstation.events import Cue
    from weighstation.plan.boards.rest import Rested
    from weighstation.plan.clock.clock import Outlook
    from weighstation.station.bench.snapshot import Snapshot

TENTH_MG = 100
"""Means and spreads are said in tenths of a gram."""
NONE_YET = "\N{EM DASH}"
Fact = tuple[str, str]
_CAPTIONS: dict[Scene, str] = {
    Scene.NO_SCALE_YET: "waiting for the first line of the scale",
    Scene.EMPTY: "the pan is empty",
    Scene.MOVING: "the pan is moving",
    Scene.OVERLOADED: "more than the scale can weigh",
    Scene.SCALE_LOST: "no readings are coming",
    Scene.PAUSED: "nothing is weighed until P is pressed",
    Scene.DOUGH_LEFT: "what comes onto the pan is no piece until D is pressed",
}


def caption(snapshot: Snapshot) -> str:
    """Return the line under the big letters.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    str
    """
    if snapshot.scene is Scene.EMPTY and snapshot.cue is not None:
        return f"{_named(snapshot.cue, snapshot)}   off the pan"
    if snapshot.scene is Scene.LADEN:
        return lain_text(snapshot)
    cue = told(snapshot)
    if cue is None:
        return _CAPTIONS.get(snapshot.scene, "")
    if not snapshot.slowed:
        return f"piece {cue.piece}   ~ still moving"
    return f"{_named(cue, snapshot)}   {_outlook(cue, snapshot.alarm)}".rstrip()


def _named(cue: Cue, snapshot: Snapshot) -> str:
    return f"piece {cue.piece}   {grams_text(cue.net_mg, snapshot.division_mg)} g"


def _outlook(cue: Cue, alarm: str) -> str:
    """Return what is still to come; an alarm beside a cue is a journal that refuses."""
    if not cue.firm:
        return "~ about, not steady yet"
    if alarm:
        return "cannot be counted now"
    return "counts once it is off the pan" if cue.verdict is Verdict.KEEP else ""


def left_facts(snapshot: Snapshot) -> tuple[Fact, Fact, Fact]:
    """Return pieces counted, the last of them, and the mean of kept pieces.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    tuple of Fact
        Label and text of each.
    """
    return (
        ("Counted", _counted(snapshot)),
        ("Last", _last(snapshot)),
        ("Mean kept", _mean(snapshot)),
    )


def right_facts(snapshot: Snapshot) -> tuple[Fact, Fact, Fact]:
    """Return the spread of first cuts, pieces boarded out of band, and the board or the pace.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    tuple of Fact
        Label and text of each.
    """
    spread = snapshot.first_sd_mg
    return (
        ("First cuts", NONE_YET if spread is None else f"spread {_tenths(spread)} g"),
        ("Out of band", str(snapshot.out_of_band)),
        ("Pace", _pace(snapshot)) if snapshot.clocks.record is None else ("Board", board(snapshot)),
    )


def board(snapshot: Snapshot) -> str:
    """Return the board that the next piece goes on, and how many lie on it.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    str
    """
    filling = snapshot.clocks.filling
    if filling is None:
        return NONE_YET
    return f"{filling.board} filling, {filling.pieces} of {filling.places}"


class DoughFacts(NamedTuple):
    """The dough's clock.

    Parameters
    ----------
    cut, mixed : str
        Its age; the latter is empty where nobody said when it was mixed.
    fits : str
        Pieces that still fit in its time.
    is_late : bool
        Whether what is left takes too long.
    """

    cut: str
    mixed: str
    fits: str
    is_late: bool


def dough(snapshot: Snapshot) -> DoughFacts:
    """Return the dough's clock.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    DoughFacts
    """
    outlook = snapshot.clocks.outlook(snapshot.t_s, snapshot.pieces_left)
    is_cut = snapshot.clocks.dough.first_cut_s is not None
    mixed = outlook.since_mix_s
    return DoughFacts(
        cut=f"first cut {age_text(outlook.dough_age_s)} ago" if is_cut else "not cut yet",
        mixed="" if mixed is None else f"mixed {age_text(mixed)} ago",
        fits=_fits(outlook),
        is_late=outlook.fit is Fit.TOO_LONG,
    )


def _fits(outlook: Outlook) -> str:
    fits, left = outlook.pieces_that_fit, outlook.pieces_left
    limit = f"{outlook.limit.most_s / 60:g} min"
    if left == 0:
        return "all is cut"
    if outlook.left_s < 0:
        return f"! over {limit}"
    if fits is None:
        return f"limit {limit}"
    if outlook.fit is Fit.TOO_LONG:
        return f"! {fits} of {left} fit"
    return "1 more fits" if fits == 1 else f"{fits} more fit"


def _pace(snapshot: Snapshot) -> str:
    pace = snapshot.clocks.pace
    return NONE_YET if pace is None else f"{pace.every_s:.0f} s a piece"


def resting(snapshot: Snapshot) -> tuple[Rested, str] | None:
    """Return how long the board that is to be shaped next has rested.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    tuple of (Rested, str) or None
        None while none waits.
    """
    rest = snapshot.clocks.resting(snapshot.t_s)
    if rest is None:
        return None
    return rest.rested, rest_text(rest, more=snapshot.clocks.waiting - 1)


def _counted(snapshot: Snapshot) -> str:
    if snapshot.planned is None:
        return str(snapshot.counted)
    left = snapshot.planned - snapshot.counted
    said = f"{left} left" if left >= 0 else f"{-left} too many"
    return f"{snapshot.counted} of {snapshot.planned}, {said}"


def _last(snapshot: Snapshot) -> str:
    if snapshot.last_number is None or snapshot.last_mg is None:
        return NONE_YET
    weight = grams_text(snapshot.last_mg, snapshot.division_mg)
    return f"piece {snapshot.last_number}, {weight} g, saved"


def _mean(snapshot: Snapshot) -> str:
    mean_mg = snapshot.kept_mean_mg
    if mean_mg is None:
        return NONE_YET
    off = signed(mean_mg - snapshot.limits.target_mg, TENTH_MG)
    return f"{_tenths(mean_mg)} g ({off})"


def _tenths(mg: float) -> str:
    return grams_text(round(mg), TENTH_MG)
