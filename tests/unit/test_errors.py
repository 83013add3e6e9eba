"""Every error is a sentence for a person, with an exit code for the command line."""

from __future__ import annotations

import pytest

from weighstation import errors
from weighstation.errors import (
    ChainBrokenError,
    JournalError,
    JournalFullError,
    LinkLostError,
    NotEnoughDataError,
    RecordingError,
    ScaleError,
    SchemaTooNewError,
    SequenceError,
    SpecificationError,
    WeighstationError,
)


@pytest.mark.parametrize(
    ("kind", "also", "exit_code"),
    [
        # Exit codes: 1 bad news, 2 bad input, 3 scale or link, 4 journal.
        (SpecificationError, ValueError, 2),
        (RecordingError, ValueError, 2),
        (ScaleError, WeighstationError, 3),
        (LinkLostError, ConnectionError, 3),
        (SequenceError, RuntimeError, 1),
        (JournalError, WeighstationError, 4),
        (JournalFullError, OSError, 4),
        (SchemaTooNewError, JournalError, 4),
    ],
)
def test_an_error_has_its_exit_code_and_its_plain_parent(
    kind: type[WeighstationError], also: type[Exception], exit_code: int
) -> None:
    error = kind("It went wrong.", hint="Try again.")

    assert isinstance(error, also)
    assert exit_code == error.exit_code
    assert error.sentence == "It went wrong. Try again."


def test_a_broken_chain_names_its_line_and_is_bad_news() -> None:
    error = ChainBrokenError("Line 7 does not follow.", seq=7)

    assert (error.seq, error.exit_code, error.sentence) == (7, 1, "Line 7 does not follow.")


def test_too_few_pieces_are_said_with_their_numbers() -> None:
    error = NotEnoughDataError("Two pieces are too few.", have=2, need=8)

    assert isinstance(error, ValueError)
    assert (error.have, error.need, error.exit_code) == (2, 8, 2)


def test_a_specification_error_carries_every_fault() -> None:
    assert SpecificationError("Two faults.", faults=("one", "two")).faults == ("one", "two")


def test_the_drawing_names_every_error_of_the_module() -> None:
    made = {name for name in vars(errors) if name.endswith("Error")}

    assert {name for name in made if name not in (errors.__doc__ or "")} == set()
