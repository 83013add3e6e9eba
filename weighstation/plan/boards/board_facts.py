"""What is said about boards: facts, from a key or a line of the record, in the order they were."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PieceBoarded:
    """A piece counts, and lies on the board that is filling; else the next board opens with it.

    Parameters
    ----------
    number : int
        Its number within the run.
    cut_s : float, seconds
        When it left the pan, on the clock of all these facts.
    run : str
        Identity of the run, where boards carry pieces of more than one.
    """

    number: int
    cut_s: float
    run: str = ""


@dataclass(frozen=True, slots=True)
class PieceVoided:
    """A piece counts no longer, and is taken off its board, wherever that is.

    Parameters
    ----------
    number : int
    run : str
    """

    number: int
    run: str = ""


@dataclass(frozen=True, slots=True)
class BoardOpened:
    """The next board is laid out, with its own number of places.

    Parameters
    ----------
    places : int
        Pieces that go on it, and on those after it.
    """

    places: int


@dataclass(frozen=True, slots=True)
class BoardClosed:
    """No more pieces go on this board; a full one is closed by itself and needs no such fact.

    Parameters
    ----------
    board : int
        Its number.
    """

    board: int


@dataclass(frozen=True, slots=True)
class BoardToBench:
    """Shaping of a board has begun, which closes it.

    Parameters
    ----------
    board : int
    t_s : float, seconds
    """

    board: int
    t_s: float


@dataclass(frozen=True, slots=True)
class OvenIn:
    """A board went into the oven, shaped or, for goods that are baked as cut, straight away.

    Parameters
    ----------
    board : int
    t_s : float, seconds
    """

    board: int
    t_s: float


@dataclass(frozen=True, slots=True)
class OvenOut:
    """A board came out of the oven.

    Parameters
    ----------
    board : int
    t_s : float, seconds
    """

    board: int
    t_s: float


BoardFact = PieceBoarded | PieceVoided | BoardOpened | BoardClosed | BoardToBench | OvenIn | OvenOut
