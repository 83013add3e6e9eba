"""Scenes show what their names say, and the recordings in fixtures are theirs."""

from __future__ import annotations

import itertools
import json
from dataclasses import replace
from pathlib import Path

import pytest

from weighstation.acquire.recording import decode
from weighstation.errors import SpecificationError
from weighstation.simulate import (
    HANDS,
    SCALES,
    SCENES,
    Filter,
    Habits,
    Scene,
    benchmark_scenes,
    hands_named,
    lifted_scenes,
    morning,
    scale_named,
    scene,
)
from weighstation.simulate.fixtures import fixture_files, fixture_scenes, main, provenance_text
from weighstation.simulate.presets import hands_for

RECORDINGS = Path(__file__).parents[3] / "fixtures" / "recordings"


@pytest.mark.parametrize(
    ("name", "fact"),
    [
        ("hand-rests", "hand rests"),
        ("prods", "prod"),
        ("two-at-once", "two at once"),
        ("sticky-lifts", "sticky lift"),
        ("came-back", "came back"),
        ("boarded", "boarded out of band"),
        ("knocks", "knock"),
        ("flour", "flour left"),
        ("no-zero-tracking", "flour left"),
        ("tare-mid-piece", "tare"),
        ("negative-pan", "tray off"),
        ("overload", "overload"),
    ],
)
def test_a_scene_shows_its_fact_at_least_twice(name: str, fact: str) -> None:
    assert scene(name).morning().truth["happened"][fact] >= 2


def test_light_cuts_are_added_to_and_heavy_ones_trimmed() -> None:
    for name, sign in (("press-while-adding", 1), ("partial-lift", -1)):
        pieces = scene(name).morning().truth["pieces"]

        assert all(sign * (piece["final_g"] - piece["first_g"]) > 0 for piece in pieces)


def test_one_kept_recording_has_both_fates_of_a_lifted_piece() -> None:
    kept = next(each for each in fixture_scenes() if each.name == "back-and-boarded")
    happened = kept.morning().truth["happened"]

    assert {"came back", "boarded out of band"} <= set(happened)


def test_an_overload_line_is_sent() -> None:
    assert any(b"H  ------" in chunk.data for chunk in scene("overload").morning().chunks)


def test_a_tray_taken_off_shows_a_minus() -> None:
    assert any(b"-0003" in chunk.data for chunk in scene("negative-pan").morning().chunks)


def test_clinging_dough_takes_the_display_below_zero() -> None:
    """The same hands without it stay within a division of zero: the pan itself hardly rings."""
    clinging = scene("sticky-lifts")
    plain = replace(clinging, hands=replace(clinging.hands, habits=Habits(hand_rests=0.0)))

    assert -15 <= _lowest_g(clinging) <= -4
    assert _lowest_g(plain) >= -1


def _lowest_g(played: Scene) -> int:
    return min(int(chunk.data[2:9]) for chunk in played.morning().chunks)


def test_jitter_makes_the_lines_come_unevenly() -> None:
    times = [chunk.t_s for chunk in scene("jitter").morning().chunks]
    gaps = [b - a for a, b in itertools.pairwise(times)]

    assert min(gaps) < 0.02
    assert max(gaps) > 0.08


def test_lost_frames_are_missing_and_bursts_hold_several() -> None:
    day = scene("frames-lost").morning()
    bursts = scene("bursts").morning()

    assert len(day.chunks) < 0.97 * day.truth["rate_hz"] * day.chunks[-1].t_s
    assert any(chunk.data.count(b"\n") > 1 for chunk in bursts.chunks)


@pytest.mark.parametrize("name", list(SCENES))
def test_a_kept_recording_is_made_again_byte_for_byte(name: str) -> None:
    played = next(each for each in fixture_scenes() if each.name == name)
    for file, text in fixture_files(played).items():
        kept = (RECORDINGS / file).read_bytes()

        assert kept == text.encode()
        assert len(kept) < 60_000


def test_the_page_about_the_recordings_is_current() -> None:
    assert (RECORDINGS / "provenance.md").read_text() == provenance_text()
    assert 2 * len(SCENES) + 1 == len(list(RECORDINGS.iterdir()))


def test_a_recording_can_be_read_back_with_its_truth() -> None:
    files = fixture_files(scene("single"))
    recording = decode(files["single.jsonl"].splitlines())

    assert recording.arrivals == scene("single").morning().chunks
    assert json.loads(files["single.truth.json"]) == scene("single").morning().truth


def test_the_command_wants_a_folder(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 2
    assert "Say into which folder" in capsys.readouterr().err


def test_the_command_writes_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([str(tmp_path / "made")]) == 0
    assert f"{len(SCENES)} recordings" in capsys.readouterr().out
    assert (tmp_path / "made" / "single.jsonl").exists()


def test_the_benchmark_covers_divisions_rates_and_marks() -> None:
    scenes = benchmark_scenes()
    shapes = {scale.speech.shape.name for _, scale, _ in scenes}

    assert len(scenes) >= 20
    assert len(scenes) == len({name for name, _, _ in scenes})
    assert {"0.1", "0.5", "1", "2", "5"} == {scale.division for _, scale, _ in scenes}
    assert {5.0, 8.0, 10.0, 15.0, 20.0} == {scale.rate_hz for _, scale, _ in scenes}
    assert {"BARE", "LETTER_FIRST"} <= shapes
    assert set(Filter) == {scale.filter for _, scale, _ in scenes}


def test_the_ringing_pan_is_the_one_that_was_asked_for() -> None:
    pan = scale_named("ringing").pan

    assert (5.0, 0.05) == (pan.natural_hz, pan.damping)
    assert pan.frequency_hz(hands_named("patient").target_g) == pytest.approx(5.0)


def test_every_benchmark_scene_can_be_played() -> None:
    for _, scale, hands in benchmark_scenes():
        assert len(morning(scale, hands, pieces=2, seed=3).truth["pieces"]) == 2


def test_lifted_mornings_differ_in_what_becomes_of_the_piece() -> None:
    scenes = {name: (scale, hands) for name, scale, hands in lifted_scenes()}
    back = morning(*scenes["skilled, all come back"], pieces=15, seed=1).truth
    boarded = morning(*scenes["skilled, all boarded"], pieces=15, seed=1).truth

    assert len(scenes) >= 12
    assert len(back["loads"]) > len(back["pieces"]) == 15
    assert len(boarded["loads"]) == 15
    assert "boarded" in {piece["fate"] for piece in boarded["pieces"]}


def test_hands_suit_their_scale() -> None:
    for name, scale in SCALES.items():
        hands = hands_for(name)

        assert hands.under_g >= 2 * scale.division_g
        assert hands.target_g < scale.capacity_g / 2


@pytest.mark.parametrize("ask", [scene, scale_named, hands_named])
def test_an_unknown_name_is_answered_with_the_known_ones(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(SpecificationError) as caught:
        ask("nonesuch")

    assert "Choose one of" in caught.value.sentence


def test_the_demo_hands_are_quick_enough_for_a_minute() -> None:
    day = morning(SCALES["bench"], HANDS["demo"], pieces=10, seed=1)

    assert day.chunks[-1].t_s < 60
