"""What a recording may hold, and what is said of one that is none."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.acquire import Arrival, Header, decode, encode_arrival, encode_header
from weighstation.errors import RecordingError

LINE = '{"t": 12.3041, "data": "S +00651 g\\r\\n"}'
HEADER = '{"recording": 1, "source": "bench", "division_g": 1.0, "started": "2026-03-02T04:10:00Z"}'


def test_a_header_is_written_as_it_is_promised() -> None:
    header = Header("bench", 1.0, datetime(2026, 3, 2, 4, 10, tzinfo=UTC))

    assert encode_header(header) == HEADER


def test_a_header_may_say_only_where_it_comes_from() -> None:
    assert encode_header(Header("x")) == '{"recording": 1, "source": "x"}'


@pytest.mark.parametrize("descriptor", [b"", b"\x05\x8d\xc0"])
def test_a_header_may_hold_the_descriptor_of_a_usb_scale(descriptor: bytes) -> None:
    """An empty one says: reports, and no descriptor could be had."""
    line = encode_header(Header("hid://1a2b:00c3", descriptor=descriptor))

    assert f'"descriptor": "{descriptor.hex()}"' in line
    assert Header("hid://1a2b:00c3", descriptor=descriptor) == decode([line, LINE]).header


def test_a_recording_of_lines_has_no_descriptor() -> None:
    header = decode([HEADER, LINE]).header

    assert header is not None
    assert header.descriptor is None
    assert "descriptor" not in encode_header(header)


def test_a_start_in_another_zone_is_written_in_utc() -> None:
    zone = timezone(timedelta(hours=2))

    assert '"2026-03-02T04:10:00Z"' in encode_header(
        Header(started=datetime(2026, 3, 2, 6, 10, tzinfo=zone))
    )


def test_an_arrival_is_written_as_it_is_promised() -> None:
    assert encode_arrival(Arrival(12.3041, b"S +00651 g\r\n")) == LINE


def test_bytes_that_are_no_text_are_written_in_hex() -> None:
    assert encode_arrival(Arrival(1.0, b"\x02\xff")) == '{"t": 1.0, "hex": "02ff"}'


def test_a_recording_is_read() -> None:
    recording = decode([HEADER + "\n", "\n", LINE + "\n"])

    assert recording.header == Header("bench", 1.0, datetime(2026, 3, 2, 4, 10, tzinfo=UTC))
    assert recording.arrivals == [Arrival(12.3041, b"S +00651 g\r\n")]
    assert recording.warnings == ()


def test_a_header_is_optional_and_so_is_all_it_says() -> None:
    assert decode([LINE]).header is None
    assert decode(['{"recording": 1}', LINE]).header == Header()


def test_data_is_latin_1() -> None:
    assert decode(['{"t": 0, "data": "\\u00ff1"}']).arrivals == [Arrival(0.0, b"\xff1")]


@given(
    st.lists(st.tuples(st.integers(0, 10**9), st.binary(max_size=20)), min_size=1, max_size=1200)
)
def test_decode_inverts_encode(rows: list[tuple[int, bytes]]) -> None:
    arrivals = [Arrival(t_us / 1e6, data) for t_us, data in sorted(rows)]
    header = Header("s", 0.5, datetime(2026, 1, 1, tzinfo=UTC))
    lines = [encode_header(header), *map(encode_arrival, arrivals)]

    recording = decode(lines)

    assert header == recording.header
    assert arrivals == recording.arrivals


@pytest.mark.parametrize("length", range(1, len(LINE)))
def test_a_last_line_cut_short_is_left_out_with_a_warning(length: int) -> None:
    recording = decode([HEADER, LINE, LINE[:length]])

    assert recording.arrivals == [Arrival(12.3041, b"S +00651 g\r\n")]
    assert recording.warnings == ("Line 3 was cut short and is left out.",)


@pytest.mark.parametrize("count", [510, 511, 512, 513, 1023, 1024, 1025])
def test_a_long_recording_loses_only_the_line_that_was_cut_short(count: int) -> None:
    arrivals = [Arrival(float(place), b"651 g\r\n") for place in range(count)]
    recording = decode([HEADER, *map(encode_arrival, arrivals), LINE[:9]])

    assert arrivals == recording.arrivals
    assert (f"Line {count + 2} was cut short and is left out.",) == recording.warnings


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ([], "The file is empty."),
        (["", " \n"], "The file is empty."),
        (["PK\x03\x04"], "line 1 is not JSON"),
        (["651 g", LINE], "line 1 is not JSON"),
        ([HEADER[:30]], "line 1 is not JSON"),
        ([HEADER], "holds no reading"),
        (["[1]", LINE], "line 1 is not an object"),
        (["1"], "line 1 is not an object"),
        ([LINE, "{", LINE], "line 2 is not JSON"),
        ([LINE, '{"t": 13, "data": "x"', LINE], "line 2 is not JSON"),
        ([LINE, '{"t": 13}', LINE], "line 2 has neither 'data' nor 'hex'"),
        ([LINE, '{"t": 13.0, "data": "x", "hex": "78"}'], "line 2 has both 'data' and 'hex'"),
        ([LINE, '{"t": 13, "data": "x", "hex": "79"}'], "line 2 has both 'data' and 'hex'"),
        ([LINE, '{"t": 13, "data": 5}'], "line 2 has neither 'data' nor 'hex'"),
        (['{"data": "x"}'], "line 1 has no time"),
        (['{"t": "1", "data": "x"}'], "line 1 has no time"),
        (['{"t": true, "data": "x"}'], "line 1 has no time"),
        (['{"t": 1e999, "data": "x"}'], "line 1 has no time"),
        (['{"t": NaN, "data": "x"}'], "line 1 has no time"),
        (['{"t": -1, "data": "x"}'], "line 1 goes back in time"),
        ([LINE, '{"t": 12.3, "data": "x"}'], "line 2 goes back in time"),
        (['{"t": 1, "data": "\\u0416"}'], "line 1 holds characters"),
        (['{"t": 1, "hex": "0g"}'], "line 1 holds characters"),
        (['{"recording": 2}', LINE], "version 2"),
        (['{"recording": 1, "division_g": 0}', LINE], "a division that is not a number above 0"),
        (['{"recording": 1, "division_g": "1"}', LINE], "a division that is not a number above 0"),
        (['{"recording": 1, "started": "soon"}', LINE], "a start that is not a moment"),
        (['{"recording": 1, "started": "2026-03-02T04:10:00"}', LINE], "a start without a time"),
        (['{"recording": 1, "started": "0001-01-01T00:00:00+23:59"}', LINE], "not a moment in UTC"),
        ([f"{LINE}, {LINE}", '{"t": 1e6', '"data": "x"}', LINE], "line 1 is not JSON"),
        ([LINE, LINE[:-1], '"more": 1}', LINE], "line 2 is not JSON"),
        (['{"recording": 1, "descriptor": "0g"}', LINE], "a descriptor that is not hexadecimal"),
        (['{"recording": 1, "descriptor": "058"}', LINE], "a descriptor that is not hexadecimal"),
        (['{"recording": 1, "descriptor": 58}', LINE], "a descriptor that is not hexadecimal"),
        ([LINE, HEADER], "line 2 has no time"),
    ],
)
def test_what_is_no_recording_is_refused_in_one_sentence(lines: list[str], words: str) -> None:
    with pytest.raises(RecordingError, match=words) as refused:
        decode(lines)

    assert refused.value.hint
    assert "\n" not in refused.value.sentence
