"""A weight before the hour is worked on to it only with a known cooling loss."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan.loss.one_hour import one_hour_share


def test_cooling_of_an_old_loaf() -> None:
    """1 oz of a 4 lb loaf in the first hour, a newspaper of 1881 (read in excerpts): 1 / 64.

    Weighed hot at 64 oz it is 63 oz at one hour; at half an hour 63.5 oz.
    """
    assert 63 / 64 == pytest.approx(one_hour_share(0, cooling_loss_per_h=1 / 64))
    assert 63 / 63.5 == pytest.approx(one_hour_share(30, cooling_loss_per_h=1 / 64))


def test_at_one_hour_nothing_is_worked_on() -> None:
    assert 1.0 == one_hour_share(60, cooling_loss_per_h=None)
    assert 1.0 == one_hour_share(60, cooling_loss_per_h=0.02)


@given(st.floats(0, 60), st.floats(0, 0.1))
def test_a_loaf_only_loses(minutes: float, loss: float) -> None:
    share = one_hour_share(minutes, cooling_loss_per_h=loss)

    assert 1 - loss - 1e-12 <= share <= 1 + 1e-12


@pytest.mark.parametrize(
    ("minutes", "loss", "says"),
    [
        (10, None, "10 minutes out of the oven, and what they lose until one hour is not known"),
        (75, 0.02, "75 minutes cannot be turned into that"),
        (-1, 0.02, "cannot be turned"),
        (math.nan, 0.02, "cannot be turned"),
        (10, 1.5, "a fraction from 0 up and below 1"),
        (10, math.nan, "A cooling loss is a number"),
    ],
)
def test_what_cannot_be_worked_on_is_refused(minutes: float, loss: float | None, says: str) -> None:
    with pytest.raises(SpecificationError, match=says):
        one_hour_share(minutes, cooling_loss_per_h=loss)
