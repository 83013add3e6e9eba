"""What is known of pan and scale -> the scene that is shown."""

from __future__ import annotations

from weighstation.detect import Pan
from weighstation.station.bench.snapshot import Scene

_OF_PAN = {
    Pan.NO_READING: Scene.NO_SCALE_YET,
    Pan.EMPTY: Scene.EMPTY,
    Pan.MOVING: Scene.MOVING,
    Pan.LOADED: Scene.MOVING,
    Pan.OVERLOADED: Scene.OVERLOADED,
}


def scene_of(
    pan: Pan,
    *,
    is_lost: bool,
    is_told: bool,
    is_laden: bool,
    is_paused: bool = False,
    is_dough: bool = False,
) -> Scene:
    """Return the scene, that which matters most first.

    Parameters
    ----------
    pan : Pan
    is_lost : bool
        The scale is not heard.
    is_told : bool
        There is something to say of the load.
    is_laden : bool
        Something lies on the pan from before.
    is_paused : bool
    is_dough : bool
        Dough that is left is being weighed back.

    Returns
    -------
    Scene
    """
    if is_lost:
        return Scene.SCALE_LOST
    if is_paused:
        return Scene.PAUSED
    if is_dough:
        return Scene.DOUGH_LEFT
    if pan is Pan.LOADED and is_told:
        return Scene.CUED
    return Scene.LADEN if is_laden else _OF_PAN[pan]
