"""The pure joiner: bytes in, outcomes out."""

from __future__ import annotations

import pytest

from weighstation.detect import Pan
from weighstation.errors import SpecificationError
from weighstation.events import Cue, Outcome, PieceKept, PieceLifted, TurnLifted, Voided, VoidLast
from weighstation.specification import LiftedPolicy, Limits
from weighstation.station.bench.loop import Bench, BenchPlan, refuse_too_coarse

LIMITS = Limits(740_000, 8_000, 8_000)
EMPTY, LOAD = [0] * 15, 15


def play(bench: Bench, indicated: list[int], start_s: float = 0.0) -> list[Outcome]:
    """Feed indications in grams, ten a second, and return the outcomes."""
    outcomes = []
    for place, grams in enumerate(indicated):
        outcomes += bench.feed(f"S {grams:+06d} g\r\n".encode(), start_s + place / 10)
    return outcomes


def kept(outcomes: list[Outcome]) -> list[tuple[int, int]]:
    """Return number and grams of the pieces that count."""
    return [
        (outcome.piece.number, outcome.piece.final_mg // 1000)
        for outcome in outcomes
        if isinstance(outcome, PieceKept)
    ]


def test_a_piece_is_cued_and_counts_when_it_leaves() -> None:
    bench = Bench(BenchPlan(LIMITS))
    outcomes = play(bench, EMPTY + [741] * LOAD + EMPTY)
    cues = [outcome for outcome in outcomes if isinstance(outcome, Cue)]

    assert cues
    assert 741_000 == cues[-1].net_mg
    assert [(1, 741)] == kept(outcomes)
    assert Pan.EMPTY is bench.sensing.pan
    assert 1000 == bench.sensing.division_mg
    assert 45 == bench.sensing.counts.frames


def test_numbers_go_on_from_where_they_were() -> None:
    bench = Bench(BenchPlan(LIMITS, next_number=13))

    assert [(13, 741)] == kept(play(bench, EMPTY + [741] * LOAD + EMPTY))


def test_division_that_is_given_is_known_before_the_first_byte() -> None:
    assert 5000 == Bench(BenchPlan(LIMITS, division_mg=5000)).sensing.division_mg


def test_keys_reach_the_evaluator() -> None:
    """A lifted piece is turned to boarded, and the last counted piece struck out."""
    bench = Bench(BenchPlan(LIMITS))
    outcomes = play(bench, EMPTY + [760] * LOAD + EMPTY)
    lifted = [outcome for outcome in outcomes if isinstance(outcome, PieceLifted)]
    open_before = bench.open_lifted
    turned = bench.command(TurnLifted(bench.sensing.last_t_s))
    voided = bench.command(VoidLast(bench.sensing.last_t_s))

    assert 1 == len(lifted)
    assert open_before == lifted[0].piece
    assert "LiftedTurned" == type(turned[0]).__name__
    assert isinstance(voided[0], Voided)
    assert 760_000 == voided[0].piece.final_mg


def test_what_is_weighed_in_a_pause_is_no_piece() -> None:
    """The scale is lent out for salt: neither cue nor piece, and the next piece counts."""
    bench = Bench(BenchPlan(LIMITS))
    play(bench, EMPTY)
    bench.sensing.is_paused = True
    during = play(bench, EMPTY + [741] * LOAD + EMPTY, 2.0)
    bench.go_on()
    after = play(bench, EMPTY + [738] * LOAD + EMPTY, 8.0)

    assert [] == during
    assert not bench.sensing.is_paused
    assert [(1, 738)] == kept(after)


def test_load_on_the_pan_after_a_gap_is_weighed_anew() -> None:
    """The detector is a fresh one, but knows from before how the pan rests empty."""
    bench = Bench(BenchPlan(LIMITS))
    before = play(bench, [7] * 15 + [748] * LOAD)
    bench.go_on()
    after = play(bench, [748] * LOAD + [7] * 15, 30.0)

    assert [] == kept(before)
    assert [(1, 741)] == kept(after)


def test_load_that_is_lifted_just_after_a_gap_does_not_count() -> None:
    """Too little was seen of it."""
    bench = Bench(BenchPlan(LIMITS))
    play(bench, EMPTY + [741] * LOAD)
    bench.go_on()

    assert [] == kept(play(bench, [741, 620, 200, *EMPTY], 30.0))


def test_line_torn_by_a_gap_is_not_joined_to_the_next() -> None:
    bench = Bench(BenchPlan(LIMITS))
    play(bench, EMPTY)
    bench.feed(b"S +007", 2.0)
    bench.go_on()
    bench.feed(b"S +00000 g\r\n", 5.0)

    assert 15 + 2 == bench.sensing.counts.frames
    assert 1 == bench.sensing.counts.unreadable


def test_piece_that_never_left_is_no_piece_at_the_end() -> None:
    bench = Bench(BenchPlan(LIMITS))
    play(bench, EMPTY + [741] * LOAD)

    assert [] == kept(bench.finish(5.0))


def test_policy_reaches_the_evaluator() -> None:
    bench = Bench(BenchPlan(LIMITS, lifted=LiftedPolicy.BOARDED))

    assert [(1, 760)] == kept(play(bench, EMPTY + [760] * LOAD + EMPTY))


@pytest.mark.parametrize(
    ("limits", "division_mg", "says"),
    [
        (Limits(4_000, 1_000, 1_000), 5_000, "below the scale's division"),
        (Limits(62_500, 200, 200), 1_000, "none lies between 62.3 and 62.7 g"),
        (Limits(742_000, 1_000, 1_000), 5_000, "none lies between 741 and 743 g"),
    ],
)
def test_scale_on_which_nothing_could_be_kept_is_refused(
    limits: Limits, division_mg: int, says: str
) -> None:
    with pytest.raises(SpecificationError, match=says):
        refuse_too_coarse(limits, division_mg)
    with pytest.raises(SpecificationError, match=says):
        Bench(BenchPlan(limits, division_mg=division_mg))


@pytest.mark.parametrize(
    ("limits", "division_mg"),
    [
        (Limits(740_000, 0, 0), 5_000),
        (Limits(741_000, 1_000, 0), 5_000),
        (Limits(739_000, 0, 1_000), 5_000),
        (Limits(5_000, 0, 0), 5_000),
    ],
)
def test_scale_with_one_indication_in_the_band_is_taken(limits: Limits, division_mg: int) -> None:
    refuse_too_coarse(limits, division_mg)


def test_too_coarse_a_scale_is_refused_as_soon_as_its_division_is_learned() -> None:
    bench = Bench(BenchPlan(Limits(500, 100, 100)))

    with pytest.raises(SpecificationError, match="below the scale's division"):
        play(bench, EMPTY)
