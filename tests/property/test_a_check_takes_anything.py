"""Whatever a scale sends, a check takes only what was shown, in order, and never too much."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from weighstation.station.bench.check_watch import CheckWatch, Placement, WatchPlan

PLACEMENTS = (Placement("box 1", 500_000), Placement("box 1", 500_000))
LEVELS = st.lists(
    st.tuples(st.sampled_from([0, 1, 499, 500, 501, 610, 1000, -3]), st.integers(1, 40)),
    max_size=12,
)


def watch_of(has_keys: bool) -> CheckWatch:
    return CheckWatch(WatchPlan(PLACEMENTS, zero_mg=250, has_keys=has_keys))


@settings(max_examples=60)
@given(LEVELS, st.booleans(), st.booleans(), st.lists(st.integers(0, 400), max_size=4))
def test_what_is_taken_was_shown(
    levels: list[tuple[int, int]], has_keys: bool, marked: bool, keys: list[int]
) -> None:
    watch, shown, place = watch_of(has_keys), set(), 0
    for level, count in levels:
        for _ in range(count):
            mark = "ST" if marked else "US"
            watch.feed(f"{mark},GS,{level:+07d} g\r\n".encode(), place / 10)
            shown.add(1000 * level)
            place += 1
            if place in keys:
                watch.accept()
    taken = watch.taken

    assert {one.indicated_mg for one in taken} <= shown
    assert len(taken) <= 2 * len(PLACEMENTS) + 1
    assert [None, *PLACEMENTS[:1], None, *PLACEMENTS[1:], None][: len(taken)] == [
        one.placement for one in taken
    ]


@settings(max_examples=60)
@given(st.lists(st.binary(max_size=40), max_size=30))
def test_bytes_of_any_kind_raise_nothing(chunks: list[bytes]) -> None:
    watch = watch_of(has_keys=False)
    for place, data in enumerate(chunks):
        watch.feed(data, place / 3)

    assert watch.is_done is False
