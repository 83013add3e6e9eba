"""Whether a session goes on, is over, or had to stop."""

from __future__ import annotations

import pytest

from weighstation.errors import JournalFullError, SequenceError
from weighstation.station.bench.backlog import Backlog
from weighstation.station.bench.course import Course


@pytest.mark.parametrize(
    ("planned", "counted", "has_all"),
    [(None, 0, False), (None, 9, False), (0, 9, False), (3, 2, False), (3, 3, True), (3, 4, True)],
)
def test_it_has_all_once_as_many_count_as_were_wanted(
    *, planned: int | None, counted: int, has_all: bool
) -> None:
    with_keys = Course(planned, ends_at_planned=False)
    without = Course(planned, ends_at_planned=True)

    assert (has_all, False) == (with_keys.has_all(counted), with_keys.ends_with(counted))
    assert (has_all, has_all) == (without.has_all(counted), without.ends_with(counted))


def test_an_error_for_people_ends_it_and_a_fault_of_ours_is_passed_on() -> None:
    course = Course(None, ends_at_planned=False)

    def refuse(message: Exception) -> None:
        raise message

    with pytest.raises(ZeroDivisionError):
        course.go(refuse, ZeroDivisionError())
    before = course.is_over
    error = SequenceError("It cannot follow.")
    course.go(refuse, error)

    assert (False, True) == (before, course.is_over)
    assert error is course.failure


def test_it_is_done_when_all_is_written_or_the_disk_refuses() -> None:
    course, backlog = Course(None, ends_at_planned=False), Backlog()
    early = course.is_done(backlog)
    backlog.given(None)
    course.is_over = True
    waiting = course.is_done(backlog)
    backlog.refused(JournalFullError("The disk is full."))

    assert (False, False, True) == (early, waiting, course.is_done(backlog))
