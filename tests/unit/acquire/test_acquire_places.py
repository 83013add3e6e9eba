"""A number that lost digits does not fill its place."""

from __future__ import annotations

import pytest

from weighstation.acquire.fields import Fields, read_fields
from weighstation.acquire.places import Fill, NumberPlace


def number(text: str) -> Fields:
    fields = read_fields(text)

    assert fields is not None
    return fields


def place_of(*texts: str) -> NumberPlace:
    place = NumberPlace.of(number(texts[0]))
    for text in texts[1:]:
        place.accepts(number(text))
    return place


@pytest.mark.parametrize(
    ("texts", "fill"),
    [
        (("512 g",), Fill.UNKNOWN),
        (("512 g", "517 g"), Fill.UNKNOWN),
        (("00512 g",), Fill.PADDED),
        (("  512 g", "    0 g"), Fill.PADDED),
        (("512 g", "0 g"), Fill.TIGHT),
        (("S  512 g", "S  0 g"), Fill.TIGHT),
        (("0.512 kg",), Fill.UNKNOWN),
    ],
)
def test_the_filling_is_seen_from_numbers_of_different_length(
    texts: tuple[str, ...], fill: Fill
) -> None:
    assert fill is place_of(*texts).fill


@pytest.mark.parametrize(
    ("texts", "text", "fits"),
    [
        (("+00651 g",), "+00000 g", True),
        (("+00651 g",), "51 g", False),
        (("+00651 g",), "0651 g", False),
        (("+00651 g",), "00651 g", False),
        (("+00651 g",), "+006500651 g", False),
        (("+00651 g",), "+123456 g", True),
        (("00651 g",), "-00012 g", True),
        (("00651 g",), "--0012 g", False),
        (("  651 g", "    0 g"), "  -12 g", True),
        (("  651 g", "    0 g"), " 651 g", False),
        (("  651 g", "    0 g"), "123456 g", True),
        (("651 g", "0 g"), "12345 g", True),
        (("651 g", "0 g"), "-12 g", True),
        (("651 g", "0 g"), " 12 g", False),
        (("S  651 g", "S  0 g"), "S 12 g", False),
        (("651 g",), "51 g", True),
        (("  651 g",), " 651 g", False),
        (("  651 g",), " 51 g", False),
        (("  651 g",), " -651 g", True),
        (("651 g",), "0012 g", False),
        (("+651 g",), "651 g", False),
        (("+651 g",), " 0 g", True),
        (("+651 g", "+0 g"), "0 g", False),
        ((" 651 g", "   0 g"), ",51 g", False),
        ((".5 g",), ".7 g", True),
    ],
)
def test_a_number_fits_or_not(texts: tuple[str, ...], text: str, fits: bool) -> None:
    assert fits is place_of(*texts).accepts(number(text))


def test_a_zero_may_lack_the_plus_sign() -> None:
    assert place_of("+651 g").accepts(number(" 000 g"))


def test_a_loose_place_takes_any_number() -> None:
    place = place_of("00651 g")
    place.fill = Fill.LOOSE

    assert place.accepts(number("51 g"))
