"""Streams of readings: of a bench that somebody works at, and of no bench at all."""

from __future__ import annotations

import sys
from pathlib import Path

from hypothesis import strategies as st

from weighstation.events import DivisionLearned, Reading, Status

sys.path.insert(0, str(Path(__file__).parents[1] / "unit" / "detect"))

from pan_displays import (
    clock,
    display,
    first_order,
    morning,
    moving_average,
    second_order,
    shown_g,
    two_stages,
)
from pan_scripts import detect, reading

__all__ = [
    "FILTERS",
    "Stream",
    "anything",
    "at",
    "bench",
    "clock",
    "detect",
    "display",
    "first_order",
    "morning",
    "moved",
    "moving_average",
    "reading",
    "two_stages",
]

Stream = list[Reading | DivisionLearned]

gaps_s = st.one_of(
    st.sampled_from([0.0, 0.05, 0.1, 0.1, 0.1, 0.2]),
    st.floats(0.0, 5.0),
)
levels_mg = st.one_of(
    st.sampled_from([0, 0, 0, 1000, 740_000, 741_000, 752_000, 752_000, 1_500_000, -752_000]),
    st.integers(-2_000_000, 2_000_000),
    st.integers(-(10**15), 10**15),
)
statuses = st.sampled_from([Status.OVERLOAD, Status.UNDERLOAD, Status.UNREADABLE])


@st.composite
def anything(draw: st.DrawFn) -> Stream:
    """Return readings in order of time that no bench would make: jumps, runs, gaps, faults."""
    stream: Stream = []
    t_s = draw(st.floats(0.0, 1e6))
    for _ in range(draw(st.integers(0, 12))):
        kind = draw(st.sampled_from(["run", "run", "jumps", "ramp", "swing", "fault", "division"]))
        level_mg = draw(levels_mg)
        gap_s = draw(gaps_s)
        for place in range(draw(st.integers(1, 14))):
            t_s += gap_s
            if kind == "division":
                stream.append(DivisionLearned(t_s, draw(st.sampled_from([1, 100, 1000, 20_000]))))
                break
            if kind == "fault":
                stream.append(reading(t_s, None, draw(statuses)))
                continue
            if kind == "jumps":
                level_mg = draw(levels_mg)
            stream.append(reading(t_s, _level_mg(kind, level_mg, place) / 1000))
    return stream


def _level_mg(kind: str, level_mg: int, place: int) -> int:
    if kind == "ramp":
        return level_mg - level_mg * place // 10
    if kind == "swing":
        swing_mg = level_mg // 40 * (14 - place) // 14
        return level_mg - swing_mg if place % 2 else level_mg + swing_mg
    return level_mg


FILTERS = st.sampled_from(
    [
        moving_average(0.05),
        moving_average(0.25),
        moving_average(0.4),
        moving_average(0.9),
        first_order(0.15),
        two_stages(0.1),
    ]
)


@st.composite
def bench(draw: st.DrawFn) -> Stream:
    """Return what a scale shows of somebody who places, presses, trims, lifts and leans."""
    answer = draw(FILTERS | st.just(second_order(0.05, 31.4)))
    rate_hz = draw(st.sampled_from([5.0, 10.0, 20.0]))
    steps: list[tuple[float, float]] = [(-100.0, float(draw(st.integers(-20, 20))))]
    t_s, load_g = 1.0, 0.0
    for _ in range(draw(st.integers(1, 8))):
        t_s += draw(st.floats(0.1, 2.5))
        change_g = float(draw(st.sampled_from([740, 752, -11, 25, -740, 90, -90, 1500, -load_g])))
        if load_g + change_g < -1.0:
            change_g = -load_g
        load_g += change_g
        steps.append((t_s, change_g))
    return [
        reading(at_s, float(round(shown_g(steps, answer, at_s))))
        for at_s in clock(t_s + 2, rate_hz)
    ]


def at(item: Reading | DivisionLearned, t_s: float) -> Reading | DivisionLearned:
    """Return an item at another time."""
    if isinstance(item, DivisionLearned):
        return DivisionLearned(t_s, item.division_mg)
    return Reading(t_s, item.gross_mg, item.stable, item.status, item.raw)


def moved(stream: Stream, *, by_s: float = 0.0, by_mg: int = 0) -> Stream:
    """Return the same stream at another time, or on a scale with another zero."""
    later = [at(item, item.t_s + by_s) for item in stream]
    return [
        reading(item.t_s, (item.gross_mg + by_mg) / 1000)
        if isinstance(item, Reading) and item.gross_mg is not None
        else item
        for item in later
    ]
