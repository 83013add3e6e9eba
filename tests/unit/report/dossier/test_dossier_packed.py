"""Pieces come out of their few bytes as they went in."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.events import Verdict
from weighstation.journal import PieceFacts
from weighstation.report.dossier import Counting
from weighstation.report.dossier.packed import PackedCountings, PackedNumbers, PackedPieces

WHOLE = st.integers(-(2**62), 2**62)
PIECES = st.lists(
    st.builds(
        PieceFacts,
        number=WHOLE,
        first_mg=st.none() | WHOLE,
        final_mg=WHOLE,
        touches=st.none() | WHOLE,
        ms=st.none() | WHOLE,
        placed_ms=WHOLE,
        verdict=st.sampled_from(Verdict),
        dough_age_ms=st.none() | WHOLE,
    )
)


@given(PIECES)
def test_pieces_come_out_as_they_went_in(pieces: list[PieceFacts]) -> None:
    packed = PackedPieces(pieces)

    assert pieces == list(packed)
    assert len(pieces) == len(packed)
    assert pieces[1:3] == list(packed[1:3])
    assert pieces[-1:] == [packed[-1] for _ in pieces[-1:]]


@given(st.dictionaries(WHOLE, WHOLE))
def test_numbers_come_out_as_they_went_in(numbers: dict[int, int]) -> None:
    packed = PackedNumbers(numbers)

    assert numbers == dict(packed)
    assert sorted(numbers) == list(packed)


@given(st.dictionaries(WHOLE, st.builds(Counting, line=WHOLE, run=st.text(), written_utc_ms=WHOLE)))
def test_countings_come_out_as_they_went_in(counted: dict[int, Counting]) -> None:
    packed = PackedCountings(counted)

    assert counted == dict(packed)
    assert len(counted) == len(packed)


def test_what_is_not_there_is_missing() -> None:
    for packed in (PackedNumbers({4: 5}), PackedCountings({})):
        with pytest.raises(KeyError):
            packed[3]
    with pytest.raises(IndexError):
        PackedPieces([])[0]
