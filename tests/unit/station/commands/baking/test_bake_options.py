"""Times, pieces and circumstances as a baker types them."""

from __future__ import annotations

import re
from datetime import datetime

import pytest

from weighstation.errors import SpecificationError
from weighstation.quantity import Circumstances
from weighstation.station.commands.baking.options import (
    marks_from,
    out_of_oven_from,
    said_from,
)

NOW = datetime(2026, 3, 2, 6, 20, 30)  # noqa: DTZ001 - a clock on a wall


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        (None, None),
        ("20", 20.0),
        ("62.5", 62.5),
        ("62,5", 62.5),
        ("0", 0.0),
        ("05:20", 60.5),
        ("5:20", 60.5),
        ("06:20", 0.5),
        ("18:30", 710.5),
    ],
)
def test_a_time_or_minutes_since_the_oven(text: str | None, minutes: float | None) -> None:
    assert minutes == out_of_oven_from(text, NOW)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("soon", "is neither a time nor minutes"),
        ("24:00", "is neither a time nor minutes"),
        ("-5", "is neither a time nor minutes"),
        ("6:5", "is neither a time nor minutes"),
        ("", "is neither a time nor minutes"),
        ("06:21", "is 24 hours ago"),
        ("18:00", "is 12 hours ago"),
        ("721", "is 12 hours ago"),
        ("9" * 400, "hours ago"),
    ],
)
def test_what_is_no_time_of_the_oven_is_refused(text: str, said: str) -> None:
    with pytest.raises(SpecificationError, match=said):
        out_of_oven_from(text, NOW)


def test_marks_in_order() -> None:
    assert () == marks_from(None, [1, 2], {})
    assert (1, 3) == marks_from("ALL", [1, 2, 3], {2: 1})
    assert (12, 3, 4, 5) == marks_from(" 12, 3-5 ", range(1, 13), {1: 1})


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("99", "there is no piece 99 that counts in this batch. The pieces that count are 1-5, 7."),
        ("6", "there is no piece 6 that counts in this batch"),
        ("3,3", "piece 3 is named twice"),
        ("2", "piece 2 is marked already, it was loaf 1"),
        ("0,2,4,4", "no piece 0 that counts in this batch; piece 2 is .*; piece 4 is named twice"),
        ("5-3", "is no list of pieces. Write numbers and spans"),
        ("1;2", "is no list of pieces"),
        ("", "is no list of pieces"),
        ("1,,2", "is no list of pieces"),
        ("1-9999999", "is no list of pieces"),
        ("1-999999", "there is no piece 6 .*; and 999989 more. The pieces"),
    ],
)
def test_what_is_no_mark_is_refused_in_one_sentence(text: str, said: str) -> None:
    with pytest.raises(SpecificationError) as refused:
        marks_from(text, [1, 2, 3, 4, 5, 7], {2: 1})

    assert re.search(said, refused.value.sentence)


def test_what_is_said_of_a_lot() -> None:
    assert Circumstances() == said_from([])
    assert Circumstances(random_sample=True, tare_known=True) == said_from(
        ["random-sample", "tare-known"]
    )
    with pytest.raises(SpecificationError, match="--said legal says nothing that is known"):
        said_from(["legal"])
