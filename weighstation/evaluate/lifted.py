"""The last piece lifted out of band: what it was taken for, and the arithmetic of turning that."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weighstation.events import LiftedTurned, TookFor, Verdict

if TYPE_CHECKING:
    from weighstation.evaluate.habits import Belief
    from weighstation.events import Piece


@dataclass(frozen=True, slots=True)
class LiftedDecision:
    """What the panel says of the last piece lifted out of band.

    Parameters
    ----------
    number : int
    error_mg : int, milligrams
        Net minus scaling weight as it was lifted.
    took_for : TookFor or None
        None while it is still open.
    """

    number: int
    error_mg: int
    took_for: TookFor | None


@dataclass(frozen=True, slots=True)
class Lift:
    """A piece lifted out of band and what followed.

    Parameters
    ----------
    piece : Piece
        As it was lifted.
    bits : int
        Extra bits that had gone on it.
    took_for : TookFor or None
        None while nothing has decided it.
    met : bool
        The next load has come, and it was settled whether it is this piece.
    fresh : Piece or None
        The next load as a piece of its own, once it has left and counts; its number is 0 until it
        needs one.
    belief : Belief or None
        How sure the decision was; None if nobody had to guess.
    counted_since : int
        Other pieces that were counted after the decision.
    """

    piece: Piece
    bits: int
    took_for: TookFor | None = None
    met: bool = False
    fresh: Piece | None = None
    belief: Belief | None = None
    counted_since: int = 0

    @property
    def on_pan(self) -> bool:
        """The load that came next still lies on the pan."""
        return self.met and self.fresh is None

    @property
    def continues(self) -> bool:
        """The load on the pan is this piece, brought back."""
        return self.on_pan and self.took_for is TookFor.CAME_BACK

    @property
    def waits(self) -> bool:
        """The next load may be this piece, or is said to be."""
        return not self.met and self.took_for is not TookFor.BOARDED

    @property
    def numbers(self) -> tuple[int, ...]:
        """Numbers that are counted by this decision."""
        fresh = (self.fresh.number,) if self.fresh else ()
        return (self.piece.number, *fresh)

    def bits_if_back(self, first_mg: int) -> int:
        """Return the extra bits on it if it came back so heavy; one added off the pan is one.

        Parameters
        ----------
        first_mg : int, milligrams
            The next load, as it first came to rest.

        Returns
        -------
        int
        """
        added = self.piece.verdict is Verdict.ADD and first_mg > self.piece.final_mg
        return self.bits + added


def joined(piece: Piece, fresh: Piece) -> Piece:
    """Return a lifted piece and the piece it came back as, as one.

    Parameters
    ----------
    piece : Piece
        As it was lifted.
    fresh : Piece
        As it left the next time.

    Returns
    -------
    Piece
        Number, first weight and arrival of the one, the rest of the other; the correction made
        off the pan counts as one touch.
    """
    return replace(
        fresh,
        number=piece.number,
        placed_s=piece.placed_s,
        first_mg=piece.first_mg,
        touches=piece.touches + 1 + fresh.touches,
    )


def turned(lift: Lift, t_s: float) -> tuple[Lift, LiftedTurned]:
    """Return a lift taken for the other thing, and what that does to the counted pieces.

    Parameters
    ----------
    lift : Lift
        A piece that is still open turns to boarded.
    t_s : float, seconds
        When a person asked for it.

    Returns
    -------
    Lift
    LiftedTurned
        Turned twice, what the second removes is what the first added, and the other way round.
    """
    apart: tuple[Piece, ...] = (lift.piece, lift.fresh) if lift.fresh else (lift.piece,)
    whole: tuple[Piece, ...] = (joined(lift.piece, lift.fresh),) if lift.fresh else ()
    if lift.took_for is TookFor.BOARDED:
        took_for, removes, adds = TookFor.CAME_BACK, apart, whole
    else:
        took_for, removes, adds = TookFor.BOARDED, whole, apart
    outcome = LiftedTurned(t_s, lift.piece.number, took_for, removes, adds)
    return replace(lift, took_for=took_for, counted_since=0), outcome
