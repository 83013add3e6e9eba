"""The last piece lifted out of band, and what the batch has taught about such pieces."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.evaluate.guess import Question, guess, is_slight
from weighstation.evaluate.habits import Belief, Habits
from weighstation.evaluate.lifted import Lift, LiftedDecision, turned
from weighstation.events import TookFor
from weighstation.specification import LiftedPolicy

if TYPE_CHECKING:
    from weighstation.evaluate.guess import House
    from weighstation.events import LiftedTurned, Piece
    from weighstation.specification import Limits


class Settler:
    """Follow the last lifted piece from its lifting to what it was taken for, and back.

    Parameters
    ----------
    limits : Limits
    policy : LiftedPolicy
    house : House
    """

    def __init__(self, limits: Limits, policy: LiftedPolicy, house: House) -> None:
        self._limits = limits
        self._policy = policy
        self._house = house
        self._habits = Habits()
        self._lift: Lift | None = None

    @property
    def waiting(self) -> Lift | None:
        """The lift that the next load may continue, or None."""
        return self._lift if self._lift and self._lift.waits else None

    @property
    def back(self) -> Lift | None:
        """The lift that the load on the pan is settled to continue, or None."""
        return self._lift if self._lift and self._lift.continues else None

    @property
    def decision(self) -> LiftedDecision | None:
        """What the last lift was taken for, while it can be turned round."""
        if self._lift is None:
            return None
        piece = self._lift.piece
        error_mg = piece.final_mg - self._limits.target_mg
        return LiftedDecision(piece.number, error_mg, self._lift.took_for)

    def belief(self, first_mg: int, gap_from_s: float, division_mg: int) -> Belief:
        """Return how sure it is that the load on the pan is the waiting piece.

        Parameters
        ----------
        first_mg : int, milligrams
            The load as it first came to rest.
        gap_from_s : float, seconds
            When it came.
        division_mg : int, milligrams

        Returns
        -------
        Belief
        """
        if self._lift is None or self._policy is LiftedPolicy.BACK:
            return Belief(1.0, None, is_slight=False)
        piece = self._lift.piece
        question = Question(piece, first_mg, gap_from_s - piece.t_s, division_mg)
        return guess(question, self._limits, self._habits, self._house)

    def decided(self, belief: Belief) -> Piece | None:
        """Settle the waiting piece, and return it if it was boarded and so counts.

        Parameters
        ----------
        belief : Belief

        Returns
        -------
        Piece or None
        """
        if self._lift is None:
            return None
        took_for = TookFor.CAME_BACK if belief.is_back else TookFor.BOARDED
        self._lift = replace(self._lift, took_for=took_for, met=True, belief=belief)
        self._habits = self._habits.believed(belief)
        return None if belief.is_back else self._lift.piece

    def met(self) -> None:
        """Note that the next load lies on the pan, where it is settled already what that means."""
        if self._lift and not self._lift.met and self._lift.took_for is not None:
            self._lift = replace(self._lift, met=True)

    def missed(self) -> None:
        """Note that what lay on the pan was no piece, so that the next load is still to come."""
        if self._lift and self._lift.on_pan:
            self._lift = replace(self._lift, met=False)

    def lifted(self, piece: Piece, bits: int, took_for: TookFor | None = None) -> None:
        """Note that a piece left out of band; it is the last lifted one from now on.

        Parameters
        ----------
        piece : Piece
        bits : int
            Extra bits that had gone onto it.
        took_for : TookFor or None
            None if that is open.
        """
        self._lift = Lift(piece, bits, took_for)

    def followed(self, fresh: Piece) -> None:
        """Note that the load that came next has left and counts.

        Parameters
        ----------
        fresh : Piece
            It as a piece of its own; number 0 if it was counted as the lifted one.
        """
        if self._lift and self._lift.on_pan:
            self._lift = replace(self._lift, fresh=fresh)

    def counted(self, number: int) -> None:
        """Note that a piece counts; so many pieces after a decision it can no longer be turned.

        Parameters
        ----------
        number : int
        """
        lift = self._lift
        if lift is None or lift.took_for is None or number == lift.piece.number:
            return
        self._lift = replace(lift, counted_since=lift.counted_since + 1)
        if lift.fresh and self._lift.counted_since >= self._house.turn_pieces:
            self._lift = None

    def needs_number(self) -> bool:
        """Say whether turning would count a piece that has no number yet."""
        fresh = self._lift.fresh if self._lift else None
        return fresh is not None and not fresh.number

    def turned(self, t_s: float, number: int, *, on_pan: bool) -> LiftedTurned | None:
        """Turn round what the last lifted piece was taken for.

        Parameters
        ----------
        t_s : float, seconds
        number : int
            For the piece that has none yet.
        on_pan : bool
            The next load lies on the pan.

        Returns
        -------
        LiftedTurned or None
            None if there is nothing to turn.
        """
        if self._lift is None:
            return None
        lift = replace(self._lift, met=True) if on_pan else self._lift
        if lift.fresh and not lift.fresh.number:
            lift = replace(lift, fresh=replace(lift.fresh, number=number))
        lift, outcome = turned(lift, t_s)
        self._learn(lift)
        return outcome

    def _learn(self, lift: Lift) -> None:
        """Take back what was believed, and take in what the person said."""
        is_back = lift.took_for is TookFor.CAME_BACK
        gap_s = lift.belief.gap_s if lift.belief else None
        said = Belief(float(is_back), gap_s, is_slight(lift.piece.final_mg, self._limits))
        self._habits = self._habits.believed(lift.belief, -1.0).believed(said)
        self._lift = replace(lift, belief=said)
        if lift.fresh:
            self.cut(lift.fresh.first_mg, -1.0 if is_back else 1.0)

    def struck_out(self, number: int) -> None:
        """Note that a counted piece was struck out; a decision about it can no longer be turned.

        Parameters
        ----------
        number : int
        """
        if self._lift and number in self._lift.numbers:
            self._lift = None

    def cut(self, first_mg: int, weight: float = 1.0) -> None:
        """Learn from a first cut, or with weight -1 forget it.

        Parameters
        ----------
        first_mg : int, milligrams
        weight : float
        """
        self._habits = self._habits.cut(first_mg - self._limits.target_mg, weight)

    def fetched(self, gap_s: float) -> None:
        """Learn from the gap between a kept piece and the next; a break teaches nothing.

        Parameters
        ----------
        gap_s : float, seconds
        """
        if gap_s <= self._house.return_s:
            self._habits = self._habits.fetched(gap_s)
