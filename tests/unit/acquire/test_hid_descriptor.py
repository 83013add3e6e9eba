"""Where a descriptor says that the fields of a scale stand."""

from __future__ import annotations

import pytest
from hid_descriptors import DATA_REPORT, FLAGGED, KEYBOARD, MANY_REPORTS, MOUSE, PACKED, joined

from weighstation.acquire.hid_descriptor import (
    COMMON_LAYOUT,
    SCALE_STATUS,
    WEIGHT_UNIT,
    Form,
    ReportField,
    ReportLayout,
    layouts_of,
    read_layouts,
)

UNITS = tuple(range(0x51, 0x5D))
STATUSES = tuple(range(0x71, 0x79))
ARRAY = Form.ARRAY


def only(descriptor: bytes) -> ReportLayout:
    """Return the one layout of a descriptor."""
    (layout,) = read_layouts(descriptor) or ()
    return layout


def within(text: str, before: str = "") -> bytes:
    """Return a descriptor whose report has a weight of 16 bits, a unit, and some more."""
    weight = "75 10 95 01 15 00 09 40 81 02 75 08 09 50 81 02"
    return joined("05 8d 09 20 a1 01", before, weight, text, "c0")


def test_the_common_layout_is_what_its_descriptor_says() -> None:
    layout = only(DATA_REPORT)

    assert (3, 6, 6) == (layout.report_id, layout.length_bytes, layout.longest_bytes)
    assert ReportField(8, 8, form=ARRAY, usages=STATUSES, least=1) == layout.status
    assert ReportField(16, 8, form=ARRAY, usages=UNITS, least=1) == layout.unit
    assert COMMON_LAYOUT.scaling == layout.scaling
    assert COMMON_LAYOUT.weight == layout.weight


def test_of_many_reports_those_that_tell_what_lies_on_the_pan_are_taken() -> None:
    """The weight limit, sent as an input, has a weight and a unit too, and is not one of them."""
    alone, data = read_layouts(MANY_REPORTS) or ()

    assert (4, 2, 13) == (alone.report_id, alone.length_bytes, alone.longest_bytes)
    assert (None, None, None) == (alone.unit, alone.scaling, alone.weight)
    assert ReportField(8, 8, form=ARRAY, usages=STATUSES, least=1) == alone.status
    assert (7, 8, 13) == (data.report_id, data.length_bytes, data.longest_bytes)
    assert ReportField(32, 32, signed=True) == data.weight


def test_fields_may_begin_inside_a_byte_and_stand_in_any_order() -> None:
    expected = ReportLayout(
        report_id=0,
        length_bytes=5,
        longest_bytes=5,
        status=ReportField(3, 4),
        unit=ReportField(32, 4),
        scaling=ReportField(36, 4, signed=True),
        weight=ReportField(8, 24, signed=True),
    )

    assert expected == only(PACKED)


def test_a_named_array_may_be_a_row_of_bits() -> None:
    layout = only(FLAGGED)

    assert ReportField(8, 8, form=Form.FLAGS, usages=STATUSES) == layout.status
    assert ReportField(16, 5, form=Form.FLAGS, usages=(0x51, 0x52, 0x53, 0x5B, 0x5C)) == layout.unit
    assert layout.scaling is None


def test_a_bit_chooses_its_selector() -> None:
    """Two bits choose nothing, for a scale cannot be in two states."""
    layout = only(FLAGGED)
    assert layout.status
    assert layout.unit
    chosen = [
        layout.status.selected(bytes((9, 1 << place, 0, 0, 0)), SCALE_STATUS) for place in range(8)
    ]

    assert list(range(1, 9)) == chosen
    assert [1, 2, 3, 11, 12] == [
        layout.unit.selected(bytes((9, 0, 1 << place, 0, 0)), WEIGHT_UNIT) for place in range(5)
    ]
    assert 0 == layout.status.selected(bytes((9, 0b11, 0, 0, 0)), SCALE_STATUS)
    assert 0 == layout.status.selected(bytes((9, 0, 0, 0, 0)), SCALE_STATUS)


@pytest.mark.parametrize(
    ("usages", "least", "sent", "status"),
    [
        ("19 71 29 78", "15 01", 4, 4),
        ("19 71 29 78", "15 00", 3, 4),
        ("19 70 29 78", "15 00", 4, 4),
        ("19 70 29 78", "15 01", 4, 4),  # the array itself cannot be chosen
        ("19 70 29 78", "15 00", 0, 0),
        ("09 74 09 73 09 72", "15 05", 5, 4),
        ("09 74 09 73 09 72", "15 05", 7, 2),
        ("09 74 09 73 09 72", "15 05", 8, 0),
        ("09 74 09 73 09 72", "15 05", 4, 0),
        ("09 70", "15 01", 4, 4),  # an array that names nothing: the number itself
    ],
)
def test_an_array_chooses_by_place_from_its_logical_minimum(
    usages: str, least: str, sent: int, status: int
) -> None:
    """Device Class Definition for HID 1.11, section 6.2.2.5 (from memory)."""
    layout = only(within(f"{least} {usages} 81 00"))
    assert layout.status

    assert status == layout.status.selected(bytes((0, 0, 0, sent)), SCALE_STATUS)


@pytest.mark.parametrize(
    ("least", "signed"), [("15 00", False), ("15 ff", True), ("16 00 80", True)]
)
def test_a_weight_has_a_sign_if_its_minimum_has_one(least: str, signed: bool) -> None:
    layout = only(joined("05 8d 75 10 95 01", least, "09 40 81 02 75 08 09 50 81 02"))

    assert ReportField(0, 16, signed=signed) == layout.weight


@pytest.mark.parametrize(
    ("size", "least", "signed"), [("08", "15 00", True), ("04", "15 00", False)]
)
def test_an_exponent_of_a_byte_has_a_sign(size: str, least: str, signed: bool) -> None:
    layout = only(within(f"75 {size} {least} 09 41 81 02"))

    assert ReportField(24, int(size), signed=signed) == layout.scaling


def test_a_report_without_id_begins_with_its_fields() -> None:
    layout = only(within(""))

    assert (0, 3, 0) == (layout.report_id, layout.length_bytes, layout.weight and
                         layout.weight.offset_bits)  # fmt: skip


def test_of_two_weights_in_a_report_the_first_counts() -> None:
    layout = only(within("75 20 09 40 81 02"))

    assert ReportField(0, 16) == layout.weight
    assert 7 == layout.length_bytes


def test_a_weight_that_is_repeated_byte_by_byte_is_none() -> None:
    """Two fields of eight bits are not one of sixteen; nobody knows what is meant."""
    assert read_layouts(joined("05 8d 75 08 95 02 09 40 81 02 95 01 09 50 81 02")) is None


def test_bits_that_are_no_row_are_no_status() -> None:
    layout = only(within("75 01 95 03 09 71 09 01 09 72 81 02"))

    assert layout.status is None


@pytest.mark.parametrize(
    ("number", "field", "report"),
    [
        (0x1402, ReportField(32, 16), "03 04 02 ff 02 14"),
        (-1, ReportField(24, 8, signed=True), "03 04 02 ff 02 14"),
        (-128, ReportField(24, 8, signed=True), "03 04 02 80 02 14"),
        (-1, ReportField(3, 7, signed=True), "f8 03"),
        (63, ReportField(3, 7, signed=True), "f8 01"),
        (1, ReportField(7, 1), "80"),
        (2**64 - 1, ReportField(0, 64), "ff" * 8),
    ],
)
def test_a_number_is_read_from_its_lowest_bit(number: int, field: ReportField, report: str) -> None:
    """Device Class Definition for HID 1.11, section 8 (from memory): low bytes first."""
    assert number == field.number(bytes.fromhex(report))


@pytest.mark.parametrize(
    "descriptor",
    [
        b"",
        KEYBOARD,
        MOUSE,
        within("c0"),  # a collection ends that did not begin
        within("a1 02"),  # one does not end
        within("85 03 81 01"),  # an id that only some reports have
        within("77 ff ff ff ff 81 02"),  # a report longer than any
        joined("05 8d 75 10 95 01 09 40 81 02"),  # a weight without unit
        joined("05 8d 75 08 95 01 09 50 81 02"),  # a unit without weight
        joined("05 01 75 08 95 04 09 40 09 50 81 02"),  # the same ids on another page
        joined("05 8d 75 10 95 01 09 40 b1 02 75 08 09 50 b1 02"),  # features, no inputs
        joined("05 8d 75 00 95 01 09 40 81 02 75 08 09 50 81 02"),  # a weight of no bits
        joined("05 8d 75 48 95 01 09 40 81 02 75 08 09 50 81 02"),  # a weight of 72 bits
        joined("05 8d 75 08 95 00 09 40 09 50 81 02"),  # none of them
    ],
)
def test_what_tells_of_no_weight_gives_the_common_layout(descriptor: bytes) -> None:
    assert read_layouts(descriptor) is None
    assert (COMMON_LAYOUT,) == layouts_of(descriptor)


@pytest.mark.parametrize("length", range(len(DATA_REPORT)))
def test_a_descriptor_that_is_cut_short_gives_the_common_layout(length: int) -> None:
    assert (COMMON_LAYOUT,) == layouts_of(DATA_REPORT[:length])
