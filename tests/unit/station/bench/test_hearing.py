"""Whether a scale is heard."""

from __future__ import annotations

from weighstation.acquire import Counts
from weighstation.station.bench.absence import LINK_LOST, SILENT
from weighstation.station.bench.hearing import NOTHING_COMES, Hearing
from weighstation.station.bench.messages import LinkBack, LinkLost, Tick
from weighstation.station.bench.silence import STEADY_FRAMES


def steady() -> Hearing:
    """Of a scale that has spoken ten times a second for 3 s."""
    hearing = Hearing()
    for frame in range(30):
        hearing.arrived(frame / 10, frame)
    return hearing


def test_a_scale_that_falls_silent_is_lost_and_what_was_missed_is_said_when_it_speaks() -> None:
    hearing = steady()
    for tick in range(1, 25):
        hearing.told(Tick(2.9 + tick / 5))
    lost, now_s = hearing.lost, hearing.now_s
    missed = hearing.arrived(8.9, STEADY_FRAMES + 10)

    assert (NOTHING_COMES, "") == (lost, hearing.lost)
    assert missed is not None
    assert (SILENT, 6.0) == (missed[0], round(missed[1], 6))
    assert 7.7 == round(now_s, 6)


def test_a_lost_link_says_why_and_what_was_missed_once_it_is_back() -> None:
    hearing = steady()
    nothing = hearing.told(LinkLost("The link was lost."))
    hearing.told(Tick(9.0))
    lost = hearing.lost
    missed = hearing.told(LinkBack(6.1))

    assert nothing is None
    assert ("The link was lost.", "") == (lost, hearing.lost)
    assert (LINK_LOST, 6.1) == missed


def test_time_never_goes_back() -> None:
    hearing = steady()
    hearing.told(Tick(60.0))
    hearing.arrived(59.9, 30)

    assert 60.0 == hearing.now_s


def test_lines_that_come_torn_are_trouble() -> None:
    hearing = steady()
    before = hearing.trouble
    hearing.read(Counts(frames=40, unreadable=20, overload=0, underload=0))

    assert "" == before
    assert "torn" in hearing.trouble
