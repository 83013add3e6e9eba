"""Every state of the evaluator and what may follow it; all that changes state is in this table."""

from __future__ import annotations

from enum import Enum

from weighstation.errors import SequenceError


class State(Enum):
    """What the evaluator is waiting for."""

    IDLE = "the pan is empty and no piece is open"
    LIFTED_OPEN = "the pan is empty and a piece lifted out of band is open"
    DOUBTFUL = "a load lies on the pan that may be the open piece"
    ON_PAN = "a load lies on the pan and it is settled which piece it is"
    FAULTED = "something came that cannot follow"


class Move(Enum):
    """What moves the evaluator."""

    LOADED = "a new load came to rest"
    WEIGHED = "the load was weighed again"
    SETTLED = "the open piece was taken for boarded, or for the load on the pan"
    KEPT = "the load left and counts"
    LIFTED = "the load left out of band and is open"
    DROPPED = "the load left and is no piece"
    REOPENED = "the last lifted piece is open again"


TRANSITIONS: dict[State, dict[Move, State]] = {
    State.IDLE: {Move.LOADED: State.ON_PAN, Move.REOPENED: State.LIFTED_OPEN},
    State.LIFTED_OPEN: {Move.LOADED: State.DOUBTFUL, Move.SETTLED: State.IDLE},
    State.DOUBTFUL: {
        Move.WEIGHED: State.DOUBTFUL,
        Move.SETTLED: State.ON_PAN,
        Move.DROPPED: State.LIFTED_OPEN,
    },
    State.ON_PAN: {
        Move.WEIGHED: State.ON_PAN,
        Move.KEPT: State.IDLE,
        Move.LIFTED: State.LIFTED_OPEN,
        Move.DROPPED: State.IDLE,
    },
    State.FAULTED: {},
}


def next_state(state: State, move: Move) -> State:
    """Return the state that follows.

    Parameters
    ----------
    state : State
    move : Move

    Returns
    -------
    State

    Raises
    ------
    SequenceError
        If the move cannot follow; a bug of ours.
    """
    try:
        return TRANSITIONS[state][move]
    except KeyError:
        raise SequenceError(
            f"While {state.value}, this cannot follow: {move.value}.",
            hint="Start the batch again and report this.",
        ) from None
