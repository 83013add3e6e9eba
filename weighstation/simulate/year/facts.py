"""What happens in a simulated year, as frozen facts; ``t_utc_ms`` is when each was written down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.journal.facts import PieceFacts
    from weighstation.specification import Product


@dataclass(frozen=True, slots=True)
class RunBegan:
    """A person begins to divide a dough.

    Parameters
    ----------
    t_utc_ms : int, milliseconds since 1970
        UTC of 0 on the run's own clock, too.
    run : str
        Its identity; never used twice in a year.
    product : Product
    person, scale, dough : str
        Names.
    division_mg : int, milligrams
        Of the scale.
    """

    t_utc_ms: int
    run: str
    product: Product
    person: str
    scale: str
    dough: str
    division_mg: int


@dataclass(frozen=True, slots=True)
class PieceWeighed:
    """A piece counts.

    Parameters
    ----------
    t_utc_ms : int, milliseconds since 1970
        When it left the pan.
    run : str
    piece : PieceFacts
    """

    t_utc_ms: int
    run: str
    piece: PieceFacts


@dataclass(frozen=True, slots=True)
class PieceStruckOut:
    """A piece counts no longer: said at the bench while its run was open, or days after it.

    Parameters
    ----------
    t_utc_ms : int, milliseconds since 1970
    run : str
    piece : PieceFacts
    reason : str
    """

    t_utc_ms: int
    run: str
    piece: PieceFacts
    reason: str


@dataclass(frozen=True, slots=True)
class WeightTyped:
    """A weight that somebody typed, of a piece that no scale of ours saw.

    Parameters
    ----------
    t_utc_ms : int, milliseconds since 1970
        When it was typed.
    said_utc_ms : int, milliseconds since 1970
        When it is said to have been weighed.
    product : Product
    person : str
    net_mg : int, milligrams
    """

    t_utc_ms: int
    said_utc_ms: int
    product: Product
    person: str
    net_mg: int


@dataclass(frozen=True, slots=True)
class ScaleTried:
    """A scale was checked with a weight.

    Parameters
    ----------
    t_utc_ms : int, milliseconds since 1970
    scale, person : str
    load_mg, indicated_mg, limit_mg : int, milligrams
    division_mg : int, milligrams
        Of the scale.
    is_fit : bool
    """

    t_utc_ms: int
    scale: str
    person: str
    load_mg: int
    indicated_mg: int
    limit_mg: int
    division_mg: int
    is_fit: bool


@dataclass(frozen=True, slots=True)
class LoafBaked:
    """A baked loaf was weighed.

    Parameters
    ----------
    t_utc_ms : int, milliseconds since 1970
    run : str
        In which it was divided.
    product : Product
    number : int
        In its run, from 1.
    piece : int
        Number of the piece of dough that it was.
    baked_mg : int, milligrams
    scale : str
    out_of_oven_ms : int, milliseconds
        Since it left the oven.
    """

    t_utc_ms: int
    run: str
    product: Product
    number: int
    piece: int
    baked_mg: int
    scale: str
    out_of_oven_ms: int


@dataclass(frozen=True, slots=True)
class RunClosed:
    """A dough is divided.

    Parameters
    ----------
    t_utc_ms : int, milliseconds since 1970
    run : str
    weighed, struck_out : int
        Lines of each kind while it was open.
    """

    t_utc_ms: int
    run: str
    weighed: int
    struck_out: int


YearFact = (
    RunBegan | PieceWeighed | PieceStruckOut | WeightTyped | ScaleTried | LoafBaked | RunClosed
)
