"""Loads wait for the oven unless they are divided later, and decks are full or half empty."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import OVEN_CAUTIONS, Oven, deck_load, oven_loads


def test_the_second_load_waits_two_thirds_of_a_proof() -> None:
    """Load 24, cycle 40 min, proof 60 min: 40 min, 67 %; own arithmetic."""
    first, second = oven_loads(48, oven=Oven(24, 40), proof_min=60)

    assert (0, 40, 40) == (first.wait_min, second.wait_min, second.divide_min)
    assert 0.67 == pytest.approx(second.share, abs=0.005)
    assert (25, 48) == (second.first, second.last)
    assert first.is_tolerable
    assert not second.is_tolerable


def test_cutting_itself_takes_some_of_the_wait() -> None:
    """24 pieces at 10 s are 4 min of the 40."""
    _, second = oven_loads(48, oven=Oven(24, 40), proof_min=60, cut_every_s=10)

    assert 36 == pytest.approx(second.wait_min)
    assert 40 == second.divide_min


def test_a_slow_hand_never_keeps_the_oven_waiting_for_less() -> None:
    """24 pieces at 120 s are 48 min, more than a cycle: nothing waits for the oven."""
    _, second = oven_loads(48, oven=Oven(24, 40), proof_min=60, cut_every_s=120)

    assert (0, 48) == (second.wait_min, second.divide_min)
    assert "Load 2, pieces 25 to 48, does not wait for the oven." == second.text


def test_up_to_a_fifth_of_a_proof_is_tolerable() -> None:
    """15 to 20 % of the final proof: common practice, no source."""
    _, second = oven_loads(20, oven=Oven(10, 12), proof_min=60)

    assert second.is_tolerable
    assert "Load 2, pieces 11 to 20, waits 12 min for the oven, 20 % of its proof." == second.text


@given(
    st.integers(1, 300), st.integers(1, 60), st.floats(5, 90), st.floats(10, 300), st.floats(0, 60)
)
def test_loads_are_those_of_an_oven_that_is_played(
    pieces: int, places: int, cycle_min: float, proof_min: float, cut_every_s: float
) -> None:
    """Piece by piece: each is ready as it was cut, and goes in when its load does."""
    found = oven_loads(
        pieces, oven=Oven(places, cycle_min), proof_min=proof_min, cut_every_s=cut_every_s
    )
    free_min = 0.0
    expected = []
    for first in range(0, pieces, places):
        ready_min = first * cut_every_s / 60
        in_min = max(ready_min, free_min)
        expected.append(in_min - ready_min)
        free_min = in_min + cycle_min

    assert expected == pytest.approx([load.wait_min for load in found], abs=1e-6)
    numbers = [n for load in found for n in range(load.first, load.last + 1)]
    assert list(range(1, pieces + 1)) == numbers


@given(st.integers(1, 300), st.integers(1, 60), st.floats(5, 90), st.floats(0, 60))
def test_divided_when_it_says_neither_oven_nor_scaler_is_still_busy(
    pieces: int, places: int, cycle_min: float, cut_every_s: float
) -> None:
    found = oven_loads(pieces, oven=Oven(places, cycle_min), proof_min=60, cut_every_s=cut_every_s)
    oven_free_min = scaler_free_min = 0.0
    for load in found:
        assert load.divide_min >= scaler_free_min - 1e-9
        assert load.divide_min >= oven_free_min - 1e-9
        scaler_free_min = load.divide_min + places * cut_every_s / 60
        oven_free_min = load.divide_min + cycle_min


@pytest.mark.parametrize(("places", "cycle_min"), [(0, 40), (24, 0), (24, math.nan)])
def test_an_oven_that_is_none_is_refused(places: int, cycle_min: float) -> None:
    with pytest.raises(SpecificationError) as refused:
        Oven(places, cycle_min)

    assert refused.value.hint


@pytest.mark.parametrize(
    ("pieces", "proof_min", "cut_every_s"),
    [(0, 60, 0), (48, 0, 0), (48, 60, -1), (48, math.nan, 0)],
)
def test_loads_of_nothing_are_refused(pieces: int, proof_min: float, cut_every_s: float) -> None:
    with pytest.raises(SpecificationError):
        oven_loads(pieces, oven=Oven(24, 40), proof_min=proof_min, cut_every_s=cut_every_s)


@pytest.mark.parametrize(
    ("pieces", "words"),
    [
        (24, "18.2 kg on a square metre of deck is usual for hearth loaves."),
        (12, "9.1 kg on a square metre of deck is less than 15: it bakes faster and darker"),
        (30, "22.7 kg on a square metre of deck is more than 20: leave 2 to 4 cm between"),
    ],
)
def test_fifteen_to_twenty_kilograms_on_a_square_metre(pieces: int, words: str) -> None:
    """Common practice, no source; 24 x 0.909 / 1.2 = 18.18, own arithmetic."""
    assert deck_load(pieces, scaling_g=909, area_m2=1.2).text.startswith(words)


@pytest.mark.parametrize(
    ("pieces", "scaling_g", "area_m2"), [(-1, 900, 1), (24, 0, 1), (24, 900, 0), (24, math.nan, 1)]
)
def test_a_deck_without_area_is_refused(pieces: int, scaling_g: float, area_m2: float) -> None:
    with pytest.raises(SpecificationError):
        deck_load(pieces, scaling_g=scaling_g, area_m2=area_m2)


def test_the_usual_cautions_are_there() -> None:
    said = " ".join(OVEN_CAUTIONS)

    assert all(word in said for word in ("burn", "manual", "rules of your place", "licensed"))
