"""Whatever a USB device sends or says of itself, there are states, with a count and an end."""

from __future__ import annotations

import tracemalloc

from hypothesis import given, settings
from hypothesis import strategies as st

from weighstation.acquire import HidDecoder
from weighstation.acquire.hid import MAX_RAW_BYTES
from weighstation.acquire.hid_descriptor import COMMON_LAYOUT, layouts_of, read_layouts
from weighstation.acquire.resolution import MAX_WEIGHT_MG
from weighstation.events import DivisionLearned, Reading, Status

# Items that descriptors of scales are made of, so that many of the random ones mean something.
ITEMS = [
    bytes.fromhex(text)
    for text in (
        *("058d", "0501", "068d00", "850385", "8503", "8507", "8500", "7501", "7508", "7510"),
        *("7518", "7540", "7700000001", "9500", "9501", "9508", "97ffffffff", "1500", "1501"),
        *("1580", "25ff", "0932", "0934", "0940", "0941", "0950", "0970", "0b40008d00", "1951"),
        *("295c", "1971", "2978", "1b00008d00", "2bffff8d00", "a101", "a102", "c0", "8100"),
        *("8102", "8103", "9102", "b102", "a4", "b4", "a901", "a900", "fe02f00102", "fe", "77"),
    )
]
descriptors = st.one_of(
    st.binary(max_size=80),
    st.lists(st.sampled_from(ITEMS), max_size=40).map(b"".join),
    st.lists(st.sampled_from(ITEMS), max_size=12).map(
        # a weight and a unit are in front, so that what follows is read on a layout of its own
        lambda items: bytes.fromhex("058d85037510950109408102750809508102") + b"".join(items)
    ),
)
reports = st.one_of(
    st.binary(max_size=70),
    st.binary(min_size=3, max_size=12).map(lambda data: b"\3" + data),
    st.builds(
        lambda *parts: b"\3" + bytes(parts),
        *(st.integers(0, 9), st.integers(0, 13)),
        *(st.integers(0, 255), st.integers(0, 255), st.integers(0, 255)),
    ),
)


@settings(max_examples=300)
@given(descriptors, st.lists(reports, max_size=30))
def test_any_bytes_give_states(descriptor: bytes, sent: list[bytes]) -> None:
    decoder = HidDecoder(descriptor)
    out: list[Reading | DivisionLearned] = []
    for place, data in enumerate(sent):
        out += decoder.feed(data, place / 10)
    out += decoder.finish()
    readings = [item for item in out if isinstance(item, Reading)]
    states = [reading.status for reading in readings]
    counts = decoder.counts

    assert len(readings) == counts.frames
    assert states.count(Status.UNREADABLE) == counts.unreadable
    assert states.count(Status.OVERLOAD) == counts.overload
    for reading in readings:
        assert (reading.status is Status.WEIGHT) is (reading.gross_mg is not None)
        assert abs(reading.gross_mg or 0) <= MAX_WEIGHT_MG
        assert len(reading.raw) <= 2 * MAX_RAW_BYTES
    assert "\n" not in decoder.refusal
    assert (decoder.profile is not None) is (Status.WEIGHT in states)


@settings(max_examples=300)
@given(descriptors)
def test_any_descriptor_gives_layouts_that_fit_their_reports(descriptor: bytes) -> None:
    layouts = layouts_of(descriptor)

    assert layouts
    assert (layouts == (COMMON_LAYOUT,)) or (layouts == read_layouts(descriptor))
    assert len({layout.report_id for layout in layouts}) == len(layouts)
    for layout in layouts:
        fields = (layout.status, layout.unit, layout.scaling, layout.weight)
        ends_bits = [each.offset_bits + each.size_bits for each in fields if each]
        assert 0 < max(ends_bits) <= 8 * layout.length_bytes
        assert layout.length_bytes <= layout.longest_bytes


def test_memory_does_not_grow_with_what_was_read() -> None:
    """All units, exponents and statuses, then the same again and again: nothing is kept of it."""
    decoder = HidDecoder()
    sent = [
        bytes((3, status, unit, exponent, 7 * unit, exponent))
        for status in range(10)
        for unit in range(14)
        for exponent in range(256)
    ]
    sent += [bytes(length) for length in range(100)]

    def feed() -> int:
        for data in sent:
            decoder.feed(data, 0.0)
        return tracemalloc.get_traced_memory()[0]

    tracemalloc.start()
    try:
        before = feed()
        after = feed()
    finally:
        tracemalloc.stop()

    assert after - before < 10_000
