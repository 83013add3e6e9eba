"""An indication is freed of its rounding as the published worked example has it."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.metrology import Changeover, true_error, unrounded


def test_the_worked_example() -> None:
    """OIML R 76-1:2006, A.4.4.3 (from memory): e = 5 g, 1000 g on, over to 1005 g at 1.5 g more."""
    loaded, empty = Changeover(1000, 1000, 1.5), Changeover(0, 0, 2)

    assert 1001.0 == unrounded(loaded, e_g=5)
    assert (1.0, 0.5) == (true_error(loaded, e_g=5), true_error(empty, e_g=5))
    assert 0.5 == true_error(loaded, e_g=5, zero=empty)


@given(st.integers(0, 3_000_000), st.integers(-2_000, 2_000), st.sampled_from([1, 2, 5]))
def test_a_scale_of_known_error_is_found_out(load_mg: int, error_mg: int, e: int) -> None:
    """A scale that rounds half up, asked with small weights of a tenth of e: within a tenth."""
    e_mg = 1000 * e

    def indicated(mg: int) -> int:
        return (mg + error_mg + e_mg // 2) // e_mg * e_mg

    if load_mg + error_mg < 0:
        return
    first, added = indicated(load_mg), 0
    while indicated(load_mg + added) == first:
        added += e_mg // 10
    seen = Changeover(Decimal(load_mg) / 1000, Decimal(max(first, 0)) / 1000, Decimal(added) / 1000)

    assert -e / 10 <= true_error(seen, e_g=e) - error_mg / 1000 <= 0


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(SpecificationError, match="What was added is 0 g or more"):
        unrounded(Changeover(1000, 1000, -1), e_g=5)
    with pytest.raises(SpecificationError, match="more than 0 g"):
        unrounded(Changeover(1000, 1000, 1), e_g=0)
