"""Whole mornings: the same seed, the same bytes; what is shown is what is true."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice

import pytest

from weighstation.errors import SpecificationError
from weighstation.simulate import Bench, Habits, HandsSpec, Morning, PanSpec, ScaleSpec, morning
from weighstation.simulate.lines import LineShape, Speech
from weighstation.specification import Way

BARE = ScaleSpec(speech=Speech(LineShape.BARE))
ODD = Habits(
    hand_rests=0.3, prods=0.2, knocks=0.2, doubles=0.2, tares=0.1, lifts=0.3, residue_g=0.5,
    boards_anyway=0.2, discards=0.2, tray_offs=0.2, overloads=0.1, wipes=0.2,
)  # fmt: skip


def _shown_at(day: Morning, t_s: float) -> float:
    return float([chunk.data for chunk in day.chunks if chunk.t_s <= t_s][-1])


def test_the_same_seed_gives_the_same_bytes_and_truth() -> None:
    hands = HandsSpec(tray_g=350.0, habits=ODD)
    first, second = (morning(BARE, hands, pieces=12, seed=5) for _ in range(2))

    assert first == second
    assert first != morning(BARE, hands, pieces=12, seed=6)


def test_another_link_or_noise_leaves_the_hands_alone() -> None:
    """Hands, noise and link draw from separate streams of one seed."""
    quiet = morning(replace(BARE, noise_d=0.0), HandsSpec(), pieces=5, seed=1)
    noisy = morning(replace(BARE, noise_d=1.0), HandsSpec(), pieces=5, seed=1)

    assert quiet.truth["pieces"] == noisy.truth["pieces"]
    assert quiet.chunks != noisy.chunks


@pytest.mark.parametrize("way", list(Way))
def test_arrivals_come_in_time_order_and_every_piece_has_its_end(way: Way) -> None:
    day = morning(BARE, HandsSpec(way=way), pieces=13, seed=2)
    times = [chunk.t_s for chunk in day.chunks]

    assert sorted(times) == times
    assert list(range(1, 14)) == [piece["number"] for piece in day.truth["pieces"]]
    assert way.value == day.truth["way"]


@pytest.mark.parametrize("seed", range(3))
def test_the_display_tells_the_truth_when_the_mark_comes_up(seed: int) -> None:
    """Half a division of rounding and a little noise: never more than one division."""
    day = morning(BARE, HandsSpec(), pieces=15, seed=seed)
    marked = [rest for rest in day.truth["rests"] if rest["mark_s"]]

    assert len(marked) > 10
    for rest in marked:
        assert abs(_shown_at(day, rest["mark_s"] + 0.003) - rest["net_g"]) <= 1.0


def test_touches_are_the_changes_of_weight_between_rests() -> None:
    truth = morning(BARE, HandsSpec(bias=0.03), pieces=20, seed=1).truth
    for load in truth["loads"]:
        rests = [rest for rest in truth["rests"] if rest["visit"] == load["visit"]]

        assert load["first_g"] == rests[0]["net_g"]
        assert load["final_g"] == rests[-1]["net_g"]
        assert load["touches"] == len({rest["net_g"] for rest in rests}) - 1


def test_rests_lie_within_their_loads_and_do_not_overlap() -> None:
    truth = morning(BARE, HandsSpec(habits=ODD, tray_g=100.0), pieces=20, seed=4).truth
    loads = {load["visit"]: load for load in truth["loads"]}
    end_s = 0.0
    for rest in truth["rests"]:
        load = loads[rest["visit"]]

        assert max(end_s, load["placed_s"]) <= rest["from_s"] < rest["to_s"] <= load["left_s"]
        end_s = rest["to_s"]


@pytest.mark.parametrize(("way", "sign"), [(Way.BUILD_UP, 1), (Way.TAKE_AWAY, -1)])
def test_the_pan_holds_what_the_pieces_say(way: Way, sign: int) -> None:
    """Mass balance: the last indication differs from the first by the sum of the pieces."""
    hands = HandsSpec(way=way, tray_g=500.0, board_pieces=6)
    stiff = replace(BARE, division="0.1", pan=PanSpec(damping=0.3))
    day = morning(stiff, hands, pieces=6, seed=3)
    pieces = day.truth["pieces"]
    before_g = _shown_at(day, pieces[0]["placed_s"])
    after_g = _shown_at(day, day.truth["rests"][-1]["to_s"])

    assert sign * sum(piece["final_g"] for piece in pieces) == pytest.approx(
        after_g - before_g, abs=0.3
    )


def test_flour_on_the_pan_is_no_part_of_the_next_piece() -> None:
    scale = replace(BARE, division="0.1", tracking=False)
    hands = HandsSpec(habits=Habits(hand_rests=0.0, residue_g=2.0))
    day = morning(scale, hands, pieces=6, seed=1)
    load = day.truth["loads"][-1]
    empty_g = _shown_at(day, load["placed_s"])
    rest = next(rest for rest in day.truth["rests"] if rest["visit"] == load["visit"])

    assert empty_g > 1.0
    assert rest["net_g"] == pytest.approx(_shown_at(day, rest["to_s"]) - empty_g, abs=0.3)


def test_a_bench_can_be_played_as_far_as_one_listens() -> None:
    bench = Bench(BARE, HandsSpec(), pieces=10**9, seed=1)
    heard = list(islice(bench.arrivals(), 300))

    assert heard[-1].t_s == pytest.approx(30.0, abs=0.1)
    assert len(bench.truth()["pieces"]) >= 3


def test_a_long_morning_begins_as_a_short_one() -> None:
    short = morning(BARE, HandsSpec(), pieces=3, seed=1).chunks
    long = list(islice(Bench(BARE, HandsSpec(), pieces=10**6, seed=1).arrivals(), len(short) // 2))

    assert short[: len(long)] == long


def test_fates_follow_the_habits() -> None:
    hands = HandsSpec(spread=0.05, habits=Habits(boards_anyway=0.5, discards=0.5))
    fates = {piece["fate"] for piece in morning(BARE, hands, pieces=40, seed=1).truth["pieces"]}

    assert {"kept", "boarded", "discarded"} == fates


def test_a_load_that_the_scale_cannot_bear_is_refused() -> None:
    with pytest.raises(SpecificationError, match="bears 6000 g"):
        Bench(BARE, HandsSpec(way=Way.BUILD_UP, board_pieces=12), pieces=1, seed=1)
