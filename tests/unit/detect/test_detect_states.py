"""The transition table: what may follow what."""

from __future__ import annotations

import pytest

from weighstation.detect.states import TRANSITIONS, State, Stimulus, next_state
from weighstation.errors import SequenceError

ALL = [(state, stimulus) for state in State for stimulus in Stimulus]


@pytest.mark.parametrize(("state", "stimulus"), ALL, ids=lambda member: str(member.value))
def test_each_stimulus_leads_on_or_is_refused_with_both_names(
    state: State, stimulus: Stimulus
) -> None:
    follows = TRANSITIONS[state].get(stimulus)
    if follows is not None:
        assert follows is next_state(state, stimulus)
        return
    with pytest.raises(SequenceError) as refused:
        next_state(state, stimulus)

    assert f"'{stimulus.value}' cannot follow '{state.value}'." == str(refused.value)


def test_every_state_has_its_row_and_can_be_reached_and_left() -> None:
    reached = {State.UNKNOWN}
    while new := {after for state in reached for after in TRANSITIONS[state].values()} - reached:
        reached |= new

    assert set(State) == reached == set(TRANSITIONS)
    assert all(set(row.values()) - {state} for state, row in TRANSITIONS.items())


def test_a_load_rests_only_after_it_arrived_or_was_touched() -> None:
    before = {state for state, row in TRANSITIONS.items() if State.RESTING in row.values()}

    assert before == {State.ARRIVING, State.TOUCHED}


def test_sight_may_be_lost_at_any_time_and_no_load_survives_it() -> None:
    after = {state: row[Stimulus.LOST] for state, row in TRANSITIONS.items()}

    assert after.pop(State.UNKNOWN) is State.UNKNOWN
    assert set(after.values()) == {State.STIRRED}


def test_the_pan_is_never_emptied_without_a_motion() -> None:
    assert set(TRANSITIONS[State.RESTING]) == {Stimulus.MOVED, Stimulus.LOST}
    assert State.EMPTY not in TRANSITIONS[State.TOUCHED].values()
