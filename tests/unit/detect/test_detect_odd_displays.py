"""Displays and hands that once made the detector blind."""

from __future__ import annotations

import math
import random

import pytest

from weighstation.detect import Detector
from weighstation.events import DivisionLearned, PanLeft, Reading, Status

TARGET_MG = 740_000


def left(levels_g: list[float], *, rate_hz: float, division_g: float, sd_g: float) -> list[PanLeft]:
    """Return what left the pan, seen through a display that hisses."""
    rng = random.Random(1)
    detector = Detector(smallest_load_mg=TARGET_MG // 4, usual_load_mg=TARGET_MG)
    detector.feed(DivisionLearned(0.0, round(division_g * 1000)))
    said: list[object] = []
    for place, level_g in enumerate(levels_g):
        shown_mg = round(round((level_g + rng.gauss(0, sd_g)) / division_g) * division_g * 1000)
        said += detector.feed(Reading(place / rate_hz, shown_mg, None, Status.WEIGHT, ""))
    return [event for event in said if isinstance(event, PanLeft)]


@pytest.mark.parametrize(
    ("rate_hz", "division_g", "sd_g"),
    [(5, 0.1, 0.2), (10, 0.1, 0.5), (20, 0.1, 0.4), (50, 0.1, 0.3), (10, 0.5, 0.5)],
)
def test_a_display_that_hisses_is_seen_to_rest(
    rate_hz: float, division_g: float, sd_g: float
) -> None:
    piece = [740.0] * round(3 * rate_hz) + [0.0] * round(1.5 * rate_hz)
    levels = [0.0] * round(3 * rate_hz) + piece * 20

    found = left(levels, rate_hz=rate_hz, division_g=division_g, sd_g=sd_g)

    assert 20 == len(found)
    assert [TARGET_MG] * 20 == pytest.approx([load.final_mg for load in found], abs=1000)


def test_a_load_built_up_in_bits_is_seen() -> None:
    bits = [level for step in range(1, 5) for level in [150.0 * step] * 10]
    levels = [0.0] * 20 + bits + [740.0] * 20 + [0.0] * 20 + ([741.0] * 20 + [0.0] * 20) * 3

    found = left(levels, rate_hz=10, division_g=1, sd_g=0)

    assert [740_000, 741_000, 741_000, 741_000] == [load.final_mg for load in found]


@pytest.mark.parametrize("held", [9, 11, 13])
def test_a_smooth_trim_is_a_touch(held: int) -> None:
    """The display shows one number too long for a hand before the weight falls."""
    piece = [300.0, 600.0] + [753.0] * held + [748.0, 744.0] + [740.0] * 20 + [400.0] + [0.0] * 15

    found = left([0.0] * 20 + piece * 8, rate_hz=10, division_g=1, sd_g=0)

    assert [(753_000, 740_000, 1)] * 8 == [
        (load.first_mg, load.final_mg, load.touches) for load in found
    ]


@pytest.mark.parametrize("tau_s", [0.2, 0.35, 0.45, 0.55])
def test_the_first_piece_is_waited_for_while_a_low_pass_creeps_on(tau_s: float) -> None:
    """Closed form: level * (1 - exp(-t / tau)); on its last divisions it seems to stand."""
    rate_hz = 20
    rise = [740.0 * (1 - math.exp(-i / rate_hz / tau_s)) for i in range(1, 5 * rate_hz)]
    fall = [740.0 * math.exp(-i / rate_hz / tau_s) for i in range(1, 5 * rate_hz)]

    found = left([0.0] * 40 + rise + fall, rate_hz=rate_hz, division_g=1, sd_g=0)

    assert [(740_000, 740_000, 0)] == [
        (load.first_mg, load.final_mg, load.touches) for load in found
    ]


def piece(level_g: float, *, base_g: float = 0.0) -> list[float]:
    up = [base_g + 0.3 * level_g, base_g + 0.7 * level_g]
    return [*up, *[base_g + level_g] * 15, base_g + 0.4 * level_g, *[base_g] * 15]


@pytest.mark.parametrize("dip_g", [-10, -30, -60, -90, -150, -300])
@pytest.mark.parametrize("dip_s", [0.4, 1.5, 4.0])
@pytest.mark.parametrize("back_s", [0.6, 2.0, 4.0, 8.0])
def test_a_pan_that_was_lifted_for_a_moment_weighs_as_before(
    dip_g: float, dip_s: float, back_s: float
) -> None:
    """A thumb under the pan, or a scraper taken off it: zero is where it was."""
    dip = [dip_g] * round(10 * dip_s) + [0.0] * round(10 * back_s)
    levels = [0.0] * 30 + piece(741) + piece(739) + dip + piece(740) + piece(738)

    found = left(levels, rate_hz=10, division_g=1, sd_g=0)

    assert [741_000, 739_000, 740_000, 738_000] == [load.final_mg for load in found]
    assert [741_000, 739_000, 740_000, 738_000] == [load.first_mg for load in found]


@pytest.mark.parametrize("thing_g", [10, 45, 100, 150])
@pytest.mark.parametrize("lies_s", [1.0, 3.0, 6.0])
def test_a_thing_that_lies_on_the_pan_is_no_part_of_the_piece(
    thing_g: float, lies_s: float
) -> None:
    thing = [thing_g] * round(10 * lies_s) + piece(740, base_g=thing_g) + [0.0] * 20
    levels = [0.0] * 30 + piece(741) + thing + piece(738)

    found = left(levels, rate_hz=10, division_g=1, sd_g=0)

    assert [741_000, 740_000, 738_000] == [load.final_mg for load in found]
