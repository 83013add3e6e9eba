"""The shape of the readings since the display was last calm."""

from __future__ import annotations

import pytest
from pan_scripts import words

from weighstation.detect.grain import Grain
from weighstation.detect.motion import Motion


def motion(
    script: str, *, rate_hz: float = 10.0, noise_g: float = 0.0, division_g: float = 1.0
) -> Motion:
    """Return a motion; the first word is the calm level that was left, all in grams."""
    levels = [float(word) * 1000 for word in words(script)]
    moving = Motion(Grain(division_g * 1000, noise_g * 1000), 0.0, levels[0])
    for place, level_mg in enumerate(levels[1:], start=1):
        moving.add(place / rate_hz, level_mg)
    return moving


@pytest.mark.parametrize(
    ("script", "run"),
    [
        ("0 300", 1),
        ("0 300 700", 1),
        ("0 752 752", 2),
        ("0 300 752 752 752", 3),
        ("752 752 752", 2),  # the level that was left does not count
        ("0 700 751 752", 1),  # two neighbours may still be creeping up
        ("0 700 751 752 752", 2),
        ("0 700 751 752 751", 1),  # too short to be told from a creep
        ("0 700 751 752 751 752", 4),
        ("0 700 752 751 751 752", 4),
        ("0 700 751 751 752 752", 2),  # up once and not back
        ("0 700 751 752 753", 1),
        ("0 753 751 752 751 752", 4),
    ],
)
def test_run_of_a_quiet_display(script: str, run: int) -> None:
    assert run == motion(script).run()


@pytest.mark.parametrize(
    ("script", "run"),
    [("0 700 751 752", 2), ("0 700 751 752 753", 3), ("0 700 749 752 751 753", 3)],
)
def test_run_of_a_noisy_display_allows_its_noise(script: str, run: int) -> None:
    """Noise 0.8 g: readings of one level lie up to 2.8 g apart."""
    assert run == motion(script, noise_g=0.8).run()


def test_flat_time_runs_from_the_first_reading_at_the_level() -> None:
    assert pytest.approx(0.2) == motion("0 300 752 752 752").flat_s()
    assert motion("0 300 752").flat_s() == 0.0


@pytest.mark.parametrize(
    ("script", "slows"),
    [
        ("0 752 752", False),  # two readings and the level left are too few
        ("0 750 752 751", True),
        ("0 300 745 752 751", True),  # within 1.5 % of the rise
        ("0 300 700 740 752", False),
        ("0 10 12 13", True),  # within three divisions
        ("0 10 12 14", False),
    ],
)
def test_a_motion_slows_down_when_three_readings_lie_near_each_other(
    script: str, slows: bool
) -> None:
    assert slows == motion(script).slows_down()


@pytest.mark.parametrize(
    ("script", "rise_g", "above_g", "below_g"),
    [
        ("752 900 700 741", -11, 148, 52),
        ("0 300 752", 752, 752, 0),
        ("752 300 0", -752, 0, 752),
    ],
)
def test_how_far_a_motion_strays(script: str, rise_g: int, above_g: int, below_g: int) -> None:
    moving = motion(script)

    assert (rise_g, above_g, below_g) == (
        moving.rise_mg / 1000,
        moving.above_mg() / 1000,
        moving.below_mg() / 1000,
    )


def test_last_step_and_interval() -> None:
    moving = motion("0 300 752 740")

    assert pytest.approx(0.1) == moving.interval_s
    assert pytest.approx(0.1) == moving.onset_s


@pytest.mark.parametrize(
    ("script", "near"), [("752 752", True), ("752 715", True), ("752 714", False), ("0 1", False)]
)
def test_near_its_start_within_a_twentieth(script: str, near: bool) -> None:
    assert near == motion(script).is_near_start()


@pytest.mark.parametrize(
    ("script", "worked"),
    [
        ("752 800 830 780 760 745", True),  # half a second, 78 g
        ("752 830 780 745", False),  # no bit is added or taken off so soon
        ("752 765 760 757 755 754", False),  # a knock is no larger
    ],
)
def test_work_on_a_piece_is_long_and_strong(script: str, worked: bool) -> None:
    assert worked == motion(script).was_worked_on()


@pytest.mark.parametrize(
    ("script", "level_g", "by_itself"),
    [
        ("790 770 755 752", 752, True),  # a hand came off
        ("752 753 754 754", 754, True),  # the display crept on
        ("790 840 770 752", 752, False),  # pressed first: a bit was added or taken
        ("790 700 745 752", 752, False),  # pulled below what came: a trim
        ("920 850 760 752", 752, False),  # no hand lies still with 168 g
        ("752 760 764 764", 764, False),  # a display creeps no 12 g
    ],
)
def test_a_hand_that_comes_off_is_no_touch(script: str, level_g: int, by_itself: bool) -> None:
    assert by_itself == motion(script).moved_by_itself_to(level_g * 1000.0)


def test_when_a_level_was_last_seen() -> None:
    moving = motion("752 752 500 300 0")

    assert pytest.approx(0.2) == moving.last_at_s(400_000.0)
    assert moving.last_at_s(9_000_000.0) == 0.0


@pytest.mark.parametrize(
    ("script", "began_s"),
    [
        ("0 300 700 752", 0.1),
        ("0 0 0 300 700", 0.3),  # what stood at the level that was left is no rise
        ("0 -300 -200 300 752", 0.3),  # a key or a dip before it is no rise yet
        ("0 752", 0.1),
    ],
)
def test_when_a_rise_began(script: str, began_s: float) -> None:
    assert pytest.approx(began_s) == motion(script).rise_began_s()


@pytest.mark.parametrize(
    ("script", "level_g"),
    [
        ("0 700 752 748 755 740 750 400 0", 749),  # a restless hand, but it stood there
        ("0 300 752 300 0", None),  # a bump
        ("0 300 100 0", None),
        ("0 100 90 80", None),  # never a load
    ],
)
def test_a_load_that_never_slowed_down_dwelt_somewhere(script: str, level_g: int | None) -> None:
    expected = None if level_g is None else level_g * 1000.0

    assert expected == motion(script).dwelt_at_mg(148_000.0)


@pytest.mark.parametrize(
    ("script", "fall"),
    [
        ("752 600 450 300 150 0 0", [752, 600, 450, 300, 150, 0]),
        ("752 800 600 450 300 150 0 1", [800, 600, 450, 300, 150, 0]),
        ("752 400 0 0", None),  # too few readings to show a shape
        ("752 748 744 740 736 732 732", None),  # too small a fall
        ("752 600 450 460 300 150 150", None),  # broken
    ],
)
def test_an_unbroken_fall(script: str, fall: list[int] | None) -> None:
    found = motion(script).fall()

    assert fall == (None if found is None else [round(y / 1000) for y in found[1]])
    if found is not None:
        assert len(found[0]) == len(found[1])


RINGS = "0 700 790 730 775 735 772 737 769 739 767 741 765"


@pytest.mark.parametrize(
    ("script", "restless"),
    [
        (RINGS, True),
        ("0 300 700 752", False),  # too few
        ("0 700 752 751 752 751 752 751 752 751 752 751 752", False),  # only rounding
        ("0 700 720 725 730 735 738 741 744 747 749 751 752", False),  # creeps, one way
        ("0 700 900 600 900 600 900 600 900 600 900 600 900", False),  # a hand, far too strong
    ],
)
def test_a_restless_display_goes_to_and_fro_around_its_load(script: str, restless: bool) -> None:
    found = motion(script).restless(9, 0.7)

    assert restless == (found is not None)
    if found is not None:
        assert [y * 1000.0 for y in map(float, script.split()[-9:])] == found[1]
        assert pytest.approx([0.4, 1.2]) == [found[0][0], found[0][-1]]


def test_a_motion_without_end_forgets_its_middle_and_keeps_its_start() -> None:
    moving = motion("0 " + " ".join(str(300 + place % 7) for place in range(5000)))

    assert len(moving.t_s) == len(moving.y_mg) <= 402
    assert (moving.t_s[0], moving.y_mg[0]) == (0.0, 0.0)
    assert pytest.approx(500.0) == moving.t_s[-1]
    assert sorted(moving.t_s) == moving.t_s


def test_a_tare_moves_all_of_a_motion() -> None:
    moving = motion("752 760 748")
    moving.shift(-752_000.0)

    assert moving.y_mg == [0.0, 8_000.0, -4_000.0]
