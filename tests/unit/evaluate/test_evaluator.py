"""Literal scripts: weighings, leavings and keys in; cues, pieces and decisions out."""

from __future__ import annotations

import pytest

from weighstation.errors import SequenceError
from weighstation.evaluate import Evaluator, LiftedDecision
from weighstation.evaluate.states import State
from weighstation.events import (
    Cue,
    DivisionLearned,
    LiftedTurned,
    Outcome,
    PanLeft,
    Piece,
    PieceKept,
    PieceLifted,
    TookFor,
    TurnLifted,
    Verdict,
    Voided,
    VoidLast,
    Weighing,
)
from weighstation.specification import LiftedPolicy, Limits

LIMITS = Limits(740_000, 8_000, 8_000)
BACK, BOARDED = TookFor.CAME_BACK, TookFor.BOARDED


class Bench:
    """Feeds an evaluator and keeps what it says; weights in grams."""

    def __init__(self, policy: LiftedPolicy = LiftedPolicy.GUESS, *, next_number: int = 1) -> None:
        self.evaluator = Evaluator(LIMITS, lifted=policy, next_number=next_number, division_mg=1000)
        self.said: list[Outcome] = []
        self._t_s = 0.0
        self._visit = 0
        self._rests: list[int] = []

    def put(self, grams: int, *, firm: bool = True, after_s: float = 4.0) -> list[Outcome]:
        self._visit += 1
        self._placed_s = self._t_s + after_s
        self._t_s = self._placed_s
        self._rests = []
        return self.rest(grams, firm=firm)

    def rest(self, grams: int, *, firm: bool = True) -> list[Outcome]:
        self._rests.append(grams * 1000)
        touch = len(self._rests) - 1
        self._t_s += 0.5
        return self.feed(Weighing(self._t_s, self._visit, touch, grams * 1000, firm))

    def take(self) -> list[Outcome]:
        self._t_s += 0.5
        first_mg, final_mg, touches = self._rests[0], self._rests[-1], len(self._rests) - 1
        return self.feed(
            PanLeft(self._t_s, self._visit, self._placed_s, first_mg, final_mg, touches)
        )

    def weigh(self, *grams: int, after_s: float = 4.0) -> list[Outcome]:
        before = len(self.said)
        self.put(grams[0], after_s=after_s)
        for one in grams[1:]:
            self.rest(one)
        self.take()
        return self.said[before:]

    def turn(self) -> list[Outcome]:
        return self.feed(TurnLifted(self._t_s))

    def void(self) -> list[Outcome]:
        return self.feed(VoidLast(self._t_s))

    def feed(self, item: Weighing | PanLeft | TurnLifted | VoidLast) -> list[Outcome]:
        outcomes = list(self.evaluator.feed(item))
        self.said += outcomes
        return outcomes

    @property
    def took_for(self) -> TookFor | None:
        decision = self.evaluator.last_decision
        assert decision is not None
        return decision.took_for

    def counted(self) -> list[tuple[int, int, int, int]]:
        """Return number, first and final grams and touches of the pieces that count."""
        pieces: dict[int, Piece] = {}
        for outcome in self.said:
            match outcome:
                case PieceKept(piece):
                    pieces[piece.number] = piece
                case Voided(piece=piece):
                    del pieces[piece.number]
                case LiftedTurned(removes=removes, adds=adds):
                    for piece in removes:
                        del pieces[piece.number]
                    pieces |= {piece.number: piece for piece in adds}
        return sorted(brief(piece) for piece in pieces.values())


def brief(piece: Piece) -> tuple[int, int, int, int]:
    return (piece.number, piece.first_mg // 1000, piece.final_mg // 1000, piece.touches)


def without_cues(outcomes: list[Outcome]) -> list[Outcome]:
    return [outcome for outcome in outcomes if not isinstance(outcome, Cue)]


def cues(outcomes: list[Outcome]) -> list[Cue]:
    return [outcome for outcome in outcomes if isinstance(outcome, Cue)]


# In band.


def test_a_piece_in_band_is_cued_and_kept() -> None:
    bench = Bench()

    said = bench.weigh(742)

    assert said == [
        Cue(4.5, 1, 0, 742_000, Verdict.KEEP, 2_000, firm=True),
        PieceKept(Piece(1, 5.0, 4.0, 742_000, 742_000, 0, Verdict.KEEP)),
    ]


def test_a_piece_corrected_on_the_pan_keeps_its_first_weight() -> None:
    bench = Bench()

    bench.weigh(760, 750, 741)

    assert bench.counted() == [(1, 760, 741, 2)]


def test_pieces_are_numbered_on_from_where_the_batch_was_left() -> None:
    bench = Bench(next_number=31)

    bench.weigh(740)
    bench.weigh(741)

    assert [piece[0] for piece in bench.counted()] == [31, 32]


def test_a_cue_is_given_again_only_when_it_says_something_new() -> None:
    bench = Bench()
    bench.put(752, firm=False)

    again = [bench.feed(Weighing(5.0, 1, 0, mg, firm=False)) for mg in (752_000, 752_900, 753_000)]

    assert [len(said) for said in again] == [0, 0, 1]


def test_a_learned_division_sets_what_counts_as_a_change() -> None:
    bench = Bench()
    bench.put(752, firm=False)

    assert bench.evaluator.feed(DivisionLearned(4.6, 5_000)) == ()
    assert bench.feed(Weighing(5.0, 1, 0, 756_000, firm=False)) == []
    assert len(bench.feed(Weighing(5.1, 1, 0, 757_000, firm=False))) == 1


def test_the_leaving_is_trusted_when_it_differs_from_the_last_weighing() -> None:
    bench = Bench()
    bench.put(752)

    said = bench.feed(PanLeft(6.0, 1, 4.0, 751_000, 744_000, 1))

    assert said == [PieceKept(Piece(1, 6.0, 4.0, 751_000, 744_000, 1, Verdict.KEEP))]


def test_a_load_that_never_came_to_rest_counts_by_its_leaving() -> None:
    bench = Bench()

    said = bench.feed(PanLeft(6.0, 1, 5.0, 741_000, 741_000, 0))

    assert said == [PieceKept(Piece(1, 6.0, 5.0, 741_000, 741_000, 0, Verdict.KEEP))]


# Lifted out of band.


def test_a_piece_lifted_out_of_band_is_open() -> None:
    bench = Bench()

    said = bench.weigh(765)

    lifted = Piece(1, 5.0, 4.0, 765_000, 765_000, 0, Verdict.TRIM)
    assert without_cues(said) == [PieceLifted(lifted)]
    assert bench.evaluator.open_lifted == lifted
    assert bench.evaluator.last_decision == LiftedDecision(1, 25_000, None)


def test_a_trimmed_piece_that_comes_back_near_the_target_is_the_same_piece() -> None:
    bench = Bench()
    bench.weigh(765)

    bench.weigh(741)

    assert bench.took_for is BACK
    assert bench.counted() == [(1, 765, 741, 1)]


def test_a_heavier_load_after_trim_means_that_the_lifted_one_was_boarded() -> None:
    bench = Bench()
    bench.weigh(752)

    said = bench.weigh(760, 741)

    kinds = [type(outcome).__name__ for outcome in without_cues(said)]
    assert kinds == ["PieceKept", "PieceKept"]
    assert isinstance(said[0], PieceKept)
    assert said[0].piece.verdict is Verdict.TRIM
    assert bench.counted() == [(1, 752, 752, 0), (2, 760, 741, 1)]


@pytest.mark.parametrize(
    ("lifted_g", "next_g", "after_s", "took_for"),
    [
        (765, 741, 4.0, BACK),
        (765, 765, 4.0, BOARDED),  # nothing was trimmed
        (765, 766, 4.0, BOARDED),  # heavier after trim
        (715, 739, 4.0, BACK),
        (715, 715, 4.0, BOARDED),
        (715, 714, 4.0, BOARDED),  # lighter after add
        (765, 741, 46.0, BOARDED),  # too late
        (752, 700, 4.0, BOARDED),  # 12 g asked, 52 g gone
        (60, 741, 4.0, BACK),  # nobody boards a scrap
    ],
)
def test_a_load_continues_a_lifted_piece_only_if_that_makes_sense(
    lifted_g: int, next_g: int, after_s: float, took_for: TookFor
) -> None:
    bench = Bench()
    bench.weigh(lifted_g)

    bench.put(next_g, after_s=after_s)

    assert took_for is bench.took_for


def test_before_it_is_firm_the_number_is_the_present_best_guess() -> None:
    bench = Bench()
    bench.weigh(765)

    said = [*bench.put(741, firm=False), *bench.feed(Weighing(10.0, 2, 0, 768_000, firm=True))]

    assert [cue.piece for cue in cues(said)] == [1, 2]
    assert bench.took_for is BOARDED


def test_once_firm_a_decision_stands_whatever_is_done_to_the_load() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.put(741)

    bench.rest(790)

    assert bench.took_for is BACK


def test_a_load_that_is_never_firm_is_decided_when_it_leaves() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.put(770, firm=False)
    assert bench.took_for is None

    said = bench.take()

    assert [type(outcome) for outcome in said] == [PieceKept, PieceLifted]
    assert bench.counted() == [(1, 765, 765, 0)]


def test_a_piece_may_come_back_more_than_once() -> None:
    bench = Bench()

    bench.weigh(790)
    bench.weigh(755)
    bench.weigh(742, 741)

    assert bench.counted() == [(1, 790, 741, 3)]


def test_at_the_end_an_open_piece_is_left_for_a_person_to_say() -> None:
    bench = Bench()
    bench.weigh(765)

    assert bench.evaluator.finish(60.0) == ()
    assert bench.evaluator.open_lifted is not None
    bench.turn()
    assert bench.counted() == [(1, 765, 765, 0)]


def test_a_load_still_on_the_pan_at_the_end_is_no_piece() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.put(741, firm=False)

    assert bench.evaluator.finish(60.0) == ()
    assert bench.evaluator.state is State.LIFTED_OPEN


# Fixed answers.


def test_told_back_any_next_load_continues_the_lifted_piece() -> None:
    bench = Bench(LiftedPolicy.BACK)
    bench.weigh(752)

    bench.weigh(760, 741, after_s=300.0)

    assert bench.counted() == [(1, 752, 741, 2)]


def test_told_boarded_a_piece_out_of_band_counts_at_once() -> None:
    bench = Bench(LiftedPolicy.BOARDED)

    said = bench.weigh(765)

    assert without_cues(said) == [PieceKept(Piece(1, 5.0, 4.0, 765_000, 765_000, 0, Verdict.TRIM))]
    assert bench.evaluator.open_lifted is None


def test_told_boarded_a_turn_still_joins_the_next_load() -> None:
    bench = Bench(LiftedPolicy.BOARDED)
    bench.weigh(765)

    bench.turn()
    bench.weigh(741)

    assert bench.counted() == [(1, 765, 741, 1)]


def test_told_boarded_a_turn_joins_the_load_that_is_there_already() -> None:
    bench = Bench(LiftedPolicy.BOARDED)
    bench.weigh(765)
    bench.weigh(741)

    bench.turn()

    assert bench.counted() == [(1, 765, 741, 1)]


# The key.


def test_while_it_is_open_the_key_means_boarded() -> None:
    bench = Bench()
    bench.weigh(765)

    (said,) = bench.turn()

    piece = Piece(1, 5.0, 4.0, 765_000, 765_000, 0, Verdict.TRIM)
    assert said == LiftedTurned(5.0, 1, BOARDED, (), (piece,))
    bench.weigh(741)
    assert bench.counted() == [(1, 765, 765, 0), (2, 741, 741, 0)]


def test_pressed_again_the_key_means_that_it_will_come_back() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.turn()

    (said,) = bench.turn()

    assert isinstance(said, LiftedTurned)
    assert (BACK, 1, ()) == (said.took_for, len(said.removes), said.adds)
    assert bench.evaluator.open_lifted is not None
    bench.weigh(790, 741)
    assert bench.counted() == [(1, 765, 741, 2)]


def test_the_key_gives_the_load_on_the_pan_its_own_number() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.put(741)

    said = bench.turn()

    assert [cue.piece for cue in cues(said)] == [2]
    bench.take()
    assert bench.counted() == [(1, 765, 765, 0), (2, 741, 741, 0)]


def test_the_key_while_the_load_is_not_yet_firm_means_boarded() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.put(741, firm=False)

    bench.turn()
    bench.rest(740)
    bench.take()

    assert bench.counted() == [(1, 765, 765, 0), (2, 741, 740, 1)]


def test_the_key_joins_a_load_on_the_pan_to_the_lifted_piece() -> None:
    bench = Bench()
    bench.weigh(752)
    bench.put(760)
    assert bench.took_for is BOARDED

    said = bench.turn()

    assert [cue.piece for cue in cues(said)] == [1]
    bench.rest(741)
    bench.take()
    assert bench.counted() == [(1, 752, 741, 2)]


def test_two_counted_pieces_are_joined_with_exact_facts() -> None:
    bench = Bench()
    bench.weigh(752)
    bench.weigh(760, 741)

    (said,) = bench.turn()

    assert isinstance(said, LiftedTurned)
    assert [brief(piece) for piece in said.removes] == [(1, 752, 752, 0), (2, 760, 741, 1)]
    assert said.adds == (Piece(1, 10.5, 4.0, 752_000, 741_000, 2, Verdict.KEEP),)


def test_a_joined_piece_is_parted_with_exact_facts_and_a_new_number() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.weigh(741)
    bench.weigh(742)

    (said,) = bench.turn()

    assert isinstance(said, LiftedTurned)
    assert [brief(piece) for piece in said.removes] == [(1, 765, 741, 1)]
    assert [brief(piece) for piece in said.adds] == [(1, 765, 765, 0), (3, 741, 741, 0)]
    assert [piece[0] for piece in bench.counted()] == [1, 2, 3]


def test_turning_twice_restores_and_three_times_turns() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.weigh(741)
    states = [bench.counted()]

    for _ in range(4):
        bench.turn()
        states.append(bench.counted())

    assert states[0] == states[2] == states[4]
    assert states[1] == states[3] == [(1, 765, 765, 0), (2, 741, 741, 0)]


def test_a_parting_while_another_piece_lies_there_renumbers_that_one() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.weigh(741)
    first = bench.put(742)

    said = bench.turn()

    assert [cue.piece for cue in cues(first)] == [2]
    assert [cue.piece for cue in cues(said)] == [3]


def test_the_key_speaks_of_the_last_lifted_piece_only() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.weigh(741)
    bench.weigh(710)

    bench.turn()

    assert bench.counted() == [(1, 765, 741, 1), (2, 710, 710, 0)]


def test_without_a_lifted_piece_the_key_does_nothing() -> None:
    bench = Bench()
    bench.weigh(741)

    assert bench.turn() == []


def test_a_piece_fetched_after_another_was_weighed_counts_once_with_a_mixed_first_weight() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.weigh(792, 741)
    bench.turn()

    bench.weigh(743)

    # Truly 765 became 743 and 792 became 741: number and dough are right, first weights are not.
    assert bench.counted() == [(1, 765, 741, 2), (3, 743, 743, 0)]


def test_what_a_person_says_moves_the_next_guess() -> None:
    plain, taught = Bench(), Bench()
    for _ in range(6):
        taught.weigh(755)
        taught.weigh(746)
        taught.turn()

    for bench in (plain, taught):
        bench.weigh(755)
        bench.put(746)

    assert [plain.took_for, taught.took_for] == [BACK, BOARDED]


# Striking out.


def test_the_last_counted_piece_is_struck_out_then_the_one_before() -> None:
    bench = Bench()
    bench.weigh(741)
    bench.weigh(742)

    said = [*bench.void(), *bench.void(), *bench.void()]

    assert all(isinstance(outcome, Voided) for outcome in said)
    assert [outcome.piece.number for outcome in said if isinstance(outcome, Voided)] == [2, 1]
    assert bench.counted() == []


def test_a_number_that_was_struck_out_is_not_given_again() -> None:
    bench = Bench()
    bench.weigh(741)
    bench.void()

    bench.weigh(742)

    assert bench.counted() == [(2, 742, 742, 0)]


@pytest.mark.parametrize("voids", [1, 2])
def test_a_decision_about_a_piece_struck_out_cannot_be_turned(voids: int) -> None:
    bench = Bench()
    bench.weigh(752)
    bench.weigh(760, 741)
    for _ in range(voids):
        bench.void()

    assert bench.turn() == []
    assert bench.evaluator.last_decision is None


def test_striking_out_leaves_an_open_piece_open() -> None:
    bench = Bench()
    bench.weigh(741)
    bench.weigh(765)

    bench.void()
    bench.weigh(742)

    assert bench.counted() == [(2, 765, 742, 1)]


def test_the_boarded_piece_may_be_struck_out_while_the_next_lies_there() -> None:
    bench = Bench()
    bench.weigh(752)
    bench.put(760)

    bench.void()
    bench.rest(741)
    bench.take()

    assert bench.counted() == [(2, 760, 741, 1)]


# Two at once.


def test_two_at_once_is_said_and_the_one_that_stays_is_a_first_cut() -> None:
    bench = Bench()

    said = bench.weigh(1480, 745)

    assert [cue.verdict for cue in cues(said)] == [Verdict.ONE_AT_A_TIME, Verdict.KEEP]
    assert bench.counted() == [(1, 745, 745, 0)]


def test_two_that_leave_together_count_nothing_and_are_said() -> None:
    bench = Bench()

    said = bench.weigh(1480)
    bench.weigh(741)
    bench.weigh(739)

    lifted = without_cues(said)
    assert lifted == [
        PieceLifted(Piece(1, 5.0, 4.0, 1_480_000, 1_480_000, 0, Verdict.ONE_AT_A_TIME))
    ]
    assert bench.evaluator.last_decision is None
    assert bench.counted() == [(1, 741, 741, 0), (2, 739, 739, 0)]


def test_an_open_piece_stays_open_while_two_at_once_come_and_go() -> None:
    bench = Bench()
    bench.weigh(765)

    bench.weigh(1506)
    bench.weigh(742)

    assert bench.counted() == [(1, 765, 742, 1)]


def test_an_open_piece_is_judged_against_the_one_that_stays() -> None:
    bench = Bench()
    bench.weigh(765)

    bench.weigh(1480, 741)

    assert bench.took_for is BACK
    assert bench.counted() == [(1, 765, 741, 1)]


def test_a_piece_brought_back_that_leaves_with_another_is_open_again() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.weigh(741, 1485)

    assert bench.evaluator.open_lifted is not None
    bench.weigh(741)
    assert bench.counted() == [(1, 765, 741, 1)]


def test_a_piece_taken_off_from_beside_the_next_one_counts() -> None:
    bench = Bench()
    bench.put(742)
    bench.rest(1500)

    said = bench.rest(758)

    assert without_cues(said) == [PieceKept(Piece(1, 5.5, 4.5, 742_000, 742_000, 0, Verdict.KEEP))]
    assert [cue.piece for cue in cues(said)] == [2]
    bench.rest(741)
    bench.take()
    assert bench.counted() == [(1, 742, 742, 0), (2, 758, 741, 1)]


def test_one_taken_off_out_of_band_from_beside_the_next_counts_as_boarded() -> None:
    bench = Bench()
    bench.weigh(765, 1510, 745)

    assert bench.took_for is BOARDED
    assert bench.counted() == [(1, 765, 765, 0), (2, 745, 745, 0)]
    bench.turn()
    bench.weigh(741)
    assert bench.counted() == [(1, 765, 741, 1), (2, 745, 745, 0)]


# A decision stands after a while.


@pytest.mark.parametrize("following", [(741,), (770, 741)])
def test_a_decision_can_be_turned_until_three_more_pieces_count(following: tuple[int, ...]) -> None:
    """Three is `House.turn_pieces`, a house figure."""
    bench = Bench()
    bench.weigh(765)
    bench.weigh(*following)
    more = 3 - (bench.took_for is BOARDED)
    for _ in range(more - 1):
        bench.weigh(741)
    before = bench.evaluator.last_decision
    bench.weigh(741)

    assert before is not None
    assert bench.evaluator.last_decision is None
    assert [] == bench.turn()


def test_a_piece_turned_can_be_turned_back_for_three_pieces_more() -> None:
    bench = Bench()
    bench.weigh(765)
    bench.weigh(741)
    for _ in range(2):
        bench.weigh(741)
    bench.turn()
    for _ in range(2):
        bench.weigh(741)

    assert bench.took_for is BOARDED


def test_a_piece_that_is_open_stays_open_however_long() -> None:
    bench = Bench()
    bench.weigh(741)
    bench.weigh(765)

    assert bench.evaluator.open_lifted is not None
    assert bench.evaluator.last_counted == Piece(1, 5.0, 4.0, 741_000, 741_000, 0, Verdict.KEEP)


# Cut again.


def test_a_third_extra_bit_means_cut_again() -> None:
    bench = Bench()

    said = bench.weigh(700, 710, 720, 725)

    assert [cue.cut_again for cue in cues(said)] == [False, False, False, True]


def test_trims_are_no_extra_bits() -> None:
    bench = Bench()

    said = bench.weigh(790, 780, 770, 760, 750)

    assert not any(cue.cut_again for cue in cues(said))


def test_a_bit_added_off_the_pan_counts() -> None:
    bench = Bench(LiftedPolicy.BACK)
    bench.weigh(690, 705)

    said = [*bench.weigh(715), *bench.weigh(725), *bench.weigh(720)]

    assert [cue.cut_again for cue in cues(said)] == [False, True, True]
    assert [cue.piece for cue in cues(said)] == [1, 1, 1]


# What cannot follow.


def test_a_new_load_while_one_lies_there_stops_the_evaluator() -> None:
    bench = Bench()
    bench.put(741)

    with pytest.raises(SequenceError, match="Load 2 came while load 1 lay on the pan"):
        bench.feed(Weighing(9.0, 2, 0, 741_000, firm=True))

    assert bench.evaluator.state is State.FAULTED
    with pytest.raises(SequenceError):
        bench.void()


def test_a_load_that_has_left_cannot_come_again() -> None:
    bench = Bench()
    bench.weigh(741)

    with pytest.raises(SequenceError, match="Load 1 came after load 1"):
        bench.feed(Weighing(9.0, 1, 0, 741_000, firm=True))


def test_a_load_that_will_not_be_seen_to_leave_can_be_forgotten() -> None:
    bench = Bench()
    bench.put(741)

    bench.evaluator.forget_load(30.0)
    bench.weigh(742)

    assert bench.counted() == [(1, 742, 742, 0)]
