"""Whatever the readings are, a detector goes on, and what it says hangs together."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reading_streams import Stream, anything, bench, reading

from weighstation.detect import Detector, Pan
from weighstation.events import PanLeft, Weighing
from weighstation.specification import Way

ways = st.sampled_from(list(Way))


def fed(stream: Stream, way: Way) -> tuple[Detector, list[tuple[float, Weighing | PanLeft]]]:
    """Feed a stream; return the detector and each event with the time it was said at."""
    detector = Detector(way=way, smallest_load_mg=185_000, usual_load_mg=740_000)
    said = [(item.t_s, event) for item in stream for event in detector.feed(item)]
    last_s = stream[-1].t_s if stream else 0.0
    return detector, said + [(last_s, event) for event in detector.finish(last_s)]


def events(stream: Stream, way: Way) -> list[Weighing | PanLeft]:
    return [event for _, event in fed(stream, way)[1]]


def row(start_s: float, step_s: float, levels_g: list[float]) -> Stream:
    """Return readings of given levels, evenly spaced."""
    return [reading(start_s + step_s * n, level_g) for n, level_g in enumerate(levels_g)]


RING_G = [752.0 + (-1) ** n * (24.0 - n) for n in range(12)]
HALF_LIFTED = (
    row(0, 0.1, [0.0] * 6)
    + row(1, 0.1, [1000.0] * 8)
    + row(2, 0.02, [500.0] * 3)
    + row(2.06, 0.1, [0.0] * 8)
    + row(4, 0.1, [1000.0] * 8)
)
AT_ONCE = row(0, 0.1, [0.0] * 6) + [
    item
    for start_s in range(1, 50, 8)
    for item in (
        row(start_s, 0.0, [752 * (1 - 0.7**n) for n in range(1, 20)])
        + row(start_s + 0.1, 0.1, [752.0] * 8)
        + row(start_s + 1, 0.0, [752 * 0.7**n for n in range(1, 20)])
        + row(start_s + 1.1, 0.1, [0.0] * 8)
    )
]


def silent_for(silence_s: float) -> Stream:
    """Return a ring that goes on after the scale said nothing for some time."""
    start = row(0, 0.1, [0.0] * 6) + row(1, 0.05, RING_G)
    return start + row(1.6 + silence_s, 0.05, [*RING_G, *([752.0] * 12)])


@pytest.mark.parametrize(
    "stream",
    [
        pytest.param([], id="nothing"),
        pytest.param(HALF_LIFTED, id="half lifted, at 50 readings a second"),
        pytest.param(AT_ONCE, id="each load comes and goes at one time"),
        pytest.param(silent_for(5.0), id="a ring, 5 s of silence, and on"),
        pytest.param(silent_for(900.0), id="a ring, a quarter of an hour of silence, and on"),
    ],
)
@pytest.mark.parametrize("way", list(Way))
def test_odd_streams_are_gone_through(stream: Stream, way: Way) -> None:
    """Each of these once ended a detector, or might have."""
    detector, said = fed(stream, way)

    assert isinstance(detector.pan, Pan)
    assert [event.visit for _, event in said] == sorted(event.visit for _, event in said)


@settings(max_examples=300)
@given(stream=anything(), way=ways)
def test_no_reading_is_refused(stream: Stream, way: Way) -> None:
    detector, _ = fed(stream, way)

    assert isinstance(detector.pan, Pan)


@settings(max_examples=200)
@given(stream=anything() | bench(), way=ways)
def test_events_are_said_in_order_and_never_of_the_future(stream: Stream, way: Way) -> None:
    said = fed(stream, way)[1]

    assert all(event.t_s <= at_s for at_s, event in said)
    assert all(one.t_s <= after.t_s for (_, one), (_, after) in pairwise(said))
    left = [event for _, event in said if isinstance(event, PanLeft)]
    assert all(event.placed_s <= event.t_s for event in left)


@settings(max_examples=200)
@given(stream=anything() | bench(), way=ways)
def test_visits_count_up_by_one_and_each_ends_once(stream: Stream, way: Way) -> None:
    said = events(stream, way)
    visits = [event.visit for event in said]
    left = [event.visit for event in said if isinstance(event, PanLeft)]

    assert all(after - one in (0, 1) for one, after in pairwise(visits))
    assert list(range(1, len(left) + 1)) == left
    firm = {event.visit for event in said if isinstance(event, Weighing) and event.firm}
    assert firm - set(left) <= {max(visits, default=0)}


@settings(max_examples=200)
@given(stream=anything() | bench(), way=ways)
def test_nothing_is_said_of_a_load_that_has_left(stream: Stream, way: Way) -> None:
    gone: set[int] = set()
    for event in events(stream, way):
        assert event.visit not in gone
        if isinstance(event, PanLeft):
            gone.add(event.visit)


@settings(max_examples=200)
@given(stream=anything() | bench(), way=ways)
def test_touches_of_firm_weights_never_go_back_and_never_skip(stream: Stream, way: Way) -> None:
    touches: dict[int, list[int]] = {}
    for event in events(stream, way):
        if isinstance(event, PanLeft):
            assert event.touches - touches.get(event.visit, [0])[-1] in (0, 1)
        elif event.firm:
            touches.setdefault(event.visit, [0]).append(event.touch)

    assert all(after - one in (0, 1) for row in touches.values() for one, after in pairwise(row))


@settings(max_examples=100)
@given(stream=anything() | bench(), way=ways)
def test_finishing_twice_says_no_more(stream: Stream, way: Way) -> None:
    detector, _ = fed(stream, way)
    last_s = stream[-1].t_s if stream else 0.0

    assert detector.finish(last_s + 1.0) == ()


@settings(max_examples=60)
@given(stream=anything() | bench(), way=ways, at=st.integers(0, 60))
def test_sight_may_be_lost_at_any_time(stream: Stream, way: Way, at: int) -> None:
    detector = Detector(way=way, smallest_load_mg=185_000, usual_load_mg=740_000)
    left = []
    for place, item in enumerate(stream):
        if place == at:
            detector.lose_sight(item.t_s)
        left += [event for event in detector.feed(item) if isinstance(event, PanLeft)]

    assert all(one.visit < after.visit for one, after in pairwise(left))


@pytest.mark.parametrize("way", list(Way))
def test_a_motion_that_never_ends_costs_no_memory(way: Way) -> None:
    """Someone works at the dough on the scale for twenty minutes, and the display never rests."""
    detector = Detector(way=way, smallest_load_mg=185_000)
    sizes = []
    for place in range(12_000):
        detector.feed(reading(0.1 * place, 700 + 137 * place % 389))
        if place % 1000 == 999:
            sizes.append(remembered(detector))

    assert max(sizes) < 1000


def remembered(thing: object, seen: set[int] | None = None) -> int:
    """Return how many things an object holds on to, itself included."""
    seen = set() if seen is None else seen
    if id(thing) in seen or isinstance(thing, type):
        return 0
    seen.add(id(thing))
    if isinstance(thing, dict):
        inner: list[object] = [*thing.keys(), *thing.values()]
    elif isinstance(thing, str | int | float):
        inner = []
    elif hasattr(thing, "__iter__") and hasattr(thing, "__len__"):
        inner = list(thing)
    else:
        names = [name for kind in type(thing).__mro__ for name in getattr(kind, "__slots__", ())]
        inner = [getattr(thing, name) for name in [*names, *getattr(thing, "__dict__", {})]]
    return 1 + sum(remembered(one, seen) for one in inner)
