"""Where all is cut nobody is told to put the next piece on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.specification import Limits
from weighstation.station.bench.snapshot import Scene, Snapshot
from weighstation.station.pages.bench.state import bench_state
from weighstation.station.showing.told import ALL_CUT, scene_words

ROLL = Snapshot(0.0, "Roll", Limits(62_000, 1_500, 2_000), 1000, Scene.EMPTY, planned=60)


@pytest.mark.parametrize(
    ("counted", "words"), [(59, ("NEXT",)), (60, ALL_CUT), (63, ALL_CUT)], ids=str
)
def test_the_last_piece_ends_the_asking_for_more(counted: int, words: tuple[str, ...]) -> None:
    cut = replace(ROLL, counted=counted)

    assert words == scene_words(cut)
    assert words == bench_state(cut)["cue"]["words"]


def test_without_a_number_there_is_always_a_next_one() -> None:
    assert ("NEXT",) == scene_words(replace(ROLL, planned=None, counted=600))


def test_what_moves_on_the_pan_is_told_all_the_same() -> None:
    assert ("WAIT",) == scene_words(replace(ROLL, counted=60, scene=Scene.MOVING))
