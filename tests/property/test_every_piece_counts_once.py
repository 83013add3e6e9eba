"""Whatever is weighed, lifted, brought back, turned round or struck out, nothing counts twice.

A bench is played with loads of all kinds and keys at any moment. The set of counted pieces is kept
as a journal would keep it, and compared with what left the pan.
"""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from weighstation.evaluate import Evaluator
from weighstation.evaluate.states import State
from weighstation.events import (
    Cue,
    LiftedTurned,
    Outcome,
    PanLeft,
    Piece,
    PieceKept,
    PieceLifted,
    TurnLifted,
    Verdict,
    Voided,
    VoidLast,
    Weighing,
)
from weighstation.specification import LiftedPolicy, Limits

LIMITS = Limits(740_000, 8_000, 8_000)
weights = st.one_of(
    st.integers(732, 748), st.integers(690, 790), st.integers(1, 1290), st.integers(1460, 1510)
).map(lambda grams: grams * 1000)


@dataclass
class OnPan:
    """The load on the pan, as the detector would know it."""

    visit: int
    placed_s: float
    first_mg: int
    last_mg: int
    touches: int = 0


class Benches(RuleBasedStateMachine):
    """One morning at one bench."""

    def __init__(self) -> None:
        super().__init__()
        self.t_s = 0.0
        self.visit = 0
        self.load: OnPan | None = None
        self.counted: dict[int, Piece] = {}
        self.struck: set[int] = set()
        self.kept_s: set[float] = set()
        self.struck_s: set[float] = set()

    @initialize(policy=st.sampled_from(LiftedPolicy), number=st.integers(1, 50))
    def opens(self, policy: LiftedPolicy, number: int) -> None:
        self.policy = policy
        self.first_number = number
        self.evaluator = Evaluator(LIMITS, lifted=policy, next_number=number, division_mg=1000)

    # What happens at a bench.

    @precondition(lambda self: self.load is None)
    @rule(net_mg=weights, firm=st.booleans(), gap_s=st.sampled_from([2.0, 6.0, 60.0]))
    def put(self, net_mg: int, firm: bool, gap_s: float) -> None:
        self.t_s += gap_s
        self.visit += 1
        self.load = OnPan(self.visit, self.t_s, net_mg, net_mg)
        self.weigh(firm)

    @precondition(lambda self: self.load is not None)
    @rule(net_mg=weights, firm=st.booleans())
    def correct(self, net_mg: int, firm: bool) -> None:
        assert self.load
        self.load.touches += 1
        self.load.last_mg = net_mg
        self.weigh(firm)

    @precondition(lambda self: self.load is not None and self.load.touches > 0)
    @rule(net_mg=weights)
    def was_no_touch(self, net_mg: int) -> None:
        assert self.load
        self.load.touches -= 1
        self.load.last_mg = net_mg
        self.weigh(firm=True)

    @precondition(lambda self: self.load is not None)
    @rule()
    def rest_on(self) -> None:
        self.weigh(firm=True)

    @precondition(lambda self: self.load is not None)
    @rule()
    def take(self) -> None:
        assert self.load
        load, self.load = self.load, None
        self.t_s += 0.5
        gone = PanLeft(
            self.t_s, load.visit, load.placed_s, load.first_mg, load.last_mg, load.touches
        )
        outcomes = self.feed(gone)
        ends = [o for o in outcomes if isinstance(o, PieceKept | PieceLifted)]
        assert ends, "every leaving is said to be something"
        end = ends[-1].piece
        assert (end.t_s, end.final_mg) == (gone.t_s, gone.final_mg)
        assert end.placed_s <= gone.t_s
        self.must_be_judged_rightly(ends[-1])

    @rule()
    def turn(self) -> None:
        self.feed(TurnLifted(self.t_s))

    @rule()
    def turn_twice(self) -> None:
        before = dict(self.counted)
        decision, open_piece = self.evaluator.last_decision, self.evaluator.open_lifted
        self.feed(TurnLifted(self.t_s))
        self.feed(TurnLifted(self.t_s))
        assert before == self.counted
        if decision and decision.took_for:
            assert decision == self.evaluator.last_decision
            assert open_piece == self.evaluator.open_lifted

    @rule()
    def strike_out(self) -> None:
        latest = max(self.counted.values(), key=lambda p: (p.t_s, p.number), default=None)
        outcomes = self.feed(VoidLast(self.t_s))
        assert [o.piece.t_s for o in outcomes if isinstance(o, Voided)] == (
            [latest.t_s] if latest else []
        )

    # What is checked on the way.

    def weigh(self, firm: bool) -> None:
        assert self.load
        self.t_s += 0.5
        load = self.load
        self.feed(Weighing(self.t_s, load.visit, load.touches, load.last_mg, firm))

    def feed(self, item: Weighing | PanLeft | TurnLifted | VoidLast) -> tuple[Outcome, ...]:
        outcomes = self.evaluator.feed(item)
        for outcome in outcomes:
            match outcome:
                case PieceKept(piece):
                    self.count(piece)
                case LiftedTurned(removes=removes, adds=adds):
                    for piece in removes:
                        assert self.counted.pop(piece.number) == piece
                    for piece in adds:
                        self.count(piece)
                case Voided(piece=piece):
                    assert self.counted.pop(piece.number) == piece
                    self.struck.add(piece.number)
                    self.struck_s.add(piece.t_s)
                case Cue():
                    self.must_be_free(outcome)
                case PieceLifted(piece):
                    assert piece.number not in self.counted
        return outcomes

    def count(self, piece: Piece) -> None:
        assert piece.number not in self.counted, "a number is never given to two counted pieces"
        assert piece.number not in self.struck, "a struck out number is never given again"
        self.counted[piece.number] = piece

    def must_be_free(self, cue: Cue) -> None:
        assert cue.piece not in self.counted
        assert cue.piece not in self.struck
        assert cue.error_mg == cue.net_mg - LIMITS.target_mg

    def must_be_judged_rightly(self, end: PieceKept | PieceLifted) -> None:
        in_band = abs(end.piece.final_mg - LIMITS.target_mg) <= 8_000
        assert in_band == (end.piece.verdict is Verdict.KEEP)
        self.kept_s |= {end.piece.t_s} if in_band else set()
        if isinstance(end, PieceLifted):
            assert not in_band
        elif self.policy is not LiftedPolicy.BOARDED:
            assert in_band

    @invariant()
    def numbers_are_from_the_first_on(self) -> None:
        assert all(number >= self.first_number for number in self.counted)

    @invariant()
    def no_two_counted_pieces_left_the_pan_at_once(self) -> None:
        times = [piece.t_s for piece in self.counted.values()]
        assert len(times) == len(set(times))

    @invariant()
    def what_left_in_band_counts_until_it_is_struck_out(self) -> None:
        times = {piece.t_s for piece in self.counted.values()}
        assert times & self.struck_s == set()
        assert self.kept_s - self.struck_s <= times

    @invariant()
    def an_open_piece_does_not_count(self) -> None:
        piece = self.evaluator.open_lifted
        if piece:
            assert piece.number not in self.counted
            assert self.evaluator.last_decision
            assert self.evaluator.last_decision.number == piece.number

    @invariant()
    def the_pan_and_the_state_agree(self) -> None:
        loaded = self.evaluator.state in (State.ON_PAN, State.DOUBTFUL)
        assert loaded == (self.load is not None)

    @invariant()
    def a_boarded_piece_counts(self) -> None:
        decision = self.evaluator.last_decision
        if decision and decision.took_for and decision.took_for.value == "boarded":
            assert decision.number in self.counted


TestEveryPieceCountsOnce = Benches.TestCase
TestEveryPieceCountsOnce.settings = settings(max_examples=150, stateful_step_count=40)
