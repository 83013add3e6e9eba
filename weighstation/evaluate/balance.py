"""Dough on hand = counted + left + loss: what is missing from that sum betrays a wrong guess."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Balance(Enum):
    """How the dough of a batch adds up."""

    AGREES = "agrees"
    ONE_TOO_MANY = "one too many"
    ONE_MISSING = "one missing"
    DISAGREES = "disagrees"


@dataclass(frozen=True, slots=True)
class DoughBalance:
    """The dough of one batch, from the bowl to the boards.

    Parameters
    ----------
    unaccounted_mg : int, milligrams
        Dough on hand less counted, left and lost; negative when more was counted than there was.
    pieces : float
        The same in pieces of the scaling weight, sign kept.
    balance : Balance
        ONE_MISSING when about one piece too few was counted (a boarded piece taken for one that
        came back), ONE_TOO_MANY when about one too many (the other way round).
    """

    unaccounted_mg: int
    pieces: float
    balance: Balance

    @property
    def agrees(self) -> bool:
        """No piece is missing and none is too many."""
        return self.balance is Balance.AGREES


@dataclass(frozen=True, slots=True)
class DoughSum:
    """What is known of the dough of one batch.

    Parameters
    ----------
    on_hand_mg : int, milligrams
        Before dividing.
    counted_mg : int, milligrams
        Sum of the counted pieces.
    left_mg : int, milligrams
        Weighed back at the end: rest, scraps, pieces put aside.
    loss_mg : int, milligrams
        What handling is expected to cost.
    target_mg : int, milligrams
        Scaling weight.
    """

    on_hand_mg: int
    counted_mg: int
    left_mg: int
    loss_mg: int
    target_mg: int


def dough_balance(dough: DoughSum, *, slack_mg: int | None = None) -> DoughBalance:
    """Return whether the dough of a batch adds up.

    Parameters
    ----------
    dough : DoughSum
    slack_mg : int, milligrams, or None
        How far the sum may be out and still agree; None is half the scaling weight, beyond which
        a missing piece explains it better than no missing piece.

    Returns
    -------
    DoughBalance
    """
    unaccounted_mg = dough.on_hand_mg - dough.counted_mg - dough.left_mg - dough.loss_mg
    pieces = unaccounted_mg / dough.target_mg
    allowed_mg = dough.target_mg / 2 if slack_mg is None else slack_mg
    return DoughBalance(unaccounted_mg, pieces, _named(unaccounted_mg, pieces, allowed_mg))


def _named(unaccounted_mg: int, pieces: float, allowed_mg: float) -> Balance:
    if abs(unaccounted_mg) <= allowed_mg:
        return Balance.AGREES
    if round(abs(pieces)) > 1:
        return Balance.DISAGREES
    return Balance.ONE_MISSING if pieces > 0 else Balance.ONE_TOO_MANY
