"""How weights vary within batches, and batches among themselves."""

from __future__ import annotations

import pytest

from weighstation.monitor import Moments
from weighstation.plan import batch_spread


@pytest.mark.parametrize(("n", "is_enough"), [(29, False), (30, True)])
def test_a_spread_takes_thirty_weights(n: int, is_enough: bool) -> None:
    found = batch_spread([Moments.of([800.0] * n), Moments()])

    assert is_enough == (found is not None)


def test_batches_of_one_loaf_say_nothing_of_a_spread_within() -> None:
    assert None is batch_spread([Moments.of([800.0 + place]) for place in range(40)])


def test_one_batch_has_no_wander() -> None:
    found = batch_spread([Moments.of([799.0, 801.0] * 20)])

    assert found is not None
    assert (1, 40, 0.0) == (found.batches, found.n, found.wander_g)
    assert "40 loaves of 1 batch vary by 1.0 g (standard deviation); one batch says" in found.text(
        "loaves"
    )
