"""What settles a failed check is narrow: the next check alone, done alike, and a person's word."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import ChainBrokenError, SpecificationError
from weighstation.station.commands.checking.check import CheckOrder, run_check
from weighstation.station.commands.journals.settling import settle

if TYPE_CHECKING:
    from pathlib import Path

GOOD, BAD = "500,500,500", "500,504,500"


def check(home: Path, loads: str, *, limit: str | None = None, weight: str = "500:M1") -> None:
    run_check(
        CheckOrder(
            port=f"simulated://?speed=max&loads={loads}",
            weights=(weight,),
            limit_g=None if limit is None else Decimal(limit),
            home=home,
        )
    )


def settled(
    home: Path, line: int, *, person: str = "Ada Krume", reason: str = "1 kg put on"
) -> int:
    return settle(home, line, person=person, reason=reason)


def test_the_next_check_settles_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for loads in (BAD, GOOD, GOOD):
        check(tmp_path, loads)
    capsys.readouterr()

    assert 0 == settled(tmp_path, 1)
    assert "settled by the good check on line 2." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("loads", "limit", "weight", "says"),
    [
        (BAD, None, "500:M1", "the next check, on line 2, does not settle it: it failed too"),
        (GOOD, "50", "500:M1", "it was held against other limits"),
        ("200,200,200", None, "200:M1", "it was done with other weights"),
    ],
)
def test_another_check_does_not_settle_it(
    tmp_path: Path, loads: str, limit: str | None, weight: str, says: str
) -> None:
    """A good one after that comes too late: the next one counts, and not the best one."""
    check(tmp_path, BAD)
    check(tmp_path, loads, limit=limit, weight=weight)
    check(tmp_path, GOOD)
    with pytest.raises(SpecificationError, match=f"(?i){says}") as said:
        settled(tmp_path, 1)

    assert "weigh the baked loaves" in said.value.hint


def test_a_good_check_that_did_less_than_the_failed_one_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A scale that failed with 500 g is not shown to be fit by 200 g, or by a wider limit."""
    said = []
    for loads, limit, weight in (
        (BAD, None, "500:M1"),
        ("200,200,200", None, "200:M1"),
        (BAD, None, "500:M1"),
        (GOOD, None, "500:M1"),
    ):
        check(tmp_path, loads, limit=limit, weight=weight)
        said.append("this one says less" in " ".join(capsys.readouterr().out.split()))

    assert [False, True, False, False] == said


def test_two_failed_checks_in_a_row_are_no_slip(tmp_path: Path) -> None:
    for loads in (BAD, BAD, GOOD):
        check(tmp_path, loads)

    with pytest.raises(SpecificationError, match="The check before it, on line 1, failed too"):
        settled(tmp_path, 2)


def test_what_cannot_be_settled_is_answered_in_a_sentence(tmp_path: Path) -> None:
    for loads in (GOOD, BAD):
        check(tmp_path, loads)
    with pytest.raises(SpecificationError, match="No check of that scale followed"):
        settled(tmp_path, 2)
    check(tmp_path, GOOD)
    for line, says in ((1, "Line 1 is no check that failed"), (99, "There is no line 99")):
        with pytest.raises(SpecificationError, match=says):
            settled(tmp_path, line)
    with pytest.raises(SpecificationError, match="The person is empty"):
        settled(tmp_path, 2, person=" ")
    with pytest.raises(SpecificationError, match="The reason is empty"):
        settled(tmp_path, 2, reason="")
    settled(tmp_path, 2)
    with pytest.raises(SpecificationError, match="settled already, by line 4"):
        settled(tmp_path, 2)


def test_nothing_is_settled_on_lines_that_do_not_hold(tmp_path: Path) -> None:
    for loads in (BAD, GOOD):
        check(tmp_path, loads)
    with closing(sqlite3.connect(tmp_path / "journal.sqlite")) as file:
        triggers = file.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for (name,) in triggers:
            file.execute(f'DROP TRIGGER "{name}"')
        file.execute("UPDATE entry SET body = replace(body, '504000', '501000') WHERE seq = 1")
        file.commit()

    with pytest.raises(ChainBrokenError) as said:
        settled(tmp_path, 1)

    assert "Nothing is settled" in said.value.hint
