"""The facts that the record is made of, as integers and words."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.events import Piece, Verdict
    from weighstation.specification import Guard, LiftedPolicy, Limits, Product, Way


class Why(Enum):
    """How a run came to its end."""

    DONE = "done"
    INTERRUPTED = "interrupted"


@dataclass(frozen=True, slots=True)
class LastCheck:
    """The last check of a scale, as a run knows it.

    Parameters
    ----------
    line : int
        Number of its line.
    t_utc_ms : int, milliseconds since 1970
    is_fit : bool
    """

    line: int
    t_utc_ms: int
    is_fit: bool


@dataclass(frozen=True, slots=True)
class RunStarted:
    """All that was promised before the first piece of a run.

    Parameters
    ----------
    run : str
        Its identity; given by the caller, never used twice in a journal.
    product : Product
        With the band that its pieces are cued against.
    way : Way
    lifted : LiftedPolicy
    scale : str
        URL of the port.
    software : str
        Version of this program.
    division_mg : int, milligrams, or None
        The scale interval d, where it is known already.
    currency : str
        Of ``product.dough_cost_per_kg``; empty where there is none.
    continues : str
        The interrupted run that this one goes on with; empty where there is none.
    planned : int or None
        Pieces wanted.
    dough_mg : int, milligrams, or None
        On the bench when dividing began, where it was weighed.
    scale_identity : str
        Who the scale is, whatever its port is called; empty in runs of older versions.
    last_check : LastCheck or None
        Of this scale; None where none is on record.
    guard : Guard or None
        How the band was drawn in; None where it is as promised.
    clock_utc_ms : int, milliseconds since 1970, or None
        UTC of 0 on the run's own clock; None in runs of older versions.
    mixed_utc_ms : int, milliseconds since 1970, or None
        When this dough was mixed; None where nobody said.
    person : str
        Initials of who divides; empty where nobody said.
    began_utc_ms : int, milliseconds since 1970, or None
        When what the run tells of began, where its lines were written later; else None.
    batch : str
        What the bakery itself calls this batch; empty where nobody said.
    """

    run: str
    product: Product
    way: Way
    lifted: LiftedPolicy
    scale: str
    software: str
    division_mg: int | None = None
    currency: str = ""
    continues: str = ""
    planned: int | None = None
    dough_mg: int | None = None
    scale_identity: str = ""
    last_check: LastCheck | None = None
    guard: Guard | None = None
    clock_utc_ms: int | None = None
    mixed_utc_ms: int | None = None
    person: str = ""
    began_utc_ms: int | None = None
    batch: str = ""

    @property
    def promised_limits(self) -> Limits:
        """The band as it was before it was drawn in."""
        limits = self.product.limits
        return limits if self.guard is None else self.guard.widened(limits)


@dataclass(frozen=True, slots=True)
class PieceFacts:
    """One piece as it stands on the record.

    Parameters
    ----------
    number : int
    first_mg : int, milligrams, or None
        As first cut; None where nobody said, as of many pieces entered from a file.
    final_mg : int, milligrams
    touches : int or None
        None where nobody said.
    ms : int, milliseconds, or None
        From first on the pan to last off it; None where no scale saw it.
    placed_ms : int, milliseconds
        When it came onto the pan, on the run's own clock.
    verdict : Verdict
        As it left.
    dough_age_ms : int, milliseconds, or None
        From the first cut of this dough to ``placed_ms``; None where nobody said.
    """

    number: int
    first_mg: int | None
    final_mg: int
    touches: int | None
    ms: int | None
    placed_ms: int
    verdict: Verdict
    dough_age_ms: int | None

    @property
    def off_ms(self) -> int:
        """When it left the pan in milliseconds; when it came, where no scale saw it leave."""
        return self.placed_ms + (self.ms or 0)


def facts(piece: Piece, *, dough_t_s: float) -> PieceFacts:
    """Return a piece as it goes on the record.

    Parameters
    ----------
    piece : Piece
    dough_t_s : float, seconds
        When this dough was first cut, on the same clock as the piece; negative where that was
        before the run.

    Returns
    -------
    PieceFacts
    """
    return PieceFacts(
        number=piece.number,
        first_mg=piece.first_mg,
        final_mg=piece.final_mg,
        touches=piece.touches,
        ms=round(piece.seconds * 1000),
        placed_ms=round(piece.placed_s * 1000),
        verdict=piece.verdict,
        dough_age_ms=max(0, round((piece.placed_s - dough_t_s) * 1000)),
    )
