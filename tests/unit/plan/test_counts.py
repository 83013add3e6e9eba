"""The search finds what brute force finds, and says when it stopped."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from weighstation.plan.pieces.counts import Kind, least_left

if TYPE_CHECKING:
    import pytest

KINDS = st.lists(
    st.tuples(st.integers(1, 40), st.integers(0, 10), st.integers(0, 6)), min_size=1, max_size=4
).map(lambda some: tuple(Kind(low, low + room, most) for low, room, most in some))


def by_brute_force(kinds: tuple[Kind, ...], light: int, heavy: int) -> tuple[int, tuple[int, ...]]:
    ways = itertools.product(*(range(kind.most + 1) for kind in kinds))
    fitting = (
        (max(0, heavy - sum(n * kind.high for n, kind in zip(way, kinds, strict=True))), way)
        for way in ways
        if sum(n * kind.low for n, kind in zip(way, kinds, strict=True)) <= light
    )
    return min(fitting)


@given(KINDS, st.integers(0, 300), st.integers(-20, 300))
def test_no_way_leaves_less_and_ties_go_to_the_fewest_of_the_first(
    kinds: tuple[Kind, ...], light: int, heavy: int
) -> None:
    found = least_left(kinds, light=light, heavy=heavy, below=10**9)

    assert by_brute_force(kinds, light, heavy) == (found.left, found.numbers)
    assert found.is_proven


@given(KINDS, st.integers(0, 300), st.integers(0, 300), st.integers(1, 50))
def test_what_leaves_too_much_is_not_found(
    kinds: tuple[Kind, ...], light: int, heavy: int, below: int
) -> None:
    left, numbers = by_brute_force(kinds, light, heavy)
    found = least_left(kinds, light=light, heavy=heavy, below=below)

    assert (numbers if left < below else None) == found.numbers


def test_nothing_fits_where_there_is_no_dough() -> None:
    assert least_left((Kind(5, 6, 1),), light=-1, heavy=-1, below=10).numbers is None


def test_a_search_that_stops_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("weighstation.plan.pieces.counts.MOST_VISITS", 3)
    kinds = (Kind(7, 7, 10), Kind(5, 5, 10), Kind(3, 3, 10))
    found = least_left(kinds, light=101, heavy=101, below=1000)

    assert not found.is_proven
    assert found.numbers is not None
    assert 101 == found.left + sum(
        n * kind.low for n, kind in zip(found.numbers, kinds, strict=True)
    )
