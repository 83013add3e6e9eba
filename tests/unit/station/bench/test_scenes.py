"""The scene that matters most."""

from __future__ import annotations

import pytest

from weighstation.detect import Pan
from weighstation.station.bench.scenes import scene_of
from weighstation.station.bench.snapshot import Scene


@pytest.mark.parametrize(
    ("pan", "true", "scene"),
    [
        (Pan.NO_READING, (), Scene.NO_SCALE_YET),
        (Pan.EMPTY, (), Scene.EMPTY),
        (Pan.EMPTY, ("is_told",), Scene.EMPTY),
        (Pan.EMPTY, ("is_laden",), Scene.LADEN),
        (Pan.MOVING, ("is_told",), Scene.MOVING),
        (Pan.LOADED, (), Scene.MOVING),
        (Pan.LOADED, ("is_told",), Scene.CUED),
        (Pan.OVERLOADED, (), Scene.OVERLOADED),
        (Pan.LOADED, ("is_told", "is_paused"), Scene.PAUSED),
        (Pan.LOADED, ("is_told", "is_paused", "is_lost"), Scene.SCALE_LOST),
    ],
)
def test_what_matters_most_is_shown(pan: Pan, true: tuple[str, ...], scene: Scene) -> None:
    every = ("is_lost", "is_told", "is_laden", "is_paused")

    assert scene is scene_of(pan, **{name: name in true for name in every})
