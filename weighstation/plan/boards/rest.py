"""Boards and the time -> how long their pieces have rested, which board is next, what to cover."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan.boards.board import Stage, checked_time
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from weighstation.plan.boards.board import Board
    from weighstation.plan.boards.boards import Boards

COVER_SOON_S = 60.0
COVER_NOW_S = 120.0
"""Seconds that dough may lie open in a dry or draughty room: one to two minutes, common practice,
no source."""

MOIST_PCT = 70.0
"""Relative humidity from which dough on the bench does not skin soon; common practice, no source
(70 to 75 %)."""


@dataclass(frozen=True, slots=True)
class RestWindow:
    """How long pieces rest between scaling and shaping.

    Parameters
    ----------
    least_s : float, seconds
    most_s : float, seconds

    Raises
    ------
    SpecificationError
        If it is no span of time.

    Notes
    -----
    10 to 15 minutes by default. Textbooks and training texts have 5 to 15, 8 to 15, and 5 to 30
    depending on how tight the pieces were rounded (read in excerpts); older doughs without
    additives 20 to 30. A tight preshape wants longer; too long makes dough gassy and slack.
    """

    least_s: float = 600.0
    most_s: float = 900.0

    def __post_init__(self) -> None:
        """Refuse what is no span of time."""
        window = (self.least_s, self.most_s)
        if not (is_number(*window) and 0 <= self.least_s <= self.most_s):
            raise SpecificationError(
                f"A rest of {in_words(self.least_s)} to {in_words(self.most_s)} s is none.",
                hint="Give the least and the most in seconds, the least first.",
            )


class Rested(Enum):
    """What a rest says about a board that waits."""

    TOO_SHORT = "wait"
    READY = "ready"
    TOO_LONG = "late"


@dataclass(frozen=True, slots=True)
class BoardRest:
    """The rest of the oldest piece on a board.

    Parameters
    ----------
    board : int
        Its number.
    stage : Stage
    piece : int
        Number of its oldest piece.
    rest_s : float, seconds
        From its cut to now, or to when its shaping or baking began; never below 0.
    window : RestWindow
    """

    board: int
    stage: Stage
    piece: int
    rest_s: float
    window: RestWindow

    @property
    def is_waiting(self) -> bool:
        """Neither shaping nor baking has begun."""
        return self.stage in (Stage.FILLING, Stage.CLOSED)

    @property
    def until_s(self) -> float:
        """Seconds until the oldest piece has rested enough; 0 when it has."""
        return max(0.0, self.window.least_s - self.rest_s)

    @property
    def left_s(self) -> float:
        """Seconds until the oldest piece has rested too long; negative when it has."""
        return self.window.most_s - self.rest_s

    @property
    def rested(self) -> Rested:
        """What the rest says; both ends of the window belong to it."""
        if self.left_s < 0:
            return Rested.TOO_LONG
        return Rested.TOO_SHORT if self.until_s > 0 else Rested.READY

    @property
    def text(self) -> str:
        """One plain sentence."""
        name, rest = f"Board {self.board}", f"{self.rest_s / 60:.0f} min"
        if not self.is_waiting:
            return f"{name} had rested {rest} when it was taken."
        match self.rested:
            case Rested.TOO_SHORT:
                return f"{name} has rested {rest}: ready in {math.ceil(self.until_s / 60)} min."
            case Rested.READY:
                left = math.floor(self.left_s / 60)
                return f"{name} has rested {rest}: shape it within {left} min."
            case Rested.TOO_LONG:
                over = math.ceil(-self.left_s / 60)
                return f"{name} has rested {rest}, {over} min too long: shape it now."


def rest_of(board: Board, *, t_s: float, window: RestWindow) -> BoardRest | None:
    """Return the rest of the oldest piece on a board.

    Parameters
    ----------
    board : Board
    t_s : float, seconds
        Now, on the clock of the facts; a little before the last cut counts as no rest.
    window : RestWindow

    Returns
    -------
    BoardRest or None
        None on an empty board.

    Raises
    ------
    SpecificationError
        If the time is not finite.
    """
    checked_time(t_s)
    if board.oldest is None:
        return None
    ends = (end for end in (board.bench_s, board.oven_in_s) if end is not None)
    rest_s = max(0.0, min(ends, default=t_s) - board.oldest.cut_s)
    return BoardRest(board.number, board.stage, board.oldest.number, rest_s, window)


def rests(boards: Boards, *, t_s: float, window: RestWindow | None = None) -> tuple[BoardRest, ...]:
    """Return the rests of the boards that wait, in the order in which they should be shaped.

    Parameters
    ----------
    boards : Boards
    t_s : float, seconds
        Now, on the clock of the facts.
    window : RestWindow or None
        None is 10 to 15 minutes.

    Returns
    -------
    (n,) tuple of BoardRest
        Closed boards first in, first out; then the one that is filling.

    Raises
    ------
    SpecificationError
        If the time is not finite.

    Notes
    -----
    Final shaping starts with the piece that was made first: textbook, "Scaling and preshaping"
    (read in an excerpt).

    Examples
    --------
    >>> from weighstation.plan.boards.board_facts import PieceBoarded
    >>> from weighstation.plan.boards.boards import Boards
    >>> for rest in rests(Boards(2).after(PieceBoarded(1, 0.0)), t_s=660.0):
    ...     print(rest.text)
    Board 1 has rested 11 min: shape it within 4 min.
    """
    waiting = (*boards.at(Stage.CLOSED), *boards.at(Stage.FILLING))
    window = RestWindow() if window is None else window
    found = (rest_of(board, t_s=t_s, window=window) for board in waiting)
    return tuple(rest for rest in found if rest is not None)


def next_board(boards: Boards) -> Board | None:
    """Return the board that is to be shaped next: first in, first out.

    Parameters
    ----------
    boards : Boards

    Returns
    -------
    Board or None
        The closed board with the oldest piece; without one the board that is filling, as soon as
        it carries a piece.
    """
    waiting = (*boards.at(Stage.CLOSED), *boards.at(Stage.FILLING))
    return waiting[0] if waiting else None


def cover_caution(
    uncovered_s: float, *, humidity_pct: float | None = None, what: str = "The dough"
) -> str | None:
    """Return a word of caution about dough that lies open.

    Parameters
    ----------
    uncovered_s : float, seconds
        Since its oldest piece was laid or last covered.
    humidity_pct : float, percent, or None
        Relative humidity at the bench; None is taken for dry.
    what : str
        What lies open, to begin the sentence with.

    Returns
    -------
    str or None
        One plain sentence; None while there is nothing to say.

    Raises
    ------
    SpecificationError
        If a number means nothing.

    Notes
    -----
    Dry air draws water from the surface, and the skin restricts the rise and bakes to a grey, tough
    crust (baking society, "Final proof"; trade dictionary, "Crusting"; read in excerpts).

    Examples
    --------
    >>> cover_caution(90)
    'The dough has lain open for 1.5 min: cover it before it skins.'
    """
    checked_time(uncovered_s)
    if humidity_pct is not None and not (is_number(humidity_pct) and 0 <= humidity_pct <= 100):
        raise SpecificationError(
            f"A relative humidity is 0 to 100 %, not {in_words(humidity_pct)}.",
            hint="Leave it out where it is not known.",
        )
    if uncovered_s < COVER_SOON_S or (humidity_pct is not None and humidity_pct >= MOIST_PCT):
        return None
    said = f"{what} has lain open for {uncovered_s / 60:.1f} min: cover it"
    if uncovered_s < COVER_NOW_S:
        return f"{said} before it skins."
    return f"{said} now, away from any fan."
