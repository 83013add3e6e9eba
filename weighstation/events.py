"""The values that flow from a scale to the journal, one way, each made by one stage.

``bytes -acquire-> Reading -detect-> Weighing, PanLeft -evaluate-> Cue, PieceKept -journal-> Entry``

Where baked loaves are weighed, ``evaluate`` gives LoafShown and LoafWeighed in their place.

Times ``t_s`` are seconds on the station's own monotonic clock (or a recording's), masses are
integer milligrams. All values are immutable.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple


class Status(Enum):
    """What one line of a scale turned out to be."""

    WEIGHT = "weight"
    OVERLOAD = "overload"
    UNDERLOAD = "underload"
    UNREADABLE = "unreadable"


class Reading(NamedTuple):
    """One indication of the scale; a tuple, because there are ten of them a second and more.

    Parameters
    ----------
    t_s : float, seconds
        When its last byte arrived; equal times are legal.
    gross_mg : int, milligrams, or None
        What the scale indicates; None unless ``status`` is WEIGHT.
    stable : bool or None
        The scale's own mark; None where it has none, or its meaning is not yet known.
    status : Status
    raw : str
        The line as received, Latin-1, without its terminator; of a binary report, hexadecimal.
    """

    t_s: float
    gross_mg: int | None
    stable: bool | None
    status: Status
    raw: str


@dataclass(frozen=True, slots=True)
class DivisionLearned:
    """The scale interval d, as far as the lines have shown it; may be said again, corrected.

    Parameters
    ----------
    t_s : float, seconds
    division_mg : int, milligrams
    """

    t_s: float
    division_mg: int


@dataclass(frozen=True, slots=True)
class Weighing:
    """What lies on the pan now.

    Parameters
    ----------
    t_s : float, seconds
    visit : int
        Counts loads, from 1.
    touch : int
        0 is how the load first came to rest; each add or trim is one more.
    net_mg : int, milligrams
        A difference of displayed values.
    firm : bool
        True once it is not expected to move; a later firm weight of the same touch corrects it.
    """

    t_s: float
    visit: int
    touch: int
    net_mg: int
    firm: bool


@dataclass(frozen=True, slots=True)
class PanLeft:
    """A load left the pan (or, building up or taking away, was finished): facts only.

    Parameters
    ----------
    t_s : float, seconds
        When it left.
    visit : int
    placed_s : float, seconds
        When it arrived.
    first_mg, final_mg : int, milligrams
        Net, as it first came to rest and as it left.
    touches : int
        Adds and trims on the pan.
    """

    t_s: float
    visit: int
    placed_s: float
    first_mg: int
    final_mg: int
    touches: int


class Verdict(Enum):
    """What the person is told to do with the piece."""

    KEEP = "keep"
    ADD = "add"
    TRIM = "trim"
    ONE_AT_A_TIME = "one_at_a_time"


@dataclass(frozen=True, slots=True)
class Cue:
    """What the person is told.

    Parameters
    ----------
    t_s : float, seconds
    piece : int
        The number this piece will have if it is counted.
    touch : int
    net_mg : int, milligrams
    verdict : Verdict
    error_mg : int, milligrams
        Net minus scaling weight, sign kept.
    firm : bool
    cut_again : bool
        More than two extra bits have gone onto this piece.
    """

    t_s: float
    piece: int
    touch: int
    net_mg: int
    verdict: Verdict
    error_mg: int
    firm: bool
    cut_again: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """The facts of one piece, as far as it has gone.

    Parameters
    ----------
    number : int
        Its identity within the run, from 1; never given twice to counted pieces.
    t_s : float, seconds
        When it left the pan.
    placed_s : float, seconds
        When it (first) came onto the pan.
    first_mg, final_mg : int, milligrams
        As first cut, and as it left.
    touches : int
        Adds and trims, those made off the pan included.
    verdict : Verdict
        KEEP when it left in band, else ADD, TRIM or ONE_AT_A_TIME.
    """

    number: int
    t_s: float
    placed_s: float
    first_mg: int
    final_mg: int
    touches: int
    verdict: Verdict

    @property
    def seconds(self) -> float:
        """From first on the pan to last off it."""
        return self.t_s - self.placed_s


@dataclass(frozen=True, slots=True)
class PieceKept:
    """The piece counts: it left in band, or out of band and was boarded as it was."""

    piece: Piece


@dataclass(frozen=True, slots=True)
class PieceLifted:
    """The piece left out of band; whether it comes back or was boarded is still open."""

    piece: Piece


class TookFor(Enum):
    """What a piece lifted out of band was taken for."""

    CAME_BACK = "came_back"
    BOARDED = "boarded"


@dataclass(frozen=True, slots=True)
class LiftedTurned:
    """A person turned round what the last lifted piece was taken for.

    Parameters
    ----------
    t_s : float, seconds
    number : int
        The lifted piece.
    took_for : TookFor
        What it is taken for from now on.
    removes : tuple of Piece
        Pieces that had been counted and count no longer.
    adds : tuple of Piece
        Pieces that count instead.
    """

    t_s: float
    number: int
    took_for: TookFor
    removes: tuple[Piece, ...]
    adds: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Voided:
    """A counted piece is struck out; the line that counted it stays.

    Parameters
    ----------
    t_s : float, seconds
    piece : Piece
    reason : str
    """

    t_s: float
    piece: Piece
    reason: str


@dataclass(frozen=True, slots=True)
class TurnLifted:
    """A person asks to turn round what the last lifted piece was taken for."""

    t_s: float


@dataclass(frozen=True, slots=True)
class VoidLast:
    """A person strikes out the last counted piece."""

    t_s: float
    reason: str = "struck out at the bench"


class WhyNot(Enum):
    """Why a load is not counted as a loaf."""

    LIGHT = "light"
    HEAVY = "heavy"
    CHANGED = "changed"


@dataclass(frozen=True, slots=True)
class LoafShown:
    """What lies on the pan where baked loaves are weighed.

    Parameters
    ----------
    t_s : float, seconds
    number : int
        The number this loaf will have if it is counted.
    net_mg : int, milligrams
    firm : bool
    piece : int or None
        The piece of dough that it will be taken for.
    why_not : WhyNot or None
        Why it will not count as it lies there.
    """

    t_s: float
    number: int
    net_mg: int
    firm: bool
    piece: int | None = None
    why_not: WhyNot | None = None


@dataclass(frozen=True, slots=True)
class Loaf:
    """The facts of one baked loaf.

    Parameters
    ----------
    number : int
        In its batch, from 1; never given twice to counted loaves.
    t_s : float, seconds
        When it left the pan.
    baked_mg : int, milligrams
    piece : int or None
        The piece of dough that it was, where somebody marked it.
    """

    number: int
    t_s: float
    baked_mg: int
    piece: int | None = None


@dataclass(frozen=True, slots=True)
class LoafWeighed:
    """The loaf counts."""

    loaf: Loaf


@dataclass(frozen=True, slots=True)
class LoafNotCounted:
    """A load left the pan that is asked about, and does not count.

    Parameters
    ----------
    t_s : float, seconds
    net_mg : int, milligrams
    why : WhyNot
    raw_mg : int, milligrams
        The piece of dough that it was held against.
    piece : int or None
        Which one that is, where it was marked.
    """

    t_s: float
    net_mg: int
    why: WhyNot
    raw_mg: int
    piece: int | None = None


@dataclass(frozen=True, slots=True)
class LoafVoided:
    """A counted loaf is struck out; the line that counted it stays.

    Parameters
    ----------
    t_s : float, seconds
    loaf : Loaf
    reason : str
    """

    t_s: float
    loaf: Loaf
    reason: str


Detected = Weighing | PanLeft
Command = TurnLifted | VoidLast
Outcome = Cue | PieceKept | PieceLifted | LiftedTurned | Voided
LoafOutcome = LoafShown | LoafWeighed | LoafNotCounted | LoafVoided
