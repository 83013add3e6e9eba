"""What stands in small letters: the caption under a cue, and six facts of the batch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.quantities import grams_text
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.wording import age_text, lain_text, signed
from weighstation.station.panel.cue import told

if TYPE_CHECKING:
    from weighstation.events import Cue
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
    """Return the spread of first cuts, the dough's age, and pieces boarded out of band.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    tuple of Fact
        Label and text of each.
    """
    spread, age = snapshot.first_sd_mg, snapshot.dough_age_s
    return (
        ("First cuts", NONE_YET if spread is None else f"spread {_tenths(spread)} g"),
        ("Dough", NONE_YET if age is None else f"{age_text(age)} since first cut"),
        ("Out of band", str(snapshot.out_of_band)),
    )


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
