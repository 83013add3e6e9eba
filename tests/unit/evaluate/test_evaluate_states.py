"""The table says what may follow; everything else is a bug and says so."""

from __future__ import annotations

from itertools import product

import pytest

from weighstation.errors import SequenceError
from weighstation.evaluate.states import TRANSITIONS, Move, State, next_state

ALLOWED = [(state, move) for state, moves in TRANSITIONS.items() for move in moves]
FORBIDDEN = [pair for pair in product(State, Move) if pair not in ALLOWED]


@pytest.mark.parametrize(("state", "move"), FORBIDDEN)
def test_a_move_that_is_not_in_the_table_is_refused(state: State, move: Move) -> None:
    with pytest.raises(SequenceError, match="cannot follow"):
        next_state(state, move)


def test_every_state_but_faulted_can_be_reached_from_idle() -> None:
    reached, edge = {State.IDLE}, {State.IDLE}
    while edge:
        edge = {next_state(state, move) for state in edge for move in TRANSITIONS[state]} - reached
        reached |= edge

    assert reached == set(State) - {State.FAULTED}


def test_nothing_leaves_faulted() -> None:
    assert TRANSITIONS[State.FAULTED] == {}


@pytest.mark.parametrize("state", set(State) - {State.FAULTED}, ids=lambda state: state.name)
def test_the_pan_can_always_become_empty_and_settled_again(state: State) -> None:
    ways = {State.IDLE}
    for _ in State:
        ways |= {one for one in State if set(TRANSITIONS[one].values()) & ways}

    assert state in ways
