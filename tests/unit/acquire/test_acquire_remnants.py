"""A line that lost its first bytes is known by the lines next to it."""

from __future__ import annotations

import pytest

from weighstation.acquire.remnants import is_remnant, may_lack_digits


@pytest.mark.parametrize(
    ("line", "last", "remnant"),
    [
        (b"12.3 g", b"512.3 g", True),
        (b"2.3", b"512.3", True),
        (b"1,234 kg", b"21,234 kg", True),
        (b"512.3 g", b"512.3 g", False),
        (b"512.3 g", b"12.3 g", False),
        (b"12.4 g", b"512.3 g", False),
        (b"0 g", b"740 g", False),
        (b"0.0", b"740.0", False),
        (b"512 g", b"S 512 g", False),
        (b"", b"", False),
    ],
)
def test_the_line_before_gives_a_remnant_away(line: bytes, last: bytes, remnant: bool) -> None:
    assert remnant is is_remnant(line, last)


@pytest.mark.parametrize(
    ("first", "second", "lacks"),
    [
        (b"2.3 g", b"512.3 g", True),
        (b"512.3 g", b"2.3 g", False),
        (b"512.3 g", b"512.3 g", False),
        (b" 2.3 g", b"512.3 g", False),
        (b"S 2.3 g", b"S 512.3 g", False),
        (b"OL", b"512.3 g", False),
        (b"2.3 g", b"OL", False),
    ],
)
def test_the_first_line_must_not_be_shorter(first: bytes, second: bytes, lacks: bool) -> None:
    assert lacks is may_lack_digits(first, second)
