"""Law: whatever the machine's clock does while a dough is divided, boards stay what they are."""

from __future__ import annotations

from functools import reduce
from typing import TYPE_CHECKING

from days_of_lines import days
from hypothesis import given
from hypothesis import strategies as st

from weighstation.journal import Kind, codec
from weighstation.plan import BoardRecord

if TYPE_CHECKING:
    from collections.abc import Sequence

    from days_of_lines import Day

    from weighstation.journal import Body

H_MS = 3_600_000
STEPS = st.lists(st.integers(-6 * H_MS, 6 * H_MS), min_size=1, max_size=20)
"""A clock set to summer time or back steps by one hour, a flat battery by more."""

Stamped = tuple[Kind, "Body", int]


def boards_of(lines: Sequence[Stamped]) -> BoardRecord:
    def after(record: BoardRecord, line: Stamped) -> BoardRecord:
        return record.after(*line)

    return reduce(after, lines, BoardRecord())


@given(days(), STEPS)
def test_a_stepped_clock(day: Day, steps: list[int]) -> None:
    """Each line is stamped by a clock that steps before it; rests go by the station's own."""
    true = [(line.kind, line.body, line.t_utc_ms) for line in day.lines]
    stepped = [
        (kind, body, t_ms + sum(steps[: place % (len(steps) + 1)]))
        for place, (kind, body, t_ms) in enumerate(true)
    ]

    assert boards_of(true) == boards_of(stepped)


@given(days(), st.lists(st.integers(0, 30), max_size=5), st.integers(0, 4 * H_MS))
def test_a_pause(day: Day, places: list[int], lasted_ms: int) -> None:
    """A line that says so is no fact of a board."""
    true = [(line.kind, line.body, line.t_utc_ms) for line in day.lines]
    paused = list(true)
    for place in places:
        at = min(place + 1, len(paused))
        run = str(true[0][1].get("run", "")) if true else ""
        paused.insert(at, (Kind.GAP, codec.gap(run, "paused", lasted_ms), 0))

    assert boards_of(true) == boards_of(paused)


@given(days(), st.integers(0, 86_400_000))
def test_midnight(day: Day, later_ms: int) -> None:
    """The same night begun later in the day has the same rests, piece by piece."""
    true = [(line.kind, line.body, line.t_utc_ms) for line in day.lines]
    later = [(kind, _begun_later(kind, body, later_ms), t_ms) for kind, body, t_ms in true]
    rests, moved = _rests_ms(boards_of(true)), _rests_ms(boards_of(later))

    assert rests == moved


def _begun_later(kind: Kind, body: Body, later_ms: int) -> Body:
    if kind is not Kind.RUN_STARTED:
        return body
    return {**body, "clock_utc_ms": codec.integer(body, "clock_utc_ms") + later_ms}


def _rests_ms(record: BoardRecord) -> list[tuple[int, str, int]]:
    """Return each piece with its time since the first one of all."""
    held = record.boards.boards if record.boards else ()
    laid = [(board.number, piece.run, piece.cut_s) for board in held for piece in board.pieces]
    first_s = min((cut_s for *_, cut_s in laid), default=0.0)
    return [(number, run, round(1000 * (cut_s - first_s))) for number, run, cut_s in laid]
