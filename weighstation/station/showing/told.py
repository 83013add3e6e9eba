"""A picture of the bench -> the cue that is to be told, or the words for a scene without one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.station.bench.snapshot import Scene

if TYPE_CHECKING:
    from weighstation.events import Cue
    from weighstation.station.bench.snapshot import Snapshot

SCENE_WORDS: dict[Scene, tuple[str, ...]] = {
    Scene.NO_SCALE_YET: ("NO SCALE", "YET"),
    Scene.EMPTY: ("NEXT",),
    Scene.LADEN: ("TAKE IT", "OFF"),
    Scene.MOVING: ("WAIT",),
    Scene.OVERLOADED: ("TOO MUCH", "TAKE IT OFF"),
    Scene.SCALE_LOST: ("SCALE", "LOST"),
    Scene.PAUSED: ("PAUSED",),
    Scene.DOUGH_LEFT: ("DOUGH", "LEFT"),
}


ALL_CUT = ("ALL", "CUT")
"""Where nothing lies on the pan and every piece that was wanted counts."""


def is_all_cut(snapshot: Snapshot) -> bool:
    """Return whether no further piece is wanted, and none is on its way.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    bool
    """
    left = snapshot.pieces_left
    return snapshot.scene is Scene.EMPTY and left is not None and left <= 0


def scene_words(snapshot: Snapshot) -> tuple[str, ...]:
    """Return the words for what the bench is doing, where no cue is told.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    tuple of str
        One or two.
    """
    return ALL_CUT if is_all_cut(snapshot) else SCENE_WORDS.get(snapshot.scene, ("WAIT",))


def told(snapshot: Snapshot) -> Cue | None:
    """Return the cue that is to be shown: none while something else is, or once it is stale.

    A firm cue is stale as soon as the pan moves, a provisional one is made for that.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    Cue or None
    """
    cue = snapshot.cue
    if cue is None or snapshot.scene is Scene.CUED:
        return cue
    return cue if snapshot.scene is Scene.MOVING and not cue.firm else None
