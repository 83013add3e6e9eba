"""Totals as integers."""

from __future__ import annotations

import math
import statistics
from fractions import Fraction

import pytest
from journal_lines import ended, kept, lifted, noted, piece, started, turned, voided, written

from weighstation.errors import SequenceError
from weighstation.events import TookFor, Verdict
from weighstation.journal import (
    Kind,
    Line,
    RunState,
    Sums,
    TallyKey,
    advance,
    apply,
    codec,
    read_body,
    together,
)


def sums_of(weights_mg: list[int], target_mg: int) -> Sums:
    sums = Sums()
    for weight_mg in weights_mg:
        sums = sums.counted(weight_mg - target_mg, 1)
    return sums


@pytest.mark.parametrize("whole", [1_000_000, 10_000_000])
def test_mean_and_spread_are_exact_where_floats_lose_digits(whole: int) -> None:
    """NIST StRD univariate sets NumAcc3 and NumAcc4, in tenths.

    x.2 once, then x.1 and x.3 500 times each; certified mean x.2, standard deviation 0.1.
    """
    tenths = [10 * whole + 2] + [10 * whole + 1, 10 * whole + 3] * 500
    sums = sums_of(tenths, target_mg=0)

    assert Fraction(10 * whole + 2) == sums.mean_d_mg
    assert Fraction(1) == sums.variance_mg2
    assert sums.sd_mg == 1.0


def test_mean_and_spread_agree_with_the_standard_library() -> None:
    weights_mg = [743_000, 738_500, 740_000, 751_000, 729_000]
    sums = sums_of(weights_mg, target_mg=740_000)

    assert Fraction(statistics.mean(weights_mg) - 740_000) == sums.mean_d_mg
    assert math.isclose(statistics.stdev(weights_mg), sums.sd_mg or 0.0, rel_tol=1e-15)
    assert sums.sum_over_mg == 14_000


def test_there_is_no_mean_of_nothing_and_no_spread_of_one() -> None:
    assert Sums().mean_d_mg is None
    assert Sums().counted(5, 1).sd_mg is None


def state_of(*lines: Line) -> RunState:
    return written(started(), *lines)[1]["r1"]


def test_a_kept_piece_enters_both_streams() -> None:
    state = state_of(kept(piece(1, first_mg=752_000, final_mg=743_000, touches=2)))

    assert Sums(1, 3000, 9_000_000, 3000) == state.kept
    assert Sums(1, 12_000, 144_000_000, 12_000) == state.first
    assert (2, 4500, 0) == (state.touches, state.ms, state.out_of_band)
    assert state.kept_mean_mg == 743_000.0


def test_a_lifted_piece_enters_no_stream_until_it_counts() -> None:
    heavy = piece(1, final_mg=752_000, touches=0)
    open_state = state_of(lifted(heavy))
    boarded = state_of(lifted(heavy), kept(heavy))

    assert (Sums(), Sums(), (1,)) == (open_state.kept, open_state.first, open_state.open_lifted)
    assert (1, 1, ()) == (boarded.first.n, boarded.out_of_band, boarded.open_lifted)


def test_a_void_subtracts_to_nothing() -> None:
    state = state_of(kept(piece(1)), voided(piece(1)))

    assert (Sums(), Sums(), 0, 0) == (state.kept, state.first, state.touches, state.ms)
    assert state.kept_mean_mg is None


def test_a_number_is_remembered_after_a_void() -> None:
    """Two pieces of a batch never share a number."""
    lines = (kept(piece(1)), kept(piece(2)))

    assert state_of(*lines, voided(piece(2))).last_number == 2
    assert state_of(*lines, voided(piece(1))).last_number == 2


def test_turning_round_twice_changes_nothing() -> None:
    heavy, fresh = piece(1, final_mg=752_000, touches=0), piece(2)
    whole = piece(1, final_mg=741_000, touches=2)
    before = (lifted(heavy), kept(heavy), kept(fresh))
    there = turned(1, TookFor.CAME_BACK, removes=(heavy, fresh), adds=(whole,))
    back = turned(1, TookFor.BOARDED, removes=(whole,), adds=(heavy, fresh))
    once, twice, none = state_of(*before, there), state_of(*before, there, back), state_of(*before)

    assert (1, 0) == (once.kept.n, once.out_of_band)
    assert (none.kept, none.first, none.touches, none.ms, none.out_of_band) == (
        twice.kept,
        twice.first,
        twice.touches,
        twice.ms,
        twice.out_of_band,
    )


def test_turned_to_came_back_before_it_came_is_open_again() -> None:
    heavy = piece(1, final_mg=752_000, touches=0)
    gone = turned(1, TookFor.CAME_BACK, removes=(heavy,), adds=())

    assert state_of(lifted(heavy), kept(heavy), gone).open_lifted == (1,)


def test_two_at_once_leave_no_piece_open() -> None:
    two = piece(1, final_mg=1_480_000, touches=0)
    body = {**codec.piece_lifted("r1", two, dough_t_s=0.0), "verdict": Verdict.ONE_AT_A_TIME.value}

    assert state_of(Line(Kind.PIECE_LIFTED, body, 0)).open_lifted == ()


def test_a_run_ends_with_its_counts_and_what_stayed_open() -> None:
    entries, states = written(
        started(), kept(piece(1)), kept(piece(2)), lifted(piece(3, final_mg=752_000)), ended()
    )

    assert '"counts":{"piece_kept":2,"piece_lifted":1,"run_started":1}' in entries[-1].body
    assert '"unresolved":1' in entries[-1].body
    assert states["r1"].ended == "done"


def test_the_tally_counts_by_hour_of_dough_verdict_and_division() -> None:
    late = piece(400, final_mg=738_000)  # 3995.5 s after the first cut
    entries, _ = written(started(), kept(late))
    body = read_body(entries[1].body)
    happened = codec.change(entries[1].kind, body)

    _, changes = advance(apply(None, entries[0]), entries[1], body, happened)

    assert ((TallyKey(1, Verdict.KEEP, -2), Sums(1, -2000, 4_000_000, 0)),) == changes


def test_a_line_of_a_run_never_started_cannot_be_added() -> None:
    entries, _ = written(started(), kept(piece(1)))

    with pytest.raises(SequenceError):
        apply(None, entries[1])


def test_a_batch_is_the_sum_of_its_runs() -> None:
    _, states = written(
        started(),
        kept(piece(1)),
        ended(),
        noted(2),
        started("r2", continues="r1"),
        kept(piece(2, final_mg=745_000), run="r2"),
    )
    batch = together(states.values())

    assert (2, 6000) == (batch.kept.n, batch.kept.sum_d_mg)
    assert ("r2", 1, 2, "") == (batch.run, batch.started_seq, batch.last_number, batch.ended)
    assert {"piece_kept": 2, "run_started": 2} == batch.counts


def test_pieces_left_open_in_an_earlier_run_stay_open_in_the_batch() -> None:
    one = RunState("a", 1, "Rye", 740_000, 1000, 0, open_lifted=(2,))
    other = RunState("b", 9, "Rye", 740_000, 1000, 0, open_lifted=(7,))

    assert (2, 7) == together((one, other)).open_lifted


def test_runs_of_two_scaling_weights_are_no_batch() -> None:
    one, other = (
        RunState("a", 1, "Rye", 740_000, 1000, 0),
        RunState("b", 2, "Rolls", 62_000, 1000, 0),
    )

    with pytest.raises(SequenceError, match="one scaling weight"):
        together((one, other))
