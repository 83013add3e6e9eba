"""What the loop publishes for anyone who wants to show it: one immutable picture of the bench."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from weighstation.station.bench.clocks import Clocks

if TYPE_CHECKING:
    from weighstation.events import Cue, TookFor
    from weighstation.specification import Limits


NO_CLOCKS = Clocks()
"""Of a bench on which nothing was cut yet."""


class Scene(Enum):
    """What the bench is doing."""

    NO_SCALE_YET = "no scale yet"
    EMPTY = "empty"
    LADEN = "laden from before"
    MOVING = "moving"
    CUED = "cued"
    OVERLOADED = "overloaded"
    SCALE_LOST = "scale lost"
    PAUSED = "paused"
    DOUGH_LEFT = "dough left"


@dataclass(frozen=True, slots=True)
class LiftedNote:
    """What a piece lifted out of band was taken for, as the panel says it.

    Parameters
    ----------
    number : int
    error_mg : int, milligrams
        Net minus scaling weight as it was lifted.
    took_for : TookFor or None
        None while it is still open.
    is_open : bool
        It is not counted, and would not be if the batch ended now.
    """

    number: int
    error_mg: int
    took_for: TookFor | None
    is_open: bool = False


@dataclass(frozen=True, slots=True)
class Snapshot:
    """One picture of the bench.

    Parameters
    ----------
    t_s : float, seconds
        Station clock at publishing.
    product : str
    limits : Limits
    division_mg : int, milligrams
    scene : Scene
    lain_mg : int, milligrams, or None
        What is indicated of something that lies on the pan from before.
    loaded : bool
        A load is on the pan that has not left.
    cue : Cue or None
        The cue on the panel; the last firm one for a moment after the pan was left.
    slowed : bool
        Whether the figure of a provisional cue can be read, because the display has slowed down.
    counted : int
        Pieces whose line is durable, voided ones taken off.
    planned : int or None
        Pieces wanted in this batch.
    last_number : int or None
        Number of the last counted piece.
    last_mg : int, milligrams, or None
        Its weight.
    known_number : int or None
        Number of the piece that would be struck out now, whether its line is durable or waits.
    known_mg : int, milligrams, or None
        Its weight.
    happened : int
        How many pieces were counted, lifted, turned round or struck out so far.
    out_of_band : int
        Counted pieces that were boarded out of band.
    kept_mean_mg : float, milligrams, or None
        Mean of counted pieces.
    first_sd_mg : float, milligrams, or None
        Standard deviation of first cuts; None below two.
    clocks : Clocks
        What the clocks of dough and boards are worked out from.
    lifted : LiftedNote or None
        The last piece lifted out of band, while it can be turned round.
    armed : str
        A key that wants a second press, by the value of its control, else empty.
    armed_board : int or None
        Number of the board that an armed key names.
    notice : str
        One plain sentence, or empty.
    signal : str
        What the first cuts show and what to do about it, in one line, or empty.
    offer : str
        What would use up the dough, in one line, or empty; nothing follows it by itself.
    alarm : str
        One plain sentence that must not be missed (the journal refuses, the scale is lost).
    """

    t_s: float
    product: str
    limits: Limits
    division_mg: int
    scene: Scene
    lain_mg: int | None = None
    loaded: bool = False
    cue: Cue | None = None
    slowed: bool = True
    counted: int = 0
    planned: int | None = None
    last_number: int | None = None
    last_mg: int | None = None
    known_number: int | None = None
    known_mg: int | None = None
    happened: int = 0
    out_of_band: int = 0
    kept_mean_mg: float | None = None
    first_sd_mg: float | None = None
    clocks: Clocks = NO_CLOCKS
    lifted: LiftedNote | None = None
    armed: str = ""
    armed_board: int | None = None
    notice: str = ""
    signal: str = ""
    offer: str = ""
    alarm: str = ""

    @property
    def pieces_left(self) -> int | None:
        """Pieces still to be cut; None where no number was planned."""
        return None if self.planned is None else self.planned - self.counted
