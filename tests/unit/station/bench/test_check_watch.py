"""A check sees for itself what was done: rests are taken, wrong loads and full pans are said."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from weighstation.station.bench.check_watch import (
    HOLD_S,
    CheckWatch,
    Placement,
    Trouble,
    WatchPlan,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

SMALL, LARGE = Placement("box 1", 500_000), Placement("box 2", 1_000_000)
Level = tuple[float, float]
"""So many grams for so many seconds."""


def lines_of(levels: Sequence[Level], rate_hz: float = 10.0) -> Iterator[tuple[float, bytes]]:
    """A scale of 1 g with a moving average over four readings and a stable mark."""
    shown, t_s, still = [levels[0][0]] * 4, 0.0, 0
    for level, seconds in levels:
        for _ in range(round(seconds * rate_hz)):
            before = sum(shown)
            shown = [*shown[1:], level]
            still = still + 1 if sum(shown) == before else 0
            t_s += 1 / rate_hz
            mark = "ST" if still >= 2 else "US"
            yield t_s, f"{mark},GS,{round(sum(shown) / 4):+07d} g\r\n".encode()


def watched(
    levels: Sequence[Level],
    *placements: Placement,
    has_keys: bool = True,
    rate_hz: float = 10.0,
) -> CheckWatch:
    watch = CheckWatch(WatchPlan(placements, has_keys=has_keys, zero_mg=250))
    for t_s, data in lines_of(levels, rate_hz):
        watch.feed(data, t_s)
    return watch


def indications(watch: CheckWatch) -> list[float]:
    return [taken.indicated_mg / 1000 for taken in watch.taken]


def test_each_load_is_taken_once_from_an_empty_pan() -> None:
    watch = watched([(0, 3), (500, 3), (0, 3), (1001, 3), (0, 3)], SMALL, LARGE)

    assert [0.0, 500.0, 0.0, 1001.0, 0.0] == indications(watch)
    assert [None, SMALL, None, LARGE, None] == [taken.placement for taken in watch.taken]
    assert (True, 1000) == (watch.is_done, watch.division_mg)


def test_nothing_is_taken_before_it_has_stood_for_a_while() -> None:
    """A load that is snatched away, and one that a hand still moves."""
    watch = watched([(0, 3), (500, HOLD_S), (0, 2)], SMALL)

    assert [0.0] == indications(watch)
    assert (SMALL, Trouble.NONE) == (watch.wanted, watch.trouble)


@pytest.mark.parametrize("rate_hz", [1.0, 2.0, 5.0, 20.0, 50.0])
def test_slow_and_quick_scales_are_read_alike(rate_hz: float) -> None:
    seconds = max(3.0, 12 / rate_hz)
    watch = watched([(0, seconds), (500, seconds), (0, seconds)], SMALL, rate_hz=rate_hz)

    assert [0.0, 500.0, 0.0] == indications(watch)


def test_another_load_is_said_and_waited_out() -> None:
    levels = [(0.0, 3.0), (1000, 3)]
    wrong = watched(levels, SMALL)
    mended = watched([*levels, (0, 3), (498, 3), (0, 3)], SMALL)

    assert (Trouble.ANOTHER_LOAD, SMALL) == (wrong.trouble, wrong.wanted)
    assert [0.0, 498.0, 0.0] == indications(mended)


def test_another_load_is_taken_if_a_person_says_so() -> None:
    """A scale that is far off must be able to fail its check."""
    watch = watched([(0, 3), (610, 3)], SMALL)

    assert Trouble.ANOTHER_LOAD is watch.trouble
    assert watch.accept()
    assert [0.0, 610.0] == indications(watch)


def test_a_scale_that_shows_less_than_half_can_fail_its_check() -> None:
    """And so a wrong weight that is lighter is said too; both were waited out without a word."""
    light = watched([(0, 3), (100, 3)], SMALL, SMALL)
    trouble, took = light.trouble, light.accept()
    for t_s, data in lines_of([(100, 3), (0, 3), (100, 3)]):
        light.feed(data, 6 + t_s)

    assert (Trouble.ANOTHER_LOAD, True) == (trouble, took)
    assert [0.0, 100.0, 0.0] == indications(light)
    assert Trouble.ANOTHER_LOAD is light.trouble


def test_what_is_left_on_the_pan_is_said() -> None:
    """200 g of two weights that lay there for 500 g once counted as a pan that is empty."""
    left = watched([(0, 3), (500, 3), (200, 3)], SMALL)
    patient = watched([(0, 3), (500, 3), (200, 8)], SMALL, has_keys=False)
    mended = watched([(0, 3), (500, 3), (200, 3), (0, 3)], SMALL)
    trouble, took = left.trouble, left.accept()

    assert (Trouble.LEFT_OVER, True) == (trouble, took)
    assert [0.0, 500.0, 200.0] == indications(left)
    assert [0.0, 500.0, 200.0] == indications(patient)
    assert [0.0, 500.0, 0.0] == indications(mended)


def test_a_key_takes_nothing_that_moves_or_that_nobody_doubts() -> None:
    assert not watched([(0, 3), (500, 0.3)], SMALL).accept()
    assert not watched([(700, 3)], SMALL).accept()


def test_a_full_pan_at_the_start_is_said() -> None:
    full = watched([(700, 3)], SMALL)

    assert (Trouble.NOT_EMPTY, []) == (full.trouble, full.taken)
    assert [0.0] == indications(watched([(700, 3), (0, 3)], SMALL))


def test_an_empty_pan_off_zero_is_said_and_waits_for_a_key() -> None:
    watch = watched([(3, 8)], SMALL)

    assert (Trouble.NOT_ZERO, []) == (watch.trouble, watch.taken)
    assert watch.accept()
    assert [3.0] == indications(watch)


def test_without_keys_an_empty_pan_off_zero_is_taken_after_a_while() -> None:
    assert [] == watched([(3, 4)], SMALL, has_keys=False).taken
    assert [3.0] == indications(watched([(3, 7)], SMALL, has_keys=False))


def test_a_load_counts_from_the_empty_pan_before_it() -> None:
    """60 g of tray that stay do not make 500 g another load."""
    watch = watched([(60, 8), (560, 3), (60, 3)], SMALL, has_keys=False)

    assert [60.0, 560.0, 60.0] == indications(watch)


def test_a_light_weight_and_a_heavy_one() -> None:
    """Half a load is the border between there and gone: that of the load in question."""
    light, heavy = Placement("box 1", 20_000), Placement("box 2", 2_000_000)
    watch = watched([(0, 3), (20, 3), (-1, 3), (2000, 3), (4, 3)], light, heavy)

    assert [0.0, 20.0, -1.0, 2000.0, 4.0] == indications(watch)


def test_a_load_that_stays_is_not_the_next_one() -> None:
    watch = watched([(0, 3), (500, 20)], SMALL, SMALL)

    assert [0.0, 500.0] == indications(watch)
    assert Trouble.NONE is watch.trouble


def test_a_mark_that_never_says_still_only_makes_it_wait_longer() -> None:
    """A draught, or a mark of another meaning: what stands for three seconds is taken."""

    two, early = CheckWatch(WatchPlan((SMALL, SMALL), zero_mg=250)), 0
    for t_s, data in lines_of([(0, 3), (500, 3), (0, 3), (500, 6)]):
        two.feed(data.replace(b"ST", b"US") if t_s > 9.05 else data, t_s)
        if t_s <= 11.5:
            early = len(two.taken)

    assert 3 == early
    assert [0.0, 500.0, 0.0, 500.0] == indications(two)


def test_bytes_cut_anywhere_say_the_same() -> None:
    levels = [(0.0, 3.0), (500, 3), (0, 3)]
    byte_by_byte = CheckWatch(WatchPlan((SMALL,), zero_mg=250))
    for t_s, data in lines_of(levels):
        for place in range(len(data)):
            byte_by_byte.feed(data[place : place + 1], t_s)

    assert watched(levels, SMALL).taken == byte_by_byte.taken
