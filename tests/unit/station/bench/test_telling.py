"""What is told of lines, once they are on the disk."""

from __future__ import annotations

from desk import Desk

from weighstation.journal import Kind, Line
from weighstation.station.bench.backlog import Backlog
from weighstation.station.bench.telling import Telling

LINE = Line(Kind.NOTED, {"v": 1, "text": "flour"}, 0)


def test_nothing_is_told_before_its_line_is_durable_and_then_in_turn_with_its_own_time() -> None:
    desk, backlog = Desk(), Backlog()
    telling = Telling(desk, backlog)
    telling.write(LINE, said="first", t_s=1.5)
    telling.write(LINE, t_s=2.5)
    telling.say("a cue")
    early = list(desk.said)
    times = [telling.durable(None)[0] for _ in range(2)]

    assert ["a cue"] == early
    assert ["a cue", "first"] == desk.said
    assert [1.5, 2.5] == times
    assert (2, 0) == (len(desk.waiting), backlog.lines)
