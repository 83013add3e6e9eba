"""Dough on hand = counted + left + loss: what is missing from that sum betrays a wrong guess.

A piece that was boarded but taken for one that came back is missing from the count; a piece that
came back but was taken for boarded is counted twice. Either way the sum is out by about one piece.
The sum sees it only if loss and rest are known to well within a piece, and a wrong guess of each
kind in the same batch hide each other.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Balance(Enum):
    """How the dough of a batch adds up."""

    AGREES = "agrees"
    LEFT_OR_LOST = "left over or lost"
    PIECES_MISSING = "pieces missing"
    PIECES_TOO_MANY = "pieces too many"
    UNEXPLAINED = "unexplained"


@dataclass(frozen=True, slots=True)
class DoughSum:
    """What is known of the dough of one batch.

    Parameters
    ----------
    on_hand_mg : int, milligrams
        Before dividing.
    counted_mg : int, milligrams
        Sum of the counted pieces.
    left_mg : int, milligrams, or None
        Weighed back at the end: rest, scraps, pieces put aside; None if nobody said.
    loss_mg : int, milligrams
        What handling is expected to cost.
    target_mg : int, milligrams
        Scaling weight, positive.
    """

    on_hand_mg: int
    counted_mg: int
    left_mg: int | None
    loss_mg: int
    target_mg: int

    @property
    def unaccounted_mg(self) -> int:
        """Dough on hand less counted, left and lost; negative if too much was counted."""
        return self.on_hand_mg - self.counted_mg - (self.left_mg or 0) - self.loss_mg


@dataclass(frozen=True, slots=True)
class DoughBalance:
    """Whether the dough of a batch adds up.

    Parameters
    ----------
    balance : Balance
    unaccounted_mg : int, milligrams
        Sign kept; positive when something was not counted.
    pieces : int
        How many pieces explain it, sign kept; 0 if it agrees or no whole number does.
    """

    balance: Balance
    unaccounted_mg: int
    pieces: int

    @property
    def agrees(self) -> bool:
        """No piece is missing and none is too many."""
        return self.balance is Balance.AGREES


def dough_balance(dough: DoughSum, *, slack_mg: int | None = None) -> DoughBalance:
    """Return whether the dough of a batch adds up, and by how many pieces it does not.

    Where nobody weighed what was left, a rest below a piece is left over or lost, and of a larger
    one the whole pieces in it may be missing.

    Parameters
    ----------
    dough : DoughSum
    slack_mg : int, milligrams, or None
        How far the sum may be out and still agree, or be explained by whole pieces; None is a
        quarter of the scaling weight (house figure).

    Returns
    -------
    DoughBalance

    Examples
    --------
    >>> one_short = DoughSum(10_000_000, 7_400_000, 1_850_000, 0, target_mg=740_000)
    >>> found = dough_balance(one_short)
    >>> found.balance.value, found.unaccounted_mg, found.pieces
    ('pieces missing', 750000, 1)
    """
    slack = dough.target_mg // 4 if slack_mg is None else slack_mg
    out_mg = dough.unaccounted_mg
    if abs(out_mg) <= slack:
        return DoughBalance(Balance.AGREES, out_mg, 0)
    if dough.left_mg is None and out_mg > 0:
        whole = out_mg // dough.target_mg
        found = Balance.PIECES_MISSING if whole else Balance.LEFT_OR_LOST
        return DoughBalance(found, out_mg, whole)
    pieces = round(out_mg / dough.target_mg)
    if pieces == 0 or abs(out_mg - pieces * dough.target_mg) > slack:
        return DoughBalance(Balance.UNEXPLAINED, out_mg, 0)
    found = Balance.PIECES_MISSING if pieces > 0 else Balance.PIECES_TOO_MANY
    return DoughBalance(found, out_mg, pieces)
