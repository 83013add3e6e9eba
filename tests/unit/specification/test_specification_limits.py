"""A band that no piece can lie in is refused, with all that is wrong with it."""

from __future__ import annotations

import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import Guard, Limits, limit_faults


def test_a_band_drawn_in_is_widened_to_what_was_promised() -> None:
    assert Limits(740_000, 8_000, 12_000) == Guard(2_800, 7).widened(Limits(740_000, 5_200, 9_200))


@pytest.mark.parametrize(
    ("band", "faults"),
    [
        ((740_000, 0, 0), ()),
        ((0, 0, 0), ("--target must be more than 0 g",)),
        ((740_000, -1, -1), ("--under must be 0 g or more", "--over must be 0 g or more")),
        ((740_000, 740_000, 0), ("--under must be less than --target",)),
    ],
)
def test_a_band_says_all_that_is_wrong_with_it(
    band: tuple[int, int, int], faults: tuple[str, ...]
) -> None:
    assert limit_faults(*band, names=("--target", "--under", "--over")) == faults


def test_limits_that_no_piece_can_meet_cannot_be_made() -> None:
    with pytest.raises(SpecificationError) as caught:
        Limits(0, -1, 0)

    assert len(caught.value.faults) == 2
