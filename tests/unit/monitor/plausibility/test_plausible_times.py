"""Lines that were written late, or by a clock that stepped, are flagged."""

from __future__ import annotations

import pytest

from weighstation.errors import SpecificationError
from weighstation.journal import Entry, Kind, first_set_back
from weighstation.monitor.plausibility import (
    FlagKind,
    clock_disagrees,
    clock_set_back,
    entered_late,
)

HOUR = 3_600_000
MORNING = 1_772_424_600_000


def test_lines_that_are_written_at_once_are_not_late() -> None:
    said = [MORNING + 8000 * piece for piece in range(150)]

    assert entered_late(said, [at + 3000 for at in said]) is None
    assert entered_late([], []) is None


def test_a_day_typed_at_night_is_flagged_and_in_how_many_goes() -> None:
    said = [MORNING + 60_000 * piece for piece in range(100)]
    written = [MORNING + 12 * HOUR + (piece // 50) * HOUR + 20 * piece for piece in range(100)]
    flag = entered_late(said, written)

    assert flag is not None
    assert (FlagKind.LATE, 100, 100, None) == (flag.kind, flag.n, flag.count, flag.p)
    assert (50, 0) == (flag.figures["in_one_go"], flag.figures["ahead"])
    assert (
        "Of 100 weights 100 were written more than 1 h after the time they carry, at most 12.2 h,"
        " 50 of them within ten minutes." == flag.text
    )


def test_the_bound_itself_is_not_late_and_can_be_set() -> None:
    assert entered_late([0], [HOUR]) is None
    assert entered_late([0], [HOUR + 1]) is not None
    assert entered_late([0], [HOUR + 1], late_ms=2 * HOUR) is None
    late = entered_late([0], [1_900_000], late_ms=1_800_000)

    assert late is not None
    assert "1 was written more than 30 min after" in late.text
    assert "at most 32 min" in late.text


def test_a_time_that_had_not_come_is_flagged() -> None:
    flag = entered_late([MORNING, MORNING + HOUR], [MORNING + 1000, MORNING + 2000])

    assert flag is not None
    assert "Of 2 weights 1 was written before the time they carry." == flag.text
    assert 1 == flag.count


def test_days_are_told_as_days() -> None:
    flag = entered_late([0], [72 * HOUR], what="struck-out pieces")

    assert flag is not None
    assert flag.text.startswith("Of 1 struck-out pieces 1 was written more than 1 h after")
    assert "at most 3 days" in flag.text


@pytest.mark.parametrize(
    "steps_ms", [[0, 500, 900, 4000], [0, 5000, 4000, 9000], [0, 9000, 7000, 8000, 2000], [7], []]
)
def test_a_clock_set_back_is_the_one_that_the_journal_finds(steps_ms: list[int]) -> None:
    lines = [Entry("s", seq, MORNING + at, Kind.NOTED, "{}", "") for seq, at in enumerate(steps_ms)]
    found = first_set_back(lines)
    flag = clock_set_back([line.t_utc_ms for line in lines])

    assert (found is None) == (flag is None)
    if found and flag:
        assert found.seq == flag.figures["first_place"]


def test_every_step_back_is_counted() -> None:
    flag = clock_set_back([0, 9000, 7000, 8000, 2000])

    assert flag is not None
    assert (2, 6000) == (flag.count, flag.figures["furthest_back_ms"])
    assert "set back 2 times between lines, by at most 6 s" in flag.text


def test_a_clock_that_goes_with_the_run_is_not_flagged() -> None:
    own = [4000, 12_000, 21_000]

    assert clock_disagrees([MORNING + at + 900 for at in own], own, clock_utc_ms=MORNING) is None
    assert clock_disagrees([], [], clock_utc_ms=MORNING) is None


@pytest.mark.parametrize(("step_ms", "way"), [(7_200_000, "forward"), (-60_000, "back")])
def test_a_clock_that_was_set_while_a_run_went_on_is_flagged(step_ms: int, way: str) -> None:
    own = [4000, 12_000, 21_000, 30_000]
    utc = [MORNING + at + (step_ms if place >= 2 else 0) for place, at in enumerate(own)]
    flag = clock_disagrees(utc, own, clock_utc_ms=MORNING)

    assert flag is not None
    assert (FlagKind.CLOCK, 2) == (flag.kind, flag.count)
    assert (2, step_ms) == (flag.figures["first_place"], flag.figures["furthest_ms"])
    assert f"set {way} while the run went on: 2 of 4 lines" in flag.text


def test_times_that_do_not_pair_are_refused() -> None:
    with pytest.raises(SpecificationError, match="every line"):
        entered_late([1, 2], [1])
    with pytest.raises(SpecificationError, match="own clock"):
        clock_disagrees([1, 2], [1], clock_utc_ms=0)
