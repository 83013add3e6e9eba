"""What the threads of a bench tell the loop, one after another through one queue."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, TypeAlias

from weighstation.station.bench.keys import Control, OfBatch, OfBoard
from weighstation.station.ports import Arrival

if TYPE_CHECKING:
    from weighstation.errors import WeighstationError
    from weighstation.events import LoafOutcome, Outcome
    from weighstation.journal import Entry


@dataclass(frozen=True, slots=True)
class Tick:
    """Nothing has come for a while.

    Parameters
    ----------
    t_s : float, seconds
        On the clock of the port.
    """

    t_s: float = 0.0


@dataclass(frozen=True, slots=True)
class StrikeOut:
    """A person strikes out the last counted piece, which was named to them.

    Parameters
    ----------
    number : int
    """

    number: int


@dataclass(frozen=True, slots=True)
class BoardAsked:
    """A person says what happens to a board, which was named to them.

    Parameters
    ----------
    control : OfBoard
    board : int
        Its number.
    """

    control: OfBoard
    board: int


@dataclass(frozen=True, slots=True)
class Typed:
    """A person types the number of a piece.

    Parameters
    ----------
    char : str
        A digit, or a line end where the number is complete.
    """

    char: str


@dataclass(frozen=True, slots=True)
class LinkLost:
    """The port's link went away; it is being opened again.

    Parameters
    ----------
    sentence : str
        What happened, for a person.
    """

    sentence: str


@dataclass(frozen=True, slots=True)
class LinkBack:
    """The port is open again.

    Parameters
    ----------
    seconds : float, seconds
        How long it was away.
    """

    seconds: float


@dataclass(frozen=True, slots=True)
class PortEnded:
    """The port has nothing more to give."""


@dataclass(frozen=True, slots=True)
class Durable:
    """A line is on the disk.

    Parameters
    ----------
    entry : Entry
    outcome : Outcome, LoafOutcome or None
        What the line was about, where it was about a piece or a loaf.
    """

    entry: Entry
    outcome: Outcome | LoafOutcome | None


@dataclass(frozen=True, slots=True)
class Refused:
    """The journal cannot be written.

    Parameters
    ----------
    error : WeighstationError
    """

    error: WeighstationError


@dataclass(frozen=True, slots=True)
class Resumed:
    """The journal can be written again."""


@dataclass(frozen=True, slots=True)
class Stop:
    """Leave without ending the batch."""


Happening: TypeAlias = (
    Arrival | Tick | LinkLost | LinkBack | PortEnded | Durable | Refused | Resumed | Stop
)
"""What the threads of any bench say."""
Asked: TypeAlias = OfBatch | StrikeOut | BoardAsked
"""What a person asks where pieces are divided."""
LoafAsked: TypeAlias = Literal[Control.END] | StrikeOut | Typed
"""What a person asks where baked loaves are weighed: they lie on no board, and none is lifted."""
Message: TypeAlias = Happening | Asked
LoafMessage: TypeAlias = Happening | LoafAsked
