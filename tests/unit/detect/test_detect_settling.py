"""When a display rests: readings in, rests out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from pan_displays import clock, first_order, moving_average, second_order, shown_g
from pan_scripts import words

from weighstation.detect.ringing import Mode
from weighstation.detect.settling import Rest, Settler

if TYPE_CHECKING:
    from collections.abc import Sequence

Told = list[tuple[float, float, bool]]


def fed(settler: Settler, levels_g: Sequence[float], times_s: Sequence[float]) -> Told:
    """Feed readings as a detector does; return the rests as (seconds, grams, firm)."""
    told: Told = []
    for t_s, level_g in zip(times_s, levels_g, strict=True):
        rest: Rest | None = None
        y_mg = level_g * 1000
        if not settler.calm:
            rest = settler.follow(t_s, y_mg)
        elif abs(y_mg - settler.level_mg) <= settler.tolerance_mg:
            settler.hold(t_s, y_mg)
        else:
            rest = settler.stir(t_s, y_mg)
        if rest is not None:
            told.append((round(rest.t_s, 3), round(rest.level_mg / 1000, 2), rest.firm))
    return told


def settled(script: str, *, rate_hz: float = 10.0, division_g: float = 1.0) -> Told:
    levels = [float(word) for word in words(script)]
    settler = Settler()
    settler.learn_division(round(division_g * 1000))
    settler.start(0.0, levels[0] * 1000)
    return fed(settler, levels[1:], [n / rate_hz for n in range(1, len(levels))])


def firm(told: Told) -> list[tuple[float, float]]:
    return [(t_s, level_g) for t_s, level_g, is_firm in told if is_firm]


@pytest.mark.parametrize(
    ("script", "rests"),
    [
        ("0 x6", [(0.4, 0.0)]),  # four readings, where the filter is not known
        ("0 x5 300 752 x8", [(0.4, 0.0), (1.0, 752.0)]),  # an arrival is given one more
        ("0 x5 300 752 x4 0 x5", [(0.4, 0.0), (1.3, 0.0)]),
        ("0 x5 752 x8 900 741 x6", [(0.4, 0.0), (0.9, 752.0), (1.7, 741.0)]),
        ("0 x5 752 x8 757 751 752 x6", [(0.4, 0.0), (0.9, 752.0), (1.8, 752.0)]),
        ("0 x5 752 x8 753 752 751 752 753 752", [(0.4, 0.0), (0.9, 752.0)]),  # stays calm
        ("0 x5 400 500 600 700 800 900", [(0.4, 0.0)]),  # never rests
    ],
)
def test_a_run_at_one_level_is_a_rest(script: str, rests: list[tuple[float, float]]) -> None:
    assert rests == firm(settled(script))


@pytest.mark.parametrize(
    ("script", "level_g"),
    [
        ("0 x5 300 600 751 752 751 752 752", 751.75),
        ("0 x5 752 x8 400 1 0 1 0 0 0", 0.33),
        ("0 x5 752 x8 730 741 742 741 742 742", 741.5),  # a trim comes from either side
    ],
)
def test_the_last_of_the_way_is_no_part_of_a_flicker(script: str, level_g: float) -> None:
    """It is low under a load and high on an empty pan, and both would make a piece too light."""
    assert level_g == firm(settled(script))[-1][1]


def test_a_slow_step_is_worth_saying_and_a_quick_one_is_not() -> None:
    told = settled("0 x5 300 600 745 752 752")

    assert [(0.8, 752.0, False), (0.9, 752.0, False)] == told[-2:]
    assert 4 == len(told) - 2  # all of the empty pan


def test_a_very_quick_stream_must_be_flat_for_more_than_a_few_readings() -> None:
    """At 50 readings a second four equal ones last 0.06 s, which a hand could."""
    told = firm(settled("0 x20 400 752 x20", rate_hz=50.0))

    assert 752.0 == told[1][1]
    assert told[1][0] - 0.42 > 0.12


def test_a_calm_level_is_the_mean_of_its_readings() -> None:
    settler = Settler()
    settler.start(0.0, 0.0)
    fed(settler, [752, 752, 752, 752, 752, 753, 753, 753, 753, 753], clock(1.0, 10.0, start_s=0.1))

    assert settler.calm
    assert pytest.approx(752_500) == settler.level_mg


def test_a_level_that_creeps_a_division_off_is_told_once() -> None:
    settler = Settler()
    settler.start(0.0, 0.0)
    fed(settler, [752.0] * 6, clock(0.6, 10.0, start_s=0.1))
    crept = [settler.hold(1.0 + 0.1 * n, 753_000.0) for n in range(30)]

    assert crept.count(True) == 1
    assert crept.index(True) > 5


def learned(settler: Settler, *, lift_offs: int, window_s: float) -> float:
    """Let a settler see loads come and go through a moving average; return when it is done."""
    settler.start(0.0, 0.0)
    steps = []
    for n in range(lift_offs):
        steps += [(1.033 + 4.019 * n, 752.0), (3.047 + 4.019 * n, -752.0)]
    times = clock(1.5 + 4.019 * lift_offs, 10.0, start_s=0.1)
    fed(settler, [round(shown_g(steps, moving_average(window_s), t)) for t in times], times)
    return times[-1]


def test_a_lift_off_teaches_the_filter_and_loads_rest_sooner_afterwards() -> None:
    settler = Settler()
    start_s = learned(settler, lift_offs=1, window_s=0.8)
    placed_s = start_s + 0.033
    times = clock(3.0, 10.0, start_s=start_s + 0.1)
    shown = [round(741.0 * moving_average(0.8)(t - placed_s)) for t in times]

    told = firm(fed(settler, shown, times))

    assert pytest.approx(0.8, rel=0.02) == settler.response.window_s
    assert 741.0 == told[0][1]
    assert told[0][0] - placed_s <= 0.8 + 0.31

    unlearned = Settler()
    unlearned.start(start_s, 0.0)
    later = firm(fed(unlearned, [0.0, 0.0, 0.0, 0.0, *shown], [start_s] * 4 + times))
    assert later[-1][0] > told[0][0]


def test_a_known_filter_sees_a_hand_behind_a_flat_display() -> None:
    """For 0.6 s a press shows as 0.25 of its force, flat: five equal readings that are no rest."""
    settler = Settler()
    start_s = learned(settler, lift_offs=1, window_s=0.8)
    placed_s, pressed_s = start_s + 0.033, start_s + 1.213
    load = [(placed_s, 741.0), (pressed_s, 160.0), (pressed_s + 0.2, -160.0)]
    times = clock(4.0, 10.0, start_s=start_s + 0.1)
    shown = [round(shown_g(load, moving_average(0.8), t)) for t in times]

    told = firm(fed(settler, shown, times))

    assert shown.count(781) >= 5
    assert {741.0} == {level_g for _, level_g in told}


def test_a_known_ring_is_called_at_its_level_and_let_come() -> None:
    """5 Hz, 5 % damping, 20 readings a second: firm while the display still swings."""
    settler = Settler()
    settler.response.mode = Mode(1.5708, 31.376)
    settler.start(0.0, 0.0)
    fed(settler, [0.0] * 8, clock(0.4, 20.0, start_s=0.05))
    answer = second_order(0.05, 31.416)
    times = clock(6.0, 20.0, start_s=0.45)
    shown = [round(752.0 * answer(t - 0.43)) for t in times]

    told = firm(fed(settler, shown, times))

    assert [pytest.approx(752.0, abs=1.0)] == [level_g for _, level_g in told]
    swing_after = max(
        abs(level - 752) for t, level in zip(times, shown, strict=True) if t > told[0][0]
    )
    assert swing_after > 10
    assert settler.calm


def test_a_ring_that_nobody_told_of_is_learned_from_three_restless_stretches() -> None:
    settler = Settler()
    settler.start(0.0, 0.0)
    fed(settler, [0.0] * 8, clock(0.4, 20.0, start_s=0.05))
    answer = second_order(0.05, 31.416)
    times = clock(6.0, 20.0, start_s=0.45)
    fed(settler, [round(752.0 * answer(t - 0.43)) for t in times], times)

    mode = settler.response.mode
    assert mode is not None
    assert pytest.approx(31.376, rel=0.01) == mode.omega
    assert pytest.approx(1.571, rel=0.2) == mode.decay


def test_a_low_pass_that_was_learned_is_called_before_it_has_crept_in() -> None:
    """tau = 0.15 s read to 0.1 g: after three lift-offs a load is firm sooner than at first."""
    settler = Settler()
    settler.learn_division(100)
    settler.start(0.0, 0.0)
    placed = [1.033 + 6.019 * n for n in range(6)]
    steps = [step for at_s in placed for step in ((at_s, 752.3), (at_s + 3.0, -752.3))]
    times = clock(38.0, 10.0, start_s=0.1)
    shown = [round(shown_g(steps, first_order(0.15), t), 1) for t in times]

    told = [(t, level) for t, level in firm(fed(settler, shown, times)) if level > 700]
    waits = [min(t for t, _ in told if t > at_s) - at_s for at_s in placed]

    assert settler.response.poles is not None
    assert waits[-1] < 0.8 * waits[0]
    assert all(abs(level - 752.3) <= 0.1 for _, level in told)


def test_a_tare_moves_all_that_was_seen() -> None:
    settler = Settler()
    settler.start(0.0, 0.0)
    fed(settler, [752.0] * 6, clock(0.6, 10.0, start_s=0.1))
    settler.shift(0.7, -752_000.0)

    assert (0.0, 0.0, True) == (settler.level_mg, settler.last_mg, settler.calm)


@pytest.mark.parametrize(("after_s", "faster"), [(0.1, True), (0.5, False)])
def test_a_jump_is_a_key_where_the_filter_lets_no_load_be_so_quick(
    after_s: float, faster: bool
) -> None:
    settler = Settler()

    assert not settler.is_faster_than_filter(0.1)

    now_s = learned(settler, lift_offs=4, window_s=0.8)

    assert faster == settler.is_faster_than_filter(now_s + after_s)


def test_noise_is_learned_from_calm_stretches_and_more_readings_are_asked_for() -> None:
    """Readings to and fro by a division: a standard deviation of half of one."""
    flicker = [0.0, 1.0] * 12
    settler = Settler()
    settler.start(0.0, 0.0)
    levels = flicker + [400.0] + [752.0 + y for y in flicker] + [400.0] + flicker
    fed(settler, levels, clock(7.4, 10.0, start_s=0.1))
    before_s = settler.last_s
    told = firm(fed(settler, [400.0] + [752.0 + y for y in flicker], clock(2.5, 10.0, start_s=8)))

    assert before_s < 8.0
    assert pytest.approx(500.0, rel=0.1) == settler.grain.noise_mg
    assert not settler.grain.is_quiet
    assert [pytest.approx(752.5, abs=0.5)] == [level_g for _, level_g in told]
    assert told[0][0] >= 8.7
