"""What the pan can be, and what may follow what; everything that changes state reads this table."""

from __future__ import annotations

from enum import Enum

from weighstation.errors import SequenceError


class State(Enum):
    """Where the load is, as far as the readings tell."""

    UNKNOWN = "unknown"
    EMPTY = "empty"
    STIRRED = "stirred"
    ARRIVING = "arriving"
    RESTING = "resting"
    TOUCHED = "touched"


class Stimulus(Enum):
    """What the readings just showed."""

    MOVED = "moved"
    LOADED = "loaded"
    RESTED_EMPTY = "rested empty"
    RESTED_LOADED = "rested loaded"
    LEFT = "left"
    LOST = "lost sight of"


TRANSITIONS: dict[State, dict[Stimulus, State]] = {
    State.UNKNOWN: {
        Stimulus.RESTED_EMPTY: State.EMPTY,
        Stimulus.LOST: State.UNKNOWN,
    },
    State.EMPTY: {
        Stimulus.MOVED: State.STIRRED,
        Stimulus.LOST: State.STIRRED,
    },
    State.STIRRED: {
        Stimulus.LOADED: State.ARRIVING,
        Stimulus.RESTED_EMPTY: State.EMPTY,
        Stimulus.LOST: State.STIRRED,
    },
    State.ARRIVING: {
        Stimulus.RESTED_LOADED: State.RESTING,
        Stimulus.RESTED_EMPTY: State.EMPTY,
        Stimulus.LEFT: State.STIRRED,
        Stimulus.LOST: State.STIRRED,
    },
    State.RESTING: {
        Stimulus.MOVED: State.TOUCHED,
        Stimulus.LOST: State.STIRRED,
    },
    State.TOUCHED: {
        Stimulus.RESTED_LOADED: State.RESTING,
        Stimulus.LEFT: State.STIRRED,
        Stimulus.LOST: State.STIRRED,
    },
}


def next_state(state: State, stimulus: Stimulus) -> State:
    """Return the state that follows.

    Parameters
    ----------
    state : State
    stimulus : Stimulus

    Returns
    -------
    State

    Raises
    ------
    SequenceError
        If the stimulus cannot follow; this is a bug of ours.
    """
    try:
        return TRANSITIONS[state][stimulus]
    except KeyError:
        raise SequenceError(f"'{stimulus.value}' cannot follow '{state.value}'.") from None
