"""What a line without a weight says."""

from __future__ import annotations

import pytest

from weighstation.acquire.states import state_beside_number, state_of
from weighstation.events import Status

OVER, UNDER = Status.OVERLOAD, Status.UNDERLOAD


@pytest.mark.parametrize(
    ("text", "state"),
    [
        ("OL", OVER),
        ("ST,GS,  OL    g", OVER),
        ("o/l", OVER),
        ("OVER", OVER),
        ("Gross overload", OVER),
        ("OVERRUN", OVER),
        ("+ OL", OVER),
        ("^^^^^^ g", OVER),
        ("\xaf\xaf\xaf\xaf", OVER),
        ("HHHHHH", OVER),
        ("\x02+*******gO\x03", OVER),
        ("nnnnn", OVER),
        ("S +", OVER),
        ("ST,GS,+        g", OVER),
        ("HIGH", OVER),
        ("UL", UNDER),
        ("Gross underload", UNDER),
        ("- OL", UNDER),
        ("-OL- g", UNDER),
        ("______", UNDER),
        ("LLLLL", UNDER),
        ("uuuuu kg", UNDER),
        ("S -", UNDER),
        ("LOW", UNDER),
        ("UNDER RANGE", UNDER),
        ("", None),
        (" g", None),
        ("ST,GS", None),
        ("hello", None),
        ("COOL GOLF", None),
        ("\x81\x99", None),
    ],
)
def test_words_rows_and_lone_signs(text: str, state: Status | None) -> None:
    assert state == state_of(text, below_zero=False)


@pytest.mark.parametrize(
    ("text", "below_zero", "state"),
    [
        ("------", False, OVER),
        ("------", True, UNDER),
        ("- - - -", True, UNDER),
        ("+------", True, OVER),
        ("OL,GS,+-------", True, OVER),
        ("OL,GS,-------- g", True, UNDER),
        ("OL,GS,-------- g", False, OVER),
    ],
)
def test_dashes_mean_what_the_last_weight_was_near(
    text: str, below_zero: bool, state: Status
) -> None:
    assert state == state_of(text, below_zero=below_zero)


@pytest.mark.parametrize(
    ("marks", "state"),
    [
        (("OL", "GS"), OVER),
        (("ol",), OVER),
        (("S", "UL"), UNDER),
        (("OVER",), None),
        (("LO",), None),
        ((), None),
    ],
)
def test_beside_a_number_only_range_words_count(
    marks: tuple[str, ...], state: Status | None
) -> None:
    """ "OVER" and "LO" there are a checkweigher's judgement of a good weight."""
    assert state == state_beside_number(marks)
