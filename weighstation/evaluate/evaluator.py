"""The evaluator: weighings and leavings in; cues, counted pieces and decisions out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NoReturn

from weighstation.errors import SequenceError
from weighstation.evaluate import load as loads
from weighstation.evaluate.counted import Counted
from weighstation.evaluate.cues import cue_for, is_news
from weighstation.evaluate.guess import House
from weighstation.evaluate.lifted import joined
from weighstation.evaluate.settler import Settler
from weighstation.evaluate.states import Move, State, next_state
from weighstation.evaluate.verdict import judge
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
    from weighstation.evaluate.habits import Belief
    from weighstation.evaluate.lifted import Lift, LiftedDecision
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
    house : House or None
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
        self._state = State.IDLE
        self._settler = Settler(limits, lifted, house or House())
        self._counted = Counted()
        self._load: Load | None = None
        self._weighing: Weighing | None = None
        self._told: Cue | None = None
        self._departures = 0
        self._last_visit = 0
        self._left_s: float | None = None

    @property
    def state(self) -> State:
        """What the evaluator is waiting for."""
        return self._state

    @property
    def numbered(self) -> int:
        """The number of the last piece that has one; 0 before the first."""
        return self._next_number - 1

    @property
    def open_lifted(self) -> Piece | None:
        """The piece lifted out of band that neither counts nor is settled to be on the pan."""
        lift = self._settler.waiting
        return lift.piece if lift else None

    @property
    def last_decision(self) -> LiftedDecision | None:
        """What the last lifted piece was taken for, while that can be turned round, or None."""
        return self._settler.decision

    @property
    def last_counted(self) -> Piece | None:
        """The counted piece that would be struck out now, or None."""
        return self._counted.last

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
            self._fault("Something came before that cannot follow.")
        match item:
            case Weighing():
                return tuple(self._weighed(item))
            case PanLeft():
                return tuple(self._left(item))
            case TurnLifted():
                return tuple(self._turned(item))
            case VoidLast():
                return tuple(self._struck_out(item))
            case DivisionLearned():
                self._division_mg = item.division_mg
                return ()

    def finish(self, t_s: float) -> tuple[Outcome, ...]:
        """End the batch: a load that never left is no piece, an open piece stays open.

        Parameters
        ----------
        t_s : float, seconds
            When the batch ended.

        Returns
        -------
        tuple of Outcome
            Empty: what has not been settled by now is for a person to say.
        """
        self.forget_load(t_s)
        return ()

    def forget_load(self, t_s: float) -> None:
        """Forget the load on the pan, whose leaving will not be seen; it is no piece.

        To be called before weighing goes on after a pause or a lost link.

        Parameters
        ----------
        t_s : float, seconds
        """
        if self._load is not None:
            self._emptied(Move.DROPPED)
            self._forget(t_s)

    def _go(self, move: Move) -> None:
        try:
            self._state = next_state(self._state, move)
        except SequenceError:
            self._state = State.FAULTED
            raise

    def _fault(self, message: str) -> NoReturn:
        self._state = State.FAULTED
        raise SequenceError(message, hint="Start the batch again and report this.")

    # A load on the pan.

    def _weighed(self, now: Weighing) -> list[Outcome]:
        if self._load is None:
            load = loads.arrived(now)
            self._arrived(load)
        else:
            self._must_be_on_pan(now.visit)
            self._go(Move.WEIGHED)
            load = loads.weighed(self._load, now)
        self._load, self._weighing = load, now
        outcomes = self._settled(self._stay(load)) if now.firm else []
        return [*outcomes, *self._cued(now.t_s)]

    def _arrived(self, load: Load) -> None:
        if load.visit <= self._last_visit:
            self._fault(f"Load {load.visit} came after load {self._last_visit}.")
        if self._state is State.IDLE and self._left_s is not None:
            self._settler.fetched(load.arrived_s - self._left_s)
        self._load, self._last_visit = load, load.visit
        self._go(Move.LOADED)
        self._settler.met()
        if self._settler.back:
            self._go(Move.SETTLED)

    def _must_be_on_pan(self, visit: int) -> None:
        if visit != self._last_visit:
            self._fault(f"Load {visit} came while load {self._last_visit} lay on the pan.")

    def _stay(self, load: Load) -> Stay:
        return loads.stay_of(load, self._limits, division_mg=self._division_mg)

    # Which piece it is.

    def _settled(self, stay: Stay) -> list[Outcome]:
        """Settle what the load is, as far as it can be: only a person turns that round."""
        outcomes = self._departed(stay)
        if stay.alone:
            outcomes += self._decided(stay.first_mg)
        return outcomes

    def _decided(self, first_mg: int) -> list[Outcome]:
        if self._state is not State.DOUBTFUL:
            return []
        self._go(Move.SETTLED)
        boarded = self._settler.decided(self._belief(first_mg))
        return [self._count(boarded)] if boarded else []

    def _belief(self, first_mg: int) -> Belief:
        arrived_s = self._load.arrived_s if self._load else 0.0
        return self._settler.belief(first_mg, arrived_s, self._division_mg)

    def _back(self, stay: Stay) -> Lift | None:
        """Return the lifted piece that the load is taken for, as far as is known now."""
        if len(stay.departed) > self._departures:
            return None
        if self._state is State.DOUBTFUL and stay.known:
            return self._settler.waiting if self._belief(stay.first_mg).is_back else None
        return self._settler.back

    def _departed(self, stay: Stay) -> list[Outcome]:
        """Count the pieces that were taken off from beside the one on the pan."""
        outcomes: list[Outcome] = []
        for gone in stay.departed[self._departures :]:
            self._departures += 1
            outcomes += self._decided(gone.first_mg)
            outcomes.append(self._kept(self._piece(gone, gone.left_s or gone.came_s), gone))
            self._go(Move.LOADED)
        return outcomes

    # What the person is told.

    def _cued(self, t_s: float) -> list[Outcome]:
        if self._load is None or self._weighing is None:
            return []
        stay = self._stay(self._load)
        back = self._back(stay)
        number = back.piece.number if back else self._fresh_number(stay)
        now = replace(self._weighing, t_s=t_s)
        cue = cue_for(now, self._limits, number=number, bits=_bits(stay, back))
        if not is_news(cue, self._told, division_mg=self._division_mg):
            return []
        self._told = cue
        return [cue]

    def _fresh_number(self, stay: Stay) -> int:
        """Return the number of a first cut; a piece still to be counted before it takes one."""
        if len(stay.departed) > self._departures and not self._settler.back:
            return self._next_number + 1
        return self._next_number

    # A load that left.

    def _left(self, gone: PanLeft) -> list[Outcome]:
        load = loads.left(self._load, gone)
        if self._load is None:
            self._arrived(load)
        self._must_be_on_pan(gone.visit)
        self._load = load
        stay = self._stay(load)
        outcomes = self._settled(stay)
        outcomes.append(self._gone(stay, gone.t_s) if stay.alone else self._dropped(gone))
        self._forget(gone.t_s)
        return outcomes

    def _forget(self, left_s: float) -> None:
        self._load = self._weighing = self._told = None
        self._departures = 0
        self._left_s = left_s

    def _gone(self, stay: Stay, left_s: float) -> Outcome:
        piece = self._piece(stay, left_s)
        if piece.verdict is Verdict.KEEP or self._policy is LiftedPolicy.BOARDED:
            return self._kept(piece, stay)
        return self._lifted(piece, stay)

    def _lifted(self, piece: Piece, stay: Stay) -> Outcome:
        back = self._back(stay)
        whole = joined(back.piece, piece) if back else self._fresh(piece)
        self._settler.lifted(whole, _bits(stay, back))
        self._go(Move.LIFTED)
        return PieceLifted(whole)

    def _kept(self, piece: Piece, stay: Stay) -> Outcome:
        back = self._back(stay)
        fresh = piece if back else self._fresh(piece)
        whole = joined(back.piece, fresh) if back else fresh
        self._settler.followed(fresh)
        if whole.verdict is not Verdict.KEEP:
            self._settler.lifted(whole, _bits(stay, back), TookFor.BOARDED)
        self._emptied(Move.KEPT)
        return self._count(whole)

    def _dropped(self, gone: PanLeft) -> Outcome:
        """Say that more than one piece left at once: that is no piece, and no number is used."""
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

    def _emptied(self, move: Move) -> None:
        if move is Move.DROPPED:
            self._settler.missed()
        self._go(move)
        self._reopen()

    def _reopen(self) -> None:
        if self._settler.waiting and self._state is State.IDLE:
            self._go(Move.REOPENED)

    def _piece(self, stay: Stay, left_s: float) -> Piece:
        """Return the piece as it is known on the pan, without a number."""
        return Piece(
            number=0,
            t_s=left_s,
            placed_s=stay.came_s,
            first_mg=stay.first_mg,
            final_mg=stay.last_mg,
            touches=stay.touches,
            verdict=judge(stay.last_mg, self._limits),
        )

    def _fresh(self, piece: Piece) -> Piece:
        """Give a first cut its number and learn from it."""
        self._settler.cut(piece.first_mg)
        return replace(piece, number=self._number())

    def _number(self) -> int:
        self._next_number += 1
        return self._next_number - 1

    def _count(self, piece: Piece) -> PieceKept:
        kept = PieceKept(piece)
        self._counted.note(kept)
        self._settler.counted(piece.number)
        return kept

    # What a person asks for.

    def _turned(self, ask: TurnLifted) -> list[Outcome]:
        number = self._number() if self._settler.needs_number() else 0
        on_pan = self._state is State.DOUBTFUL
        outcome = self._settler.turned(ask.t_s, number, on_pan=on_pan)
        if outcome is None:
            return []
        self._counted.note(outcome)
        if self._state in (State.DOUBTFUL, State.LIFTED_OPEN) and not self._settler.waiting:
            self._go(Move.SETTLED)
        self._reopen()
        return [outcome, *self._cued(ask.t_s)]

    def _struck_out(self, ask: VoidLast) -> list[Outcome]:
        voided = self._counted.struck_out(ask)
        if voided is None:
            return []
        self._counted.note(voided)
        self._settler.struck_out(voided.piece.number)
        return [voided]


def _bits(stay: Stay, back: Lift | None) -> int:
    return stay.bits + (back.bits_if_back(stay.first_mg) if back else 0)
