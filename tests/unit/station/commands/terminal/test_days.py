"""Days as people in different places write them; what can be read as two is refused."""

from __future__ import annotations

from datetime import date

import pytest

from weighstation.errors import SpecificationError
from weighstation.station.commands.terminal.days import day_from, initials_from


@pytest.mark.parametrize(
    "text",
    ["2026-11-30", " 2026-11-30 ", "30.11.2026", "30/11/2026"],
)
def test_a_day_is_read_year_first_or_day_first(text: str) -> None:
    assert date(2026, 11, 30) == day_from(text, "--from")


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("3.4.2026", date(2026, 4, 3)),
        ("2026-4-3", date(2026, 4, 3)),
        ("5/5/2026", date(2026, 5, 5)),
    ],
)
def test_what_has_one_reading_needs_no_zeros(text: str, day: date) -> None:
    assert day == day_from(text, "--to")


@pytest.mark.parametrize(
    ("text", "offered"),
    [
        ("03/04/2026", "2026-04-03 or 2026-03-04"),
        ("11/30/2026", "Write 2026-11-30"),
    ],
)
def test_a_day_that_can_be_read_as_two_is_refused_and_both_are_told(
    text: str, offered: str
) -> None:
    with pytest.raises(SpecificationError, match="day or the month first") as refused:
        day_from(text, "--from")

    assert offered in refused.value.sentence
    assert "--from" in refused.value.sentence


@pytest.mark.parametrize(
    "text",
    [
        "",
        "yesterday",
        "30.11.26",
        "31.11.2026",
        "2026-02-29",
        "2026/11/30",
        "30.11/2026",
        "20261130",
    ],
)
def test_what_is_no_day_is_answered_with_one_that_is(text: str) -> None:
    with pytest.raises(SpecificationError, match="is no day") as refused:
        day_from(text, "--to")

    assert "--to 2026-11-30 or 30.11.2026" in refused.value.sentence


def test_initials_are_one_to_four_letters_in_capitals() -> None:
    assert ["A", "ÄB", "ABCD"] == [initials_from(t, "--person") for t in ("a", " äb ", "ABcd")]


@pytest.mark.parametrize("text", ["", "ABCDE", "A B", "A1", "A.B."])
def test_what_are_no_initials_is_refused(text: str) -> None:
    with pytest.raises(SpecificationError, match="not one to four letters"):
        initials_from(text, "--person")


@pytest.mark.parametrize("text", ["0001-01-01", "1969-12-31", "9999-12-31", "31.12.3000"])
def test_a_year_that_no_journal_holds_is_refused(text: str) -> None:
    with pytest.raises(SpecificationError, match="no day of a journal") as refused:
        day_from(text, "--from")

    assert "Give a year from 1970 to 2999" in refused.value.sentence
