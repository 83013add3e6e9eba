"""How much longer the hands at this bench ask the detector to wait."""

from __future__ import annotations

import pytest

from weighstation.detect.patience import Patience


def extra_after(outcomes: str) -> int:
    """Return the readings asked for on top after weights that held (+) or did not (-)."""
    patience = Patience()
    for outcome in outcomes:
        patience.see(held=outcome == "+")
    return patience.extra


@pytest.mark.parametrize(
    ("outcomes", "extra"),
    [
        ("", 0),
        ("+" * 500, 0),
        ("-", 1),
        ("--", 2),
        ("---", 3),
        ("----------", 3),  # never more than three
        ("+" * 28 + "-", 1),
        ("+" * 29 + "-", 0),  # one in thirty is borne
        ("+" * 29 + "--", 1),
        ("-" + "+" * 39, 1),  # not given back at once
        ("-" + "+" * 400, 0),
        ("---" + "+" * 400, 0),
    ],
)
def test_readings_asked_for_on_top(outcomes: str, extra: int) -> None:
    assert extra == extra_after(outcomes)


def test_hands_that_lie_still_every_tenth_time_keep_the_detector_patient() -> None:
    patience = Patience()
    asked = []
    for place in range(1, 201):
        patience.see(held=place % 10 != 0)
        asked.append(patience.extra)

    assert [1, 2, 3] == [asked[9], asked[19], asked[29]]
    assert {3} == set(asked[29:])
