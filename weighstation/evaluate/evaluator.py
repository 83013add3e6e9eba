"""The evaluator: weighings and leavings in; cues, counted pieces and decisions out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.errors import SequenceError
from weighstation.evaluate import load as loads
from weighstation.evaluate.counted import Counted
from weighstation.evaluate.guess import Habits, House, Question, guess
from weighstation.evaluate.lifted import Lift, LiftedDecision, joined, turned
from weighstation.evaluate.states import Move, State, next_state
from weighstation.evaluate.verdict import MOST_EXTRA_BITS, judge
from weighstation.events import (
    Cue,
    DivisionLearned,
    PanLeft,
    Piece,
    PieceKept,
    PieceLifted,
    TookFor,
    TurnLifted,
    Verdict,
    VoidLast,
    Weighing,
)
from weighstation.specification import LiftedPolicy

if TYPE_CHECKING:
    from weighstation.evaluate.load import Load, Stay
    from weighstation.events import Outcome
    from weighstation.specification import Limits


class Evaluator:
    """Tell keep, add or trim; number the pieces; settle the piece lifted out of band.

    Parameters
    ----------
    limits : Limits
    lifted : LiftedPolicy
        What a piece lifted out of band is taken for.
    next_number : int
        Number of the first piece; more than 1 when a batch goes on.
    division_mg : int, milligrams, or None
        The scale interval, if it is known already.
    house : House
        House figures of the guess.
    """

    def __init__(
        self,
        limits: Limits,
        *,
        lifted: LiftedPolicy = LiftedPolicy.GUESS,
        next_number: int = 1,
        division_mg: int | None = None,
        house: House | None = None,
    ) -> None:
        self._limits = limits
        self._policy = lifted
        self._next_number = next_number
        self._division_mg = division_mg or 1
        self._house = house or House()
        self._state = State.IDLE
        self._last_visit = 0
        self._load: Load | None = None
        self._departures = 0
        self._weighing: Weighing | None = None
        self._cue: Cue | None = None
        self._lift: Lift | None = None
        self._counted = Counted()
        self._habits = Habits()

    @property
    def open_lifted(self) -> Piece | None:
        """The piece lifted out of band that neither counts nor lies on the pan, or None."""
        return self._lift.piece if self._lift and self._lift.waits else None

    @property
    def last_decision(self) -> LiftedDecision | None:
        """What the last lifted piece was taken for, while that can be turned round, or None."""
        if self._lift is None:
            return None
        piece = self._lift.piece
        error_mg = piece.final_mg - self._limits.target_mg
        return LiftedDecision(piece.number, error_mg, self._lift.took_for)

    def feed(
        self, item: Weighing | PanLeft | TurnLifted | VoidLast | DivisionLearned
    ) -> tuple[Outcome, ...]:
        """Take one event in.

        Parameters
        ----------
        item : Weighing, PanLeft, TurnLifted, VoidLast or DivisionLearned

        Returns
        -------
        tuple of Outcome
            What follows from it, in the order it is to be said and kept.

        Raises
        ------
        SequenceError
            If the event cannot follow; nothing is taken in after that.
        """
        if self._state is State.FAULTED:
            raise SequenceError("The evaluator has stopped.", hint="Start the batch again.")
        return tuple(self._taken(item))

    def finish(self, t_s: float) -> tuple[Outcome, ...]:
        """End the batch: a load that never left is no piece, an open piece stays open.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        tuple of Outcome
        """
        del t_s
        return ()

    def _taken(self, item: object) -> list[Outcome]:
        match item:
            case Weighing():
                return self._weighed(item)
            case PanLeft():
                return self._left(item)
            case TurnLifted():
                return self._turned(item)
            case VoidLast():
                return self._voided(item)
            case DivisionLearned():
                self._division_mg = item.division_mg
                return []
        raise SequenceError(f"An evaluator cannot take {item!r}.")

    def _go(self, move: Move) -> None:
        try:
            self._state = next_state(self._state, move)
        except SequenceError:
            self._state = State.FAULTED
            raise

    # ---- a load on the pan

    def _weighed(self, now: Weighing) -> list[Outcome]:
        if self._load is None:
            load = loads.arrived(now)
            self._arrived(now.visit, load)
        else:
            self._must_be_on_pan(now.visit)
            self._go(Move.WEIGHED)
            load = loads.weighed(self._load, now)
        self._load, self._weighing = load, now
        outcomes = self._settled(self._stay(load)) if now.firm else []
        return [*outcomes, *self._told(now.t_s)]

    def _arrived(self, visit: int, load: Load) -> None:
        if visit <= self._last_visit:
            self._fault(f"Load {visit} came after load {self._last_visit}.")
        self._last_visit = visit
        self._load = load
        self._go(Move.LOADED)
        if self._lift is None or self._lift.met:
            return
        if self._lift.took_for is TookFor.CAME_BACK:
            self._go(Move.SETTLED)
        if self._lift.took_for is not None:
            self._lift = replace(self._lift, met=True)

    def _must_be_on_pan(self, visit: int) -> None:
        if visit != self._last_visit:
            self._fault(f"Load {visit} was weighed while load {self._last_visit} lay on the pan.")

    def _fault(self, message: str) -> None:
        self._state = State.FAULTED
        raise SequenceError(message, hint="Start the batch again and report this.")

    def _stay(self, load: Load) -> Stay:
        return loads.stay_of(load, self._limits, division_mg=self._division_mg)

    # ---- which piece it is

    def _settled(self, stay: Stay) -> list[Outcome]:
        """Settle what the load is, as far as it can be: nothing of this is taken back."""
        outcomes = self._departed(stay)
        if stay.alone and self._state is State.DOUBTFUL:
            outcomes += self._decided(stay.first_mg)
        return outcomes

    def _decided(self, first_mg: int) -> list[Outcome]:
        lift = self._open()
        took_for = self._best_guess(lift, first_mg)
        self._go(Move.SETTLED)
        self._lift = replace(lift, took_for=took_for, met=True)
        return [self._count(lift.piece)] if took_for is TookFor.BOARDED else []

    def _best_guess(self, lift: Lift, first_mg: int) -> TookFor:
        if self._policy is LiftedPolicy.BACK or self._load is None:
            return TookFor.CAME_BACK
        gap_s = self._load.arrived_s - lift.piece.t_s
        question = Question(lift.piece, first_mg, gap_s, self._division_mg)
        return guess(question, self._limits, self._habits, self._house)

    def _open(self) -> Lift:
        if self._lift is None:
            raise SequenceError(f"No piece is open while {self._state.value}.")
        return self._lift

    def _is_lifted(self, stay: Stay) -> bool:
        """Say whether the load is taken for the lifted piece, as far as is known now."""
        if self._lift is None:
            return False
        if self._state is State.DOUBTFUL and stay.known:
            return self._best_guess(self._lift, stay.first_mg) is TookFor.CAME_BACK
        return self._lift.continues

    # ---- what the person is told

    def _told(self, t_s: float) -> list[Outcome]:
        if self._load is None or self._weighing is None:
            return []
        cue = self._cue_for(self._weighing, self._stay(self._load), t_s)
        if self._cue is not None and not self._differs(cue, self._cue):
            return []
        self._cue = cue
        return [cue]

    def _differs(self, cue: Cue, before: Cue) -> bool:
        changed_mg = abs(cue.net_mg - before.net_mg)
        same = replace(cue, t_s=before.t_s, net_mg=before.net_mg, error_mg=before.error_mg)
        return same != before or changed_mg >= self._division_mg

    def _cue_for(self, now: Weighing, stay: Stay, t_s: float) -> Cue:
        back = self._lift if self._is_lifted(stay) else None
        return Cue(
            t_s=t_s,
            piece=back.piece.number if back else self._next_number,
            touch=now.touch,
            net_mg=now.net_mg,
            verdict=judge(now.net_mg, self._limits),
            error_mg=now.net_mg - self._limits.target_mg,
            firm=now.firm,
            cut_again=self._bits(stay, back) > MOST_EXTRA_BITS,
        )

    @staticmethod
    def _bits(stay: Stay, back: Lift | None) -> int:
        return stay.bits + (back.bits_if_back(stay.first_mg) if back else 0)

    # ---- a load that left

    def _left(self, gone: PanLeft) -> list[Outcome]:
        load = loads.left(self._load, gone)
        if self._load is None:
            self._arrived(gone.visit, load)
        self._must_be_on_pan(gone.visit)
        stay = self._stay(load)
        outcomes = self._settled(stay)
        if stay.alone:
            placed_s = gone.placed_s if stay.came_s is None else stay.came_s
            outcomes.append(self._gone(stay, placed_s, gone.t_s))
        else:
            outcomes.append(self._dropped(gone))
        self._forget_load()
        return outcomes

    def _forget_load(self) -> None:
        self._load = self._weighing = self._cue = None
        self._departures = 0

    def _gone(self, stay: Stay, placed_s: float, t_s: float) -> Outcome:
        piece = self._piece(stay, placed_s, t_s)
        if piece.verdict is Verdict.KEEP or self._policy is LiftedPolicy.BOARDED:
            return self._kept(piece, stay)
        back = self._lift if self._is_lifted(stay) else None
        whole = joined(back.piece, piece) if back else self._numbered(piece)
        self._learn_cut(piece, fresh=back is None)
        self._lift = Lift(whole, self._bits(stay, back))
        self._go(Move.LIFTED)
        return PieceLifted(whole)

    def _kept(self, piece: Piece, stay: Stay) -> Outcome:
        back = self._lift if self._is_lifted(stay) else None
        fresh = piece if back else self._numbered(piece)
        whole = joined(back.piece, fresh) if back else fresh
        self._learn_cut(piece, fresh=back is None)
        if self._lift and self._lift.on_pan:
            self._lift = replace(self._lift, fresh=fresh)
        if whole.verdict is not Verdict.KEEP:
            self._lift = Lift(whole, self._bits(stay, back), TookFor.BOARDED)
        self._emptied(Move.KEPT)
        return self._count(whole)

    def _dropped(self, gone: PanLeft) -> Outcome:
        """Say that more than one piece left at once: no piece, and its number stays free."""
        if self._lift and self._lift.on_pan:
            self._lift = replace(self._lift, met=False)
        self._emptied(Move.DROPPED)
        return PieceLifted(
            Piece(
                number=self._next_number,
                t_s=gone.t_s,
                placed_s=gone.placed_s,
                first_mg=gone.first_mg,
                final_mg=gone.final_mg,
                touches=gone.touches,
                verdict=Verdict.ONE_AT_A_TIME,
            )
        )

    def _departed(self, stay: Stay) -> list[Outcome]:
        """Count the pieces that were taken off from beside the one on the pan."""
        outcomes: list[Outcome] = []
        for gone in stay.departed[self._departures :]:
            self._departures += 1
            if self._state is State.DOUBTFUL:
                outcomes += self._decided(gone.first_mg)
            outcomes.append(self._swapped(gone))
        return outcomes

    def _swapped(self, gone: Stay) -> Outcome:
        arrived_s = self._load.arrived_s if self._load else 0.0
        placed_s = arrived_s if gone.came_s is None else gone.came_s
        left_s = placed_s if gone.left_s is None else gone.left_s
        outcome = self._kept(self._piece(gone, placed_s, left_s), gone)
        if self._state is State.LIFTED_OPEN:
            self._go(Move.LOADED)
            self._go(Move.SETTLED)
        else:
            self._go(Move.LOADED)
        return outcome

    def _emptied(self, move: Move) -> None:
        self._go(move)
        self._reopen()

    def _reopen(self) -> None:
        if self._lift and self._lift.waits and self._state is State.IDLE:
            self._go(Move.REOPENED)

    def _piece(self, stay: Stay, placed_s: float, t_s: float) -> Piece:
        return Piece(
            number=0,
            t_s=t_s,
            placed_s=placed_s,
            first_mg=stay.first_mg,
            final_mg=stay.last_mg,
            touches=stay.touches,
            verdict=judge(stay.last_mg, self._limits),
        )

    def _numbered(self, piece: Piece) -> Piece:
        number = self._next_number
        self._next_number += 1
        return replace(piece, number=number)

    def _count(self, piece: Piece) -> PieceKept:
        kept = PieceKept(piece)
        self._counted.note(kept)
        return kept

    def _learn_cut(self, piece: Piece, *, fresh: bool, times: int = 1) -> None:
        if fresh:
            error_mg = piece.first_mg - self._limits.target_mg
            self._habits = self._habits.cut(error_mg, times)

    # ---- what a person asks for

    def _turned(self, ask: TurnLifted) -> list[Outcome]:
        lift = self._lift
        if lift is None:
            return []
        if self._state is State.DOUBTFUL:
            self._go(Move.SETTLED)
            lift = replace(lift, met=True)
        if lift.fresh and not lift.fresh.number:
            lift = replace(lift, fresh=self._numbered(lift.fresh))
        self._lift, outcome = turned(lift, ask.t_s)
        self._counted.note(outcome)
        self._learn_turn(self._lift)
        if self._state is State.LIFTED_OPEN and not self._lift.waits:
            self._go(Move.SETTLED)
        self._reopen()
        return [outcome, *self._told(ask.t_s)]

    def _learn_turn(self, lift: Lift) -> None:
        boarded = lift.took_for is TookFor.BOARDED
        self._habits = self._habits.turned(TookFor.BOARDED if boarded else TookFor.CAME_BACK)
        if lift.fresh:
            self._learn_cut(lift.fresh, fresh=True, times=1 if boarded else -1)

    def _voided(self, ask: VoidLast) -> list[Outcome]:
        voided = self._counted.struck_out(ask)
        if voided is None:
            return []
        self._counted.note(voided)
        if self._lift and voided.piece.number in _numbers(self._lift):
            self._lift = None
        return [voided]


def _numbers(lift: Lift) -> tuple[int, ...]:
    return (lift.piece.number, lift.fresh.number) if lift.fresh else (lift.piece.number,)
