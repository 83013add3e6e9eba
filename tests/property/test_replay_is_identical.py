"""The same readings give the same events, at any time of day and on any zero."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st
from reading_streams import FILTERS, Stream, anything, at, bench, clock, display, morning, moved

from weighstation.detect import Detector
from weighstation.events import PanLeft
from weighstation.specification import Way

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.events import Weighing

ways = st.sampled_from(list(Way))


def events(stream: Stream, way: Way) -> list[Weighing | PanLeft]:
    detector = Detector(way=way, smallest_load_mg=185_000, usual_load_mg=740_000)
    said = [event for item in stream for event in detector.feed(item)]
    return said + list(detector.finish(stream[-1].t_s if stream else 0.0))


@settings(max_examples=150)
@given(stream=anything() | bench(), way=ways)
def test_feeding_the_same_readings_twice_gives_the_same_events(stream: Stream, way: Way) -> None:
    assert events(stream, way) == events(stream, way)


@settings(max_examples=150)
@given(stream=bench(), way=ways, cut=st.integers(0, 300))
def test_what_was_said_does_not_depend_on_what_comes_later(
    stream: Stream, way: Way, cut: int
) -> None:
    whole = Detector(way=way, smallest_load_mg=185_000, usual_load_mg=740_000)
    part = Detector(way=way, smallest_load_mg=185_000, usual_load_mg=740_000)
    early = [event for item in stream[:cut] for event in part.feed(item)]

    assert early == [event for item in stream for event in whole.feed(item)][: len(early)]


@settings(max_examples=150)
@given(stream=bench(), way=ways, hours=st.integers(1, 1000))
def test_another_time_of_day_changes_times_only(stream: Stream, way: Way, hours: int) -> None:
    """Shifted by a power of two, so that no difference of two times changes in its last bit."""
    by_s = 2.0 ** (hours % 8 + 2)
    stream = [at(item, round(item.t_s * 1024) / 1024) for item in stream]
    shifted = [
        replace(event, t_s=event.t_s + by_s, placed_s=event.placed_s + by_s)
        if isinstance(event, PanLeft)
        else replace(event, t_s=event.t_s + by_s)
        for event in events(stream, way)
    ]

    assert shifted == events(moved(stream, by_s=by_s), way)


@settings(max_examples=100)
@given(
    loads_g=st.lists(st.integers(500, 1000).map(float), min_size=1, max_size=5),
    hold_s=st.floats(2.5, 4.0),
    answer=FILTERS,
    rate_hz=st.sampled_from([5.0, 10.0, 20.0]),
    offset_g=st.integers(-150, 450),
)
def test_another_zero_changes_no_weight(
    loads_g: list[float],
    hold_s: float,
    answer: Callable[[float], float],
    rate_hz: float,
    offset_g: int,
) -> None:
    """A net weight is a difference of two levels, on whatever zero they stand.

    Times may move by a reading: what is large against a load is judged by the gross level, and a
    rise by half of it and more is an arrival, so the zero stays below the load.
    """
    steps = morning(loads_g, hold_s=hold_s)
    here: Stream = list(display(steps, answer, clock(steps[-1][0] + 3.0, rate_hz)))
    there = moved(here, by_mg=offset_g * 1000)

    assert timeless(events(here, Way.SINGLE)) == timeless(events(there, Way.SINGLE))


def timeless(said: list[Weighing | PanLeft]) -> list[Weighing | PanLeft]:
    return [
        replace(event, t_s=0.0, placed_s=0.0)
        if isinstance(event, PanLeft)
        else replace(event, t_s=0.0)
        for event in said
        if isinstance(event, PanLeft) or event.firm
    ]
