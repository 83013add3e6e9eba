"""Items of a report descriptor: HID 1.11, section 6.2.2 (from memory)."""

from __future__ import annotations

import pytest
from hid_descriptors import KEYBOARD, joined

from weighstation.acquire.hid_items import MAX_USAGES, MainTag, main_items


def test_the_keyboard_of_the_standard_has_its_items() -> None:
    """Device Class Definition for HID 1.11, appendix E.6 (from memory)."""
    items = list(main_items(KEYBOARD))

    assert [
        (MainTag.COLLECTION, 0, 0, 1),
        (MainTag.INPUT, 1, 8, 8),
        (MainTag.INPUT, 8, 1, 0),
        (MainTag.OUTPUT, 1, 5, 5),
        (MainTag.OUTPUT, 3, 1, 0),
        (MainTag.INPUT, 8, 6, 0x66),
        (MainTag.END_COLLECTION, 8, 6, 0),
    ] == [(item.tag, item.size_bits, item.report_count, len(item.usages)) for item in items]
    assert (0x0001_0006,) == items[0].usages
    assert (0x0007_00E0, 0x0007_00E7) == (items[1].usages[0], items[1].usages[-1])
    assert (0x0008_0001, 0x0008_0005) == (items[3].usages[0], items[3].usages[-1])


@pytest.mark.parametrize(
    ("text", "size_bits"),
    [
        ("74 81 02", 0),  # no data: zero
        ("75 0c 81 02", 0x0C),
        ("76 01 02 81 02", 0x0201),
        ("77 01 02 03 04 81 02", 0x0403_0201),
    ],
)
def test_a_short_item_has_no_one_two_or_four_bytes(text: str, size_bits: int) -> None:
    (item,) = main_items(bytes.fromhex(text))

    assert size_bits == item.size_bits


@pytest.mark.parametrize(
    ("text", "least"),
    [("15 80", -128), ("15 7f", 127), ("16 00 80", -32_768), ("17 ff ff ff ff", -1), ("14", 0)],
)
def test_a_logical_minimum_has_a_sign(text: str, least: int) -> None:
    (item,) = main_items(bytes.fromhex(text + "8102"))

    assert least == item.least


def test_long_items_are_passed_over() -> None:
    """Section 6.2.2.3: FE, the number of data bytes, a tag, the data."""
    descriptor = joined("05 8d", "fe 03 f0 81 02 c0", "09 40 81 02", "fe 00 f1")
    (item,) = main_items(descriptor)

    assert (0x008D_0040,) == item.usages


def test_what_is_pushed_comes_back_and_locals_do_not_stay() -> None:
    descriptor = joined("05 8d 75 08 a4", "05 01 75 10 09 30 81 02", "b4 81 02")
    inner, outer = main_items(descriptor)

    assert (0x0001_0030,) == inner.usages
    assert (16, 8) == (inner.size_bits, outer.size_bits)
    assert () == outer.usages


def test_a_usage_of_four_bytes_brings_its_page() -> None:
    (item,) = main_items(joined("05 02 0b 40 00 8d 00 09 30 81 02"))

    assert (0x008D_0040, 0x0002_0030) == item.usages


def test_of_a_delimited_set_the_first_usage_is_taken() -> None:
    """Section 6.2.2.8: the most preferred comes first."""
    (item,) = main_items(joined("05 8d", "a9 01 09 40 09 41 09 50 a9 00", "09 70 81 02"))

    assert (0x008D_0040, 0x008D_0070) == item.usages


@pytest.mark.parametrize("text", ["19 51 29 53 81 00", "29 53 19 51 81 00"])
def test_a_range_of_usages_is_all_of_them(text: str) -> None:
    (item,) = main_items(bytes.fromhex("058d" + text))

    assert (0x008D_0051, 0x008D_0052, 0x008D_0053) == item.usages


def test_of_a_range_without_end_only_the_first_are_looked_at() -> None:
    (item,) = main_items(joined("1b 00 00 00 00 2b ff ff ff ff 81 00"))

    assert tuple(range(MAX_USAGES)) == item.usages


def test_reserved_items_are_passed_over() -> None:
    """A reserved type, a reserved global, local and main tag; the main one ends its locals."""
    descriptor = joined("05 8d 0d 00 c4 98 09 41 f1 00 09 40 81 02")
    (item,) = main_items(descriptor)

    assert (0x008D_0040,) == item.usages


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("05", "cut short"),
        ("77 01 02 03", "cut short"),
        ("fe", "cut short"),
        ("fe 01", "cut short"),
        ("fe 02 00 00", "cut short"),
        ("b4", "taken back"),
        ("85 00", "report id"),
        ("86 00 01", "report id"),
        ("19 05 29 04", "ends before it begins"),
    ],
)
def test_what_breaks_the_rules_is_a_value_error(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        list(main_items(bytes.fromhex(text)))
