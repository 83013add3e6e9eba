"""Whatever arrives, the decoder gives states with a count and never an exception."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from line_families import FAMILIES, Family, morning

from weighstation.acquire import Decoder, decode
from weighstation.errors import RecordingError
from weighstation.events import DivisionLearned, Reading, Status

Decoded = list[Reading | DivisionLearned]

scraps = st.one_of(
    st.binary(max_size=80),
    st.text("+-0123456789., gkozlbSTUD;:?\r\n", max_size=60).map(str.encode),
    st.sampled_from([b"\r\n", b"\n\r", b"\x02\x03", b"1 lb 6.3 oz\r\n", b"-----\r", b"OL\n"]),
)
families = st.sampled_from(FAMILIES)


def check(out: Decoded, decoder: Decoder) -> None:
    """Hold what must be true of any outcome."""
    readings = [item for item in out if isinstance(item, Reading)]
    counts = decoder.counts
    states = [reading.status for reading in readings]

    assert len(readings) == counts.frames
    assert states.count(Status.UNREADABLE) == counts.unreadable
    assert states.count(Status.OVERLOAD) == counts.overload
    assert states.count(Status.UNDERLOAD) == counts.underload
    for reading in readings:
        assert (reading.status is Status.WEIGHT) is (reading.gross_mg is not None)
    times = [reading.t_s for reading in readings]
    assert sorted(times) == times


@settings(max_examples=200)
@given(st.lists(scraps, max_size=40))
def test_garbage_gives_states(pieces: list[bytes]) -> None:
    decoder = Decoder()
    out: Decoded = []
    for place, piece in enumerate(pieces):
        out += decoder.feed(piece, place / 10)
    out += decoder.finish()

    check(out, decoder)


@settings(max_examples=80)
@given(family=families, data=st.data())
def test_a_good_stream_with_garbage_in_it_gives_states(family: Family, data: st.DataObject) -> None:
    decoder = Decoder()
    out: Decoded = []
    said = morning(family)
    spoilt = data.draw(st.dictionaries(st.integers(0, len(said) - 1), scraps, max_size=20))
    for one in said:
        line = (family.say(one) + family.end).encode("latin-1")
        if one.place in spoilt:
            cut = len(spoilt[one.place]) % len(line)
            line = line[:cut] + spoilt[one.place] + line[cut + 1 :]
        out += decoder.feed(line, one.place / 10)
    out += decoder.finish()

    check(out, decoder)


@settings(max_examples=100)
@given(st.lists(st.binary(min_size=1, max_size=40), min_size=1, max_size=12))
def test_a_line_of_the_wrong_speed_is_no_weight(pieces: list[bytes]) -> None:
    """Bytes with the high bit set, as a wrong baud rate gives them, never make a weight."""
    decoder = Decoder()
    out: Decoded = []
    for place, piece in enumerate(pieces):
        spoilt = bytes(byte | 0x80 for byte in piece)
        out += decoder.feed(spoilt + b"\r\n", place / 10)
    out += decoder.finish()

    assert not [item for item in out if isinstance(item, Reading) and item.gross_mg is not None]


@settings(max_examples=200)
@given(
    st.lists(
        st.one_of(
            st.text(max_size=30),
            st.sampled_from(
                [
                    '{"t": 1, "data": "651 g"}',
                    '{"t": 1e999, "data": "x"}',
                    '{"t": NaN, "data": "x"}',
                    '{"recording": 1}',
                    '{"t": 2, "hex": "0g"}',
                    '{"t": true, "data": "x"}',
                    "[" * 5000,
                    '{"t": 3, "data": "\\ud800"}',
                ]
            ),
        ),
        max_size=6,
    )
)
def test_a_file_that_is_no_recording_is_refused_in_words(lines: list[str]) -> None:
    assert _sentence(lines).endswith(".")


def _sentence(lines: list[str]) -> str:
    """Return what a person is told about a file."""
    try:
        recording = decode(lines)
    except RecordingError as exc:
        return exc.sentence
    return f"It holds {len(recording.arrivals) or 'no'} arrivals."


def test_a_damaged_line_waits_its_turn_while_the_shape_is_unknown() -> None:
    decoder = Decoder()
    out = [*decoder.feed(b"74\xfe g\r\n", 0.0), *decoder.feed(b"\x01\x01\r\n", 0.1)]
    out += decoder.finish()

    assert [0.0, 0.1] == [item.t_s for item in out]
