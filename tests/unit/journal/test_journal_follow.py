"""Which line may follow."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from journal_lines import ended, kept, lifted, noted, piece, started, turned, voided, written

from weighstation.errors import SequenceError
from weighstation.events import TookFor

if TYPE_CHECKING:
    from weighstation.journal import Line

HEAVIER = piece(1, final_mg=742_000)


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ([started(), started()], "started before"),
        ([started(), ended(), started()], "started before"),
        ([kept(piece(1))], "needs a run that is open"),
        ([lifted(piece(1))], "needs a run that is open"),
        ([ended()], "needs a run that is open"),
        ([started(), ended(), kept(piece(1))], "needs a run that is open"),
        ([started(), ended(), ended()], "needs a run that is open"),
        ([voided(piece(1))], "was started"),
        ([started(), voided(piece(1))], "does not count as it is said"),
        ([started(), kept(piece(1)), voided(HEAVIER)], "does not count as it is said"),
        ([started(), kept(piece(1)), voided(piece(1)), voided(piece(1))], "does not count"),
        ([started(), kept(piece(1)), kept(HEAVIER)], "has been counted already"),
        (
            [started(), kept(piece(1)), turned(1, TookFor.BOARDED, (), (piece(1),))],
            "has been counted already",
        ),
    ],
)
def test_a_line_that_cannot_follow_is_refused(lines: list[Line], says: str) -> None:
    written(*lines[:-1])

    with pytest.raises(SequenceError, match=says):
        written(*lines)


@pytest.mark.parametrize(
    "lines",
    [
        [noted(1)],
        [started(), kept(piece(1)), ended(), voided(piece(1))],
        [started(), kept(piece(2)), kept(piece(1))],
        [started(), kept(piece(1)), voided(piece(1)), kept(piece(1))],
    ],
)
def test_a_line_that_can_follow_is_taken(lines: list[Line]) -> None:
    """A void may come after the run, and a boarded piece after a later one."""
    entries, _ = written(*lines)

    assert len(lines) == len(entries)
