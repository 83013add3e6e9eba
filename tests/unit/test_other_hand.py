"""The second generator keeps its word: same seed same bytes, and a truth that adds up."""

from __future__ import annotations

import json
import math
import random
import sys
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

import other_hand
from other_hand_pan import Acting, Pan, Push, feel
from other_hand_scale import low_pass
from other_hand_scenes import SCENES

if TYPE_CHECKING:
    from other_hand import Play

SEED = 11


@pytest.fixture(scope="module", params=other_hand.scenes())
def played(request: pytest.FixtureRequest) -> tuple[Play, dict[str, Any]]:
    return other_hand.play(request.param, SEED), other_hand.make(request.param, SEED)[1]


Played = tuple["Play", dict[str, Any]]


def test_there_are_at_least_twenty_scenes_of_all_ways() -> None:
    ways = {SCENES[name].way for name in other_hand.scenes()}

    assert len(other_hand.scenes()) >= 20
    assert ways == {"single", "build-up", "take-away"}


def test_a_seed_gives_the_same_bytes_and_truth_again() -> None:
    name = other_hand.scenes()[0]

    assert other_hand.make(name, 5) == other_hand.make(name, 5)
    assert other_hand.make(name, 5) != other_hand.make(name, 6)


def test_every_scene_has_forty_pieces_numbered_from_one(played: Played) -> None:
    _, truth = played

    assert list(range(1, 41)) == [piece["number"] for piece in truth["pieces"]]


def test_arrivals_are_in_order_of_time(played: Played) -> None:
    play, _ = played

    assert all(one[0] <= after[0] for one, after in pairwise(play.arrivals))


def test_loads_follow_one_another(played: Played) -> None:
    _, truth = played
    loads = truth["loads"]

    assert list(range(1, len(loads) + 1)) == [load["visit"] for load in loads]
    assert all(load["placed_s"] < load["left_s"] for load in loads)
    assert all(one["left_s"] <= after["placed_s"] for one, after in pairwise(loads))


def test_rests_lie_within_their_loads_and_last_half_a_second(played: Played) -> None:
    _, truth = played
    loads = {load["visit"]: load for load in truth["loads"]}
    for rest in truth["rests"]:
        load = loads[rest["visit"]]

        assert load["placed_s"] < rest["from_s"]
        assert rest["to_s"] <= load["left_s"]
        assert rest["to_s"] - rest["from_s"] >= 0.499
        assert rest["mark_s"] is None or rest["from_s"] <= rest["mark_s"] <= rest["to_s"] + 0.001


def test_nothing_touches_the_pan_in_a_rest(played: Played) -> None:
    play, _ = played
    acting = play.weigher.acting

    assert not any(
        acting.touched(rest.from_s + 1e-6, rest.to_s - 1e-6) for rest in play.weigher.facts.rests
    )


def test_masses_balance_on_the_pan(played: Played) -> None:
    play, _ = played
    acting, facts = play.weigher.acting, play.weigher.facts
    placed = {load.visit: load.placed_s for load in facts.loads}
    sign = -1 if play.scene.way == "take-away" else 1
    for rest in facts.rests:
        before_g = acting.carried_g(placed[rest.visit])
        there_g = acting.carried_g(rest.from_s + 1e-6)

        assert rest.net_g == pytest.approx(sign * (there_g - before_g), abs=1e-4)


def test_first_and_final_weights_and_touches_agree_with_the_rests(played: Played) -> None:
    _, truth = played
    for load in truth["loads"]:
        rests = [rest for rest in truth["rests"] if rest["visit"] == load["visit"]]

        assert load["first_g"] == rests[0]["net_g"]
        assert load["final_g"] == rests[-1]["net_g"]
        assert list(range(load["touches"] + 1)) == sorted({rest["touch"] for rest in rests})


def test_pieces_sum_their_loads_up(played: Played) -> None:
    _, truth = played
    for piece in truth["pieces"]:
        loads = [load for load in truth["loads"] if load["piece"] == piece["number"]]

        assert piece["first_g"] == loads[0]["first_g"]
        assert piece["final_g"] == loads[-1]["final_g"]
        assert piece["touches"] == sum(load["touches"] for load in loads) + len(loads) - 1
        assert (piece["placed_s"], piece["left_s"]) == (loads[0]["placed_s"], loads[-1]["left_s"])


def test_every_touch_moves_dough_that_the_scale_can_show(played: Played) -> None:
    _, truth = played
    for one, after in pairwise(truth["rests"]):
        if one["visit"] == after["visit"]:
            moved_d = abs(after["net_g"] - one["net_g"]) / truth["division_g"]

            assert (moved_d >= 2.4) == (after["touch"] == one["touch"] + 1)


def test_a_marked_line_is_sent_when_the_truth_says_so() -> None:
    came, truth = other_hand.make("loaves-gram-average", SEED)
    marked = [t_s for t_s, data in came if data.startswith(b"ST")]
    told = [rest["mark_s"] for rest in truth["rests"] if rest["mark_s"] is not None]

    assert len(told) > 10
    assert all(any(mark <= t_s <= mark + 0.02 for t_s in marked) for mark in told)


def test_the_pan_answers_a_step_as_a_damped_oscillator_does() -> None:
    """Closed form of a second-order step, damping 0.3, 20 rad/s, 500 g (textbook; computed)."""
    acting = Acting(pushes=[Push(1.0, 5.0, 500.0, held=1.0)])
    pan = Pan(ring_hz=20 / (2 * math.pi), damping=0.3, noise_g=0.0)
    felt = feel(pan, acting, 2.0, random.Random(0)).felt_g

    assert [190.70827, 509.31537, 677.72700, 647.21542] == pytest.approx(
        [felt[i] for i in (210, 220, 230, 240)], abs=1e-4
    )


def test_a_low_pass_has_gone_63_percent_of_the_way_after_one_time_constant() -> None:
    """1 - 1/e, textbook."""
    smoother = low_pass(0.25)(100)
    values = [smoother.step(x) for x in [0.0] + [1.0] * 25]

    assert values[-1] == pytest.approx(0.632121, abs=1e-6)


def test_a_piece_is_kept_when_it_left_within_limits(played: Played) -> None:
    _, truth = played
    for piece in truth["pieces"]:
        error_g = piece["final_g"] - truth["target_g"]
        within = -truth["under_g"] <= error_g <= truth["over_g"]

        assert within == (piece["fate"] == "kept")


def test_the_written_recording_holds_what_was_made(tmp_path: Path) -> None:
    name = other_hand.scenes()[0]
    other_hand.write(tmp_path, name, SEED)
    lines = (tmp_path / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()
    came, truth = other_hand.make(name, SEED)
    read = [(line["t"], line["data"].encode("latin-1")) for line in map(json.loads, lines[1:])]

    assert came == read
    assert truth == json.loads((tmp_path / f"{name}.truth.json").read_text(encoding="utf-8"))
