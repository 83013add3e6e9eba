"""The laws of `targets`, tried shortly: on bytes by chance, and on those that broke one once."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import corpus
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lines_known import DIALECTS
from planted import BUGS
from targets import TARGETS, size_of

if TYPE_CHECKING:
    from collections.abc import Callable

TRIES = {"stays_small": 12, "learns": 60}
few_or_many = st.one_of(
    st.binary(max_size=60),
    st.integers(0, 2**32).map(lambda seed: Random(seed).randbytes(20 + seed % 200)),
)

by_target = pytest.mark.parametrize("target", TARGETS)


def tried(law: Callable[[bytes], None], tries: int) -> None:
    """Hold a law to bytes by chance, the same every time."""

    @settings(max_examples=tries, deadline=None, derandomize=True, database=None)
    @given(few_or_many)
    def hold(data: bytes) -> None:
        law(data)

    hold()


@by_target
def test_bytes_by_chance_break_no_law(target: str) -> None:
    tried(TARGETS[target], TRIES.get(target, 200))


@pytest.mark.parametrize(
    ("target", "data"), [(target, data) for target in TARGETS for data in corpus.of(target)]
)
def test_what_broke_a_law_once_breaks_it_no_more(target: str, data: bytes) -> None:
    TARGETS[target](data)


def test_the_bytes_that_are_kept_are_few_and_of_a_target() -> None:
    kept = [data for target in TARGETS for data in corpus.of(target)]

    assert corpus.size() == len(kept) <= 30
    assert len(set(kept)) == len(kept)


@pytest.mark.parametrize("name", ["a line of any length", "a weight without bounds"])
def test_a_bug_put_in_on_purpose_breaks_a_law(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    bug = BUGS[name]
    bug.put_in(monkeypatch.setattr)

    with pytest.raises(AssertionError):
        tried(TARGETS[bug.target], 300)


@pytest.mark.parametrize("dialect", DIALECTS, ids=lambda dialect: dialect.form)
def test_a_dialect_says_what_it_weighs(dialect: object) -> None:
    place = next(place for place, one in enumerate(DIALECTS) if one is dialect)

    TARGETS["back_in_step"](bytes((place,)))


def test_the_size_of_what_is_held_is_counted_once_and_whole() -> None:
    long = b"x" * 10_000

    assert 10_000 < size_of([long, long, {"again": long}]) < 11_000
    assert size_of([long, b"y" * 10_000]) > 20_000
