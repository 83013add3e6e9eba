"""However the bytes of a scale are cut into pieces, the same readings come out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from line_families import FAMILIES, Family, morning

from weighstation.acquire import Decoder
from weighstation.events import DivisionLearned, Reading, Status
from weighstation.quantities import mg_from_indicated

if TYPE_CHECKING:
    from collections.abc import Iterable

Stream = list[tuple[bytes, float]]
Decoded = list[Reading | DivisionLearned]

by_family = pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.name)


def stream_of(family: Family, *, noise: bytes = b"") -> Stream:
    """Return a morning's lines with the moment each of them came."""
    return [
        (noise + (family.say(said) + family.end).encode("latin-1"), said.place / 10)
        for said in morning(family)
    ]


def byte_times(stream: Stream) -> tuple[bytes, list[float]]:
    """Return all bytes and, for each, when it came."""
    data = b"".join(piece for piece, _ in stream)
    return data, [t_s for piece, t_s in stream for _ in piece]


def decoded(pieces: Iterable[tuple[bytes, float]]) -> tuple[Decoded, Decoder]:
    decoder = Decoder()
    out: Decoded = []
    for data, t_s in pieces:
        out += decoder.feed(data, t_s)
    return out + decoder.finish(), decoder


@by_family
def test_every_indication_is_read_as_it_was_said(family: Family) -> None:
    out, decoder = decoded(stream_of(family))

    readings = [item for item in out if isinstance(item, Reading)]
    said = morning(family)
    wrong = [
        (reading.raw, reading.gross_mg)
        for reading, one in zip(readings, said, strict=True)
        if reading.gross_mg != mg_from_indicated(one.number, family.unit)
    ]

    assert family.lost == len(wrong), wrong
    assert [one.place / 10 for one in said] == [reading.t_s for reading in readings]
    assert family.lost == decoder.counts.unreadable


@by_family
def test_unit_decimal_sign_mark_and_division_are_learned(family: Family) -> None:
    _, decoder = decoded(stream_of(family))
    profile = decoder.profile

    assert profile is not None
    assert family.unit is profile.unit
    assert family.sign == profile.decimal_sign
    assert family.mark == profile.stable_mark
    assert mg_from_indicated(family.division, family.unit) == profile.division_mg


@by_family
def test_the_learned_mark_says_what_the_scale_meant(family: Family) -> None:
    out, _ = decoded(stream_of(family))
    readings = [item for item in out if isinstance(item, Reading)]
    pairs = list(zip(readings, morning(family), strict=True))
    late = [(reading.stable, one.still) for reading, one in pairs[-50:]]

    assert all(stable is (None if family.mark is None else still) for stable, still in late)


@by_family
def test_byte_by_byte_reads_the_same(family: Family) -> None:
    stream = stream_of(family)
    data, times = byte_times(stream)

    expected, whole = decoded(stream)
    actual, single = decoded((data[at : at + 1], t_s) for at, t_s in enumerate(times))

    assert expected == actual
    assert whole.profile == single.profile
    assert whole.counts == single.counts


@by_family
def test_everything_at_once_reads_the_same_but_for_the_times(family: Family) -> None:
    stream = stream_of(family)
    data, _ = byte_times(stream)

    expected = [item for item in decoded(stream)[0] if isinstance(item, Reading)]
    actual = [item for item in decoded([(data, 1.0)])[0] if isinstance(item, Reading)]

    assert [(one.raw, one.gross_mg, one.stable) for one in expected] == [
        (one.raw, one.gross_mg, one.stable) for one in actual
    ]


@settings(max_examples=60)
@given(
    family=st.sampled_from(FAMILIES),
    noise=st.sampled_from([b"", b"\x00", b"\xff\x00", b"\r", b"@@@@\r"]),
    lengths=st.lists(st.integers(1, 60), min_size=20, max_size=60),
)
def test_random_pieces_read_the_same(family: Family, noise: bytes, lengths: list[int]) -> None:
    stream = stream_of(family, noise=noise)
    data, _ = byte_times(stream)
    pieces: Stream = []
    at = 0
    while at < len(data):
        length = lengths[len(pieces) % len(lengths)]
        pieces.append((data[at : at + length], at / 200))
        at += length
    again, times = byte_times(pieces)

    expected, _ = decoded(pieces)
    actual, _ = decoded((again[at : at + 1], t_s) for at, t_s in enumerate(times))

    assert expected == actual


@settings(max_examples=60)
@given(family=st.sampled_from(FAMILIES), other=st.sampled_from(FAMILIES), data=st.data())
def test_spoilt_lines_read_the_same(family: Family, other: Family, data: st.DataObject) -> None:
    """Whole lines are found by their bytes at once, single bytes never are."""
    stream = stream_of(family)
    foreign = stream_of(other)
    spoilt = data.draw(
        st.dictionaries(
            st.integers(0, len(stream) - 1),
            st.tuples(
                st.booleans(), st.integers(0, 20), st.text("+-0123 ,.gSk\r\n\x02\x03?", max_size=4)
            ),
            max_size=40,
        )
    )
    for place, (is_foreign, cut, scrap) in spoilt.items():
        line, t_s = (foreign if is_foreign else stream)[place]
        stream[place] = (line[:cut] + scrap.encode() + line[cut + 1 :], t_s)
    bytes_of, times = byte_times(stream)

    expected, whole = decoded(stream)
    actual, single = decoded((bytes_of[at : at + 1], t_s) for at, t_s in enumerate(times))

    assert expected == actual
    assert whole.profile == single.profile


@by_family
def test_the_end_of_a_torn_line_is_no_other_weight(family: Family) -> None:
    """Where a number stands first and unpadded, zero and a lost minus look whole."""
    said = morning(family)
    at_rest = [one for one in said if one.still and one.number > 0][:30:3]
    for one in at_rest:
        line = (family.say(one) + family.end).encode("latin-1")
        expected = {None, 0, mg_from_indicated(one.number, family.unit)}
        for cut in range(1, len(line) - len(family.end)):
            decoder = Decoder()
            for data, t_s in stream_of(family)[: one.place + 1]:
                decoder.feed(data, t_s)
            torn = decoder.feed(line[cut:], one.place / 10 + 0.05)
            weights = {item.gross_mg for item in torn if isinstance(item, Reading)}

            assert weights <= expected, line[cut:]


def test_an_overlong_line_is_unreadable_and_the_next_is_read() -> None:
    line = b"S +00651 g\r\n"

    out, decoder = decoded(
        [(line, 0.1), (line, 0.2), (line, 0.3), (b"7" * 900 + b"\r\n" + line, 0.4)]
    )
    states = [item.status for item in out if isinstance(item, Reading)]

    assert [Status.WEIGHT] * 3 + [Status.UNREADABLE, Status.WEIGHT] == states
    assert decoder.counts.unreadable == 1
