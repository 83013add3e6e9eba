"""Paces of scaling and of shaping -> how long each piece will rest, and who has to wait."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from statistics import median
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan.boards.board import Stage, checked_time
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from weighstation.plan.boards.boards import Boards
    from weighstation.plan.boards.rest import RestWindow

RECENT_BOARDS = 3
"""Steps from board to board that the measured spacing is the median of; house figure."""


class Keeping(Enum):
    """Whether shaping keeps step with scaling."""

    IN_STEP = "in step"
    SHAPING_SLOW = "shaping is slower than scaling"
    SHAPING_FAST = "shaping is faster than scaling"


@dataclass(frozen=True, slots=True)
class Flow:
    """A dough that is cut at one pace and shaped at another.

    Parameters
    ----------
    pieces : int
    first_rest_s : float, seconds
        Rest r0 of the first piece when shaping begins, not negative.
    cut_every_s : float, seconds
        Spacing c of the cuts, positive.
    shape_every_s : float, seconds
        Spacing s of the shaping, all hands together, positive.

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    First in, first out, piece i (from 0) rests r0 + i (s - c). Last in, first out, the pieces of
    one dough differ by (n - 1) (s + c). Own arithmetic.

    Examples
    --------
    >>> flow = Flow(48, first_rest_s=720, cut_every_s=10, shape_every_s=20)
    >>> round(flow.last_rest_s / 60, 1), flow.lifo_spread_s / 60
    (19.8, 23.5)
    """

    pieces: int
    first_rest_s: float
    cut_every_s: float
    shape_every_s: float

    def __post_init__(self) -> None:
        """Refuse a flow that is none."""
        if self.pieces < 1:
            raise SpecificationError(
                f"A dough makes at least 1 piece, not {in_words(self.pieces)}.",
                hint="Give their number.",
            )
        if not (is_number(self.first_rest_s) and self.first_rest_s >= 0):
            raise SpecificationError(
                f"A rest is 0 s or more, not {in_words(self.first_rest_s)}.",
                hint="Give it in seconds.",
            )
        for name, every_s in (("Scaling", self.cut_every_s), ("Shaping", self.shape_every_s)):
            if not (is_number(every_s) and every_s > 0):
                raise SpecificationError(
                    f"{name} takes more than 0 s a piece, not {in_words(every_s)}.",
                    hint="Give the seconds from one piece to the next.",
                )

    @property
    def lag_s(self) -> float:
        """Seconds by which each piece rests longer than the one before; negative if shorter."""
        return self.shape_every_s - self.cut_every_s

    @property
    def last_rest_s(self) -> float:
        """Rest of the last piece in seconds, first in, first out; 0 if shaping waits for it."""
        return self.fifo_rest_s(self.pieces)

    @property
    def lifo_spread_s(self) -> float:
        """By how many seconds the rests of a dough differ if the last cut is shaped first."""
        return (self.pieces - 1) * (self.shape_every_s + self.cut_every_s)

    @property
    def shapers(self) -> int:
        """How many times the hands that shape now would keep step with scaling."""
        return max(1, math.ceil(self.shape_every_s / self.cut_every_s - 1e-9))

    def fifo_rest_s(self, piece: int) -> float:
        """Return how long a piece rests if the first cut is shaped first.

        Parameters
        ----------
        piece : int
            Its number, from 1.

        Returns
        -------
        float, seconds
            0 where shaping would overtake scaling: it waits.

        Raises
        ------
        SpecificationError
            If there is no such piece.
        """
        if not 1 <= piece <= self.pieces:
            raise SpecificationError(
                f"There is no piece {piece} of {self.pieces}.", hint="Pieces count from 1."
            )
        return max(0.0, self.first_rest_s + (piece - 1) * self.lag_s)

    def keeping(self, window: RestWindow) -> Keeping:
        """Return whether every piece rests within a window.

        Parameters
        ----------
        window : RestWindow

        Returns
        -------
        Keeping
            By the last piece, which is the one farthest off.
        """
        if self.lag_s > 0 and self.last_rest_s > window.most_s:
            return Keeping.SHAPING_SLOW
        if self.lag_s < 0 and self.last_rest_s < window.least_s:
            return Keeping.SHAPING_FAST
        return Keeping.IN_STEP

    def text(self, window: RestWindow) -> str:
        """Return what to do about it.

        Parameters
        ----------
        window : RestWindow

        Returns
        -------
        str
            One or two plain sentences.
        """
        paces = f"Scaling takes {self.cut_every_s:.0f} s a piece, shaping {self.shape_every_s:.0f}"
        rest = f"the last of {self.pieces} pieces will have rested {self.last_rest_s / 60:.1f} min"
        match self.keeping(window):
            case Keeping.IN_STEP:
                return f"{paces}: {rest}."
            case Keeping.SHAPING_SLOW:
                more = f"put {self.shapers} times the hands to shaping, or pause scaling"
                late = f"pieces from {self._first_late(window)} on rest too long"
                return f"{paces}: {rest}, and {late}. To keep step, {more}."
            case Keeping.SHAPING_FAST:
                return f"{paces}: {rest}, which is too short. Let shaping wait between boards."

    def _first_late(self, window: RestWindow) -> int:
        pieces = range(1, self.pieces + 1)
        return next(piece for piece in pieces if self.fifo_rest_s(piece) > window.most_s)


@dataclass(frozen=True, slots=True)
class ShapingAhead:
    """How long what waits will have rested, if shaping goes on as the boards show it.

    Parameters
    ----------
    shape_every_s : float, seconds
        From piece to piece, all hands together.
    steps : int
        From board to board, that this rests on.
    longest_rest_s : float, seconds
        The longest rest of a piece that waits, when its turn comes.
    piece : int
        Number of that piece.
    """

    shape_every_s: float
    steps: int
    longest_rest_s: float
    piece: int

    def warning(self, window: RestWindow) -> str | None:
        """Return a warning that shaping is too slow for what is being scaled.

        Parameters
        ----------
        window : RestWindow

        Returns
        -------
        str or None
            One plain sentence; None while all that waits will be shaped in time.
        """
        if self.longest_rest_s <= window.most_s:
            return None
        return (
            f"At {self.shape_every_s:.0f} s a piece shaping is too slow: piece {self.piece} will"
            f" have rested {self.longest_rest_s / 60:.0f} min. More hands to shaping, or pause"
            " scaling."
        )


def shaping_ahead(boards: Boards, *, t_s: float) -> ShapingAhead | None:
    """Return how long what waits will have rested when its turn comes.

    Parameters
    ----------
    boards : Boards
    t_s : float, seconds
        Now, on the clock of the facts.

    Returns
    -------
    ShapingAhead or None
        None before two boards were taken to the bench, or while none waits.

    Raises
    ------
    SpecificationError
        If the time is not finite.

    Notes
    -----
    The spacing of the shaping is the median of the last three steps from board to board, each the
    time between them over the pieces of the first. Boards are taken first in, first out, and none
    begins before now. A pause of the scaler shows in the times of the cuts and needs no allowance;
    shapers who wait for a board only seem slow, at worst as slow as the scaler.
    """
    checked_time(t_s)
    taken = sorted(
        (board.bench_s, len(board.pieces))
        for board in boards.boards
        if board.bench_s is not None and board.pieces
    )
    recent = taken[-1 - RECENT_BOARDS :]
    steps = [(later - earlier) / pieces for (earlier, pieces), (later, _) in pairwise(recent)]
    if not steps:
        return None
    waiting = [
        piece
        for board in (*boards.at(Stage.CLOSED), *boards.at(Stage.FILLING))
        for piece in sorted(board.pieces, key=lambda one: one.cut_s)
    ]
    if not waiting:
        return None
    every_s = median(steps)
    last_s, pieces = taken[-1]
    start_s = max(t_s, last_s + pieces * every_s)
    ahead = [start_s + i * every_s - piece.cut_s for i, piece in enumerate(waiting)]
    longest_s = max(ahead)
    return ShapingAhead(every_s, len(steps), longest_s, waiting[ahead.index(longest_s)].number)
