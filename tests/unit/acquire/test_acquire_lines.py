"""Where lines end, and what is thrown away between them."""

from __future__ import annotations

import pytest

from weighstation.acquire.lines import MAX_BYTES, LineSplitter


@pytest.mark.parametrize(
    ("data", "lines"),
    [
        (b"651 g\r\n652 g\r\n", [b"651 g", b"652 g"]),
        (b"651 g\r652 g\r", [b"651 g", b"652 g"]),
        (b"651 g\n652 g\n", [b"651 g", b"652 g"]),
        (b"651 g\n\r652 g\n\r", [b"651 g", b"652 g"]),
        (b"\r\n\r\n", []),
        (b"\x0065\xff1 g\x00\r\n\xff", [b"651 g"]),
        (b"651", []),
        (b"", []),
    ],
)
def test_a_line_ends_at_cr_lf_or_both(data: bytes, lines: list[bytes]) -> None:
    whole = LineSplitter()
    single = LineSplitter()

    assert lines == whole.feed(data)
    assert lines == [line for byte in data for line in single.feed(bytes([byte]))]
    assert whole.idle is single.idle


def test_a_line_is_out_with_its_cr_before_the_lf_comes() -> None:
    splitter = LineSplitter()

    assert splitter.feed(b"651 g\r") == [b"651 g"]
    assert splitter.feed(b"\n") == []


def test_it_is_idle_between_lines_only() -> None:
    splitter = LineSplitter()

    assert splitter.idle
    splitter.feed(b"6")
    assert not splitter.idle
    splitter.feed(b"51\r")
    assert splitter.idle


@pytest.mark.parametrize("step", [1, 100, 1000])
def test_an_overlong_line_is_cut_and_the_next_is_whole(step: int) -> None:
    data = b"x" * 700 + b"\r\n651 g\r\n"
    splitter = LineSplitter()
    pieces = [data[at : at + step] for at in range(0, len(data), step)]

    assert [line for piece in pieces for line in splitter.feed(piece)] == [
        b"x" * (MAX_BYTES + 1),
        b"651 g",
    ]
    assert splitter.idle


def test_a_very_long_frame_that_comes_at_once_is_cut_too() -> None:
    """It must be looked at once, not once from each of its bytes."""
    splitter = LineSplitter()

    assert splitter.feed(b"\x02" + b"x" * 1_000_000) == [b"\x02" + b"x" * MAX_BYTES]
    assert splitter.feed(b"x\x03\r\n651 g\r\n") == [b"651 g"]


def test_a_line_of_just_the_most_bytes_is_whole() -> None:
    splitter = LineSplitter()

    assert splitter.feed(b"x" * MAX_BYTES) == []
    assert splitter.feed(b"\n") == [b"x" * MAX_BYTES]


def test_what_was_not_ended_is_given_at_the_end() -> None:
    splitter = LineSplitter()
    splitter.feed(b"651 g\r652")

    assert splitter.finish() == b"652"
    assert splitter.finish() == b""


@pytest.mark.parametrize(
    ("data", "lines"),
    [
        (b"\x02651 g\x03\r\n\x02652 g\x03\r\n", [b"651 g", b"652 g"]),
        (b"\x02651 g\x03K\r\n\x02652 g\x037F\r\n", [b"651 g", b"652 g"]),
        (b"\x02651 g\x03K\x02652 g\x03L", [b"651 g", b"652 g"]),
        (b"torn\x02651 g\x03", [b"651 g"]),
        (b"\x02651 g\r\n", [b"651 g"]),
        (b"\x02651 g\x03 not a check\r\n", [b"651 g", b" not a check"]),
        (b"\x02651 g\x03\r\n0 g\r\n", [b"651 g", b"0 g"]),
        (b"x" * 300 + b"\x02651 g\x03K\r\n0 g\r\n", [b"x" * 257, b"0 g"]),
    ],
)
def test_a_frame_is_a_line(data: bytes, lines: list[bytes]) -> None:
    whole = LineSplitter()
    single = LineSplitter()

    assert lines == whole.feed(data)
    assert lines == [line for byte in data for line in single.feed(bytes([byte]))]
