"""The usual way: which states the pan goes through, and what each one hides."""

from __future__ import annotations

import pytest
from pan_scripts import SMALLEST_MG, Said, detect, readings, said

from weighstation.detect.settling import Rest, Settler
from weighstation.detect.single import SingleWay
from weighstation.detect.states import State
from weighstation.events import PanLeft, Reading

EMPTY, STIRRED, ARRIVING = State.EMPTY, State.STIRRED, State.ARRIVING
RESTING, TOUCHED, UNKNOWN = State.RESTING, State.TOUCHED, State.UNKNOWN


class Watched:
    """A settler and the machine on it, fed as the detector feeds them, states kept."""

    def __init__(self) -> None:
        self.settler = Settler()
        self.machine = SingleWay(self.settler, float(SMALLEST_MG))
        self.settler.start(-0.1, 0.0)
        self.states = [self.machine.state]
        self.events: list[Said] = []

    def feed(self, items: list[Reading]) -> None:
        for item in items:
            self._feed(item.t_s, float(item.gross_mg or 0))
            if self.machine.state is not self.states[-1]:
                self.states.append(self.machine.state)

    def _feed(self, t_s: float, y_mg: float) -> None:
        settler, machine = self.settler, self.machine
        rest: Rest | None
        if not settler.calm:
            rest = settler.follow(t_s, y_mg)
        elif abs(y_mg - settler.level_mg) <= settler.tolerance_mg:
            settler.hold(t_s, y_mg)
            return
        else:
            machine.stirred()
            rest = settler.stir(t_s, y_mg)
        self.events += [said(event) for event in machine.moving(y_mg, rest)]


@pytest.mark.parametrize(
    ("fact", "script", "states"),
    [
        ("a piece", "0 x6 400 752 x8 300 0 x8",
         [UNKNOWN, EMPTY, ARRIVING, RESTING, TOUCHED, STIRRED, EMPTY]),
        ("a trim", "0 x6 752 x8 900 741 x8",
         [UNKNOWN, EMPTY, ARRIVING, RESTING, TOUCHED, RESTING]),
        ("a bump", "0 x6 300 100 0 x8", [UNKNOWN, EMPTY, ARRIVING, STIRRED, EMPTY]),
        ("flour", "0 x6 4 x8", [UNKNOWN, EMPTY, STIRRED, EMPTY]),
        ("loaded from the beginning", "752 x8 300 0 x8", [UNKNOWN, EMPTY, STIRRED, EMPTY]),
    ],
)  # fmt: skip
def test_states_of_a_pan(fact: str, script: str, states: list[State]) -> None:
    watched = Watched()
    watched.feed(readings(script))

    assert states == watched.states, fact


def test_a_bump_gives_its_number_back() -> None:
    watched = Watched()
    watched.feed(readings("0 x6 300 100 0 x8 752 x8 0 x8"))

    assert [("maybe", 1, 0, 752.0), ("firm", 1, 0, 752.0), ("left", 1, 752.0, 752.0, 0)] == (
        watched.events
    )


def test_a_load_that_shrank_to_less_than_a_scrap_has_left() -> None:
    """What stays is taken for the empty pan."""
    watched = Watched()
    watched.feed(readings("0 x6 752 x8 400 70 x8 400 750 x8 300 70 x8"))

    left = [event for event in watched.events if event[0] == "left"]
    assert [("left", 1, 752.0, 752.0, 0), ("left", 2, 680.0, 680.0, 0)] == left


def test_an_arrival_under_an_overload_counts_from_where_it_slows_down() -> None:
    watched = Watched()
    watched.feed(readings("0 x6 400"))
    watched.machine.overloaded()

    assert watched.machine.state is STIRRED

    watched.feed(readings("1504 1504 1504 x6", start_s=1.5))

    assert ("firm", 1, 0, 1504.0) == watched.events[-1]


def test_an_overload_on_a_resting_piece_changes_nothing() -> None:
    watched = Watched()
    watched.feed(readings("0 x6 752 x8"))
    watched.machine.overloaded()

    assert watched.machine.state is RESTING


def test_nothing_is_finished_at_the_end_of_the_stream() -> None:
    watched = Watched()
    watched.feed(readings("0 x6 752 x8"))

    assert watched.machine.finish(9.0) == ()


def test_a_long_dip_is_a_lift_off_and_a_short_one_is_not() -> None:
    """At 20 readings a second a pan may look empty for one reading more than it takes."""
    dip = "0 x12 752 x12 300 {} 300 741 x12 0 x12"
    short = detect(readings(dip.format("0 0"), rate_hz=20.0))
    long = detect(readings(dip.format("0 0 0 0"), rate_hz=20.0))

    assert [1, 2] == [sum(isinstance(e, PanLeft) for e in events) for events in (short, long)]
