"""``replay``: the events that other programs rely on, and the sheet."""

from __future__ import annotations

import json
import random
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import pytest
from station_process import BAND, RECORDINGS, events_of, of_kind, truth_of, weighstation

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

PIECE = {
    "event": str,
    "t": float,
    "number": int,
    "grams": float,
    "first_grams": float,
    "touches": int,
    "verdict": str,
    "placed": float,
    "seconds": float,
}
KEYS: dict[str, dict[str, type | tuple[type, ...]]] = {
    "cue": {
        "event": str,
        "t": float,
        "piece": int,
        "touch": int,
        "grams": float,
        "verdict": str,
        "error": float,
        "firm": bool,
    },
    "piece": {**PIECE},
    "lifted": {**PIECE},
    "end": {
        "event": str,
        "pieces": int,
        "lifted": int,
        "mean_g": (float, type(None)),
        "sd_g": (float, type(None)),
        "frames": int,
        "frames_bad": int,
        "head": str,
    },
}


def replay(path: Path, *words: str) -> list[dict[str, Any]]:
    return events_of(weighstation("replay", str(path), *BAND, *words, "--events"))


def rewritten(
    name: str, folder: Path, change: Callable[[list[dict[str, Any]]], list[dict[str, Any]]]
) -> Path:
    """Write a recording with its arrivals changed, without a header, and return where."""
    lines = (RECORDINGS / f"{name}.jsonl").read_text().splitlines()
    arrivals = [json.loads(line) for line in lines if '"t":' in line]
    path = folder / "rewritten.jsonl"
    path.write_text("\n".join(json.dumps(arrival) for arrival in change(arrivals)))
    return path


@pytest.mark.parametrize("name", ["single", "boarded", "back-and-boarded", "two-at-once"])
def test_events_have_the_keys_and_kinds_that_were_promised(name: str) -> None:
    events = replay(RECORDINGS / f"{name}.jsonl")

    assert "end" == events[-1]["event"]
    assert 1 == len(of_kind(events, "end"))
    for event in events:
        keys = KEYS[event["event"]]
        assert set(keys) == set(event)
        for key, kind in keys.items():
            assert isinstance(event[key], kind), (key, event)
    verdicts = {event["verdict"] for event in of_kind(events, "cue")}
    assert verdicts <= {"keep", "add", "trim", "one_at_a_time"}
    verdicts = {event["verdict"] for event in of_kind(events, "lifted")}
    assert verdicts <= {"add", "trim", "one_at_a_time"}


@pytest.mark.parametrize("name", ["single", "back-and-boarded"])
def test_events_are_in_time_order_and_a_cue_says_something_new(name: str) -> None:
    events = replay(RECORDINGS / f"{name}.jsonl")[:-1]
    told = [
        tuple(event[key] for key in ("piece", "touch", "grams", "verdict", "firm"))
        for event in events
        if event["event"] == "cue"
    ]

    assert [event["t"] for event in events] == sorted(event["t"] for event in events)
    assert all(one != next_one for one, next_one in pairwise(told))


def test_pieces_of_the_plain_morning_are_those_of_the_truth() -> None:
    events = replay(RECORDINGS / "single.jsonl")
    truth = truth_of("single")["pieces"]
    pieces = of_kind(events, "piece")

    assert [piece["number"] for piece in truth] == [piece["number"] for piece in pieces]
    assert [piece["final_g"] for piece in truth] == pytest.approx(
        [piece["grams"] for piece in pieces], abs=1.0
    )
    assert [piece["touches"] for piece in truth] == [piece["touches"] for piece in pieces]
    mean = sum(piece["grams"] for piece in pieces) / len(pieces)
    assert mean == pytest.approx(events[-1]["mean_g"], abs=1e-4)


def test_two_replays_are_the_same_to_the_last_digest() -> None:
    once, again = (
        weighstation("replay", str(RECORDINGS / "single.jsonl"), *BAND, "--events")
        for _ in range(2)
    )

    assert once.stdout == again.stdout
    assert 64 == len(events_of(once)[-1]["head"])


def test_changing_one_byte_changes_the_head(tmp_path: Path) -> None:
    def touched(arrivals: list[dict[str, Any]]) -> list[dict[str, Any]]:
        return [*arrivals[:-1], arrivals[-1] | {"t": arrivals[-1]["t"] + 0.001}]

    plain = replay(rewritten("single", tmp_path, lambda arrivals: arrivals))[-1]["head"]
    changed = replay(rewritten("single", tmp_path, touched))[-1]["head"]

    assert plain != changed


def byte_by_byte(arrivals: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [{"t": arrival["t"], "data": char} for arrival in arrivals for char in arrival["data"]]


def in_random_chunks(arrivals: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Cut every arrival at random places, its time kept."""
    rng, cut = random.Random(5), []
    for arrival in arrivals:
        data = arrival["data"]
        places = sorted({0, len(data), *(rng.randrange(len(data) + 1) for _ in range(3))})
        cut += [{"t": arrival["t"], "data": data[start:end]} for start, end in pairwise(places)]
    return cut


@pytest.mark.parametrize("change", [byte_by_byte, in_random_chunks])
def test_chunks_do_not_matter(
    change: Callable[[list[dict[str, Any]]], list[dict[str, Any]]], tmp_path: Path
) -> None:
    """The same bytes at the same times, cut otherwise, are the same pieces and cues."""
    whole = replay(rewritten("single", tmp_path, lambda arrivals: arrivals))
    cut = replay(rewritten("single", tmp_path, change))

    assert whole[:-1] == cut[:-1]
    assert whole[-1] | {"head": ""} == cut[-1] | {"head": ""}


@pytest.mark.parametrize("way", ["build-up", "take-away"])
def test_other_ways_of_weighing_find_the_pieces_of_the_truth(way: str) -> None:
    truth = truth_of(way)["pieces"]
    pieces = of_kind(replay(RECORDINGS / f"{way}.jsonl", "--way", way), "piece")

    assert [piece["final_g"] for piece in truth] == pytest.approx(
        [piece["grams"] for piece in pieces], abs=1.5
    )


def test_recording_without_a_piece_has_neither_mean_nor_spread(tmp_path: Path) -> None:
    path = tmp_path / "empty.jsonl"
    path.write_text(
        '{"t": 0.0, "data": "S +00000 g\\r\\n"}\n{"t": 0.1, "data": "S +00000 g\\r\\n"}\n'
    )
    end = replay(path)[-1]

    assert (0, 0, None, None, 2) == tuple(
        end[key] for key in ("pieces", "lifted", "mean_g", "sd_g", "frames")
    )


def test_without_events_it_prints_the_batch_sheet() -> None:
    result = weighstation("replay", str(RECORDINGS / "single.jsonl"), *BAND)

    assert 0 == result.returncode
    assert result.stdout.startswith("Batch sheet: 740 g\n")
    for words in ("Mean", "Out of band", "First-cut spread", "as of line"):
        assert words in result.stdout
    assert all(len(line) <= 80 for line in result.stdout.splitlines())


def test_pieces_that_leave_together_are_lifted_and_leave_nothing_open(tmp_path: Path) -> None:
    """The number that they were told under stays free for the next piece."""
    path = tmp_path / "together.jsonl"
    loads = (1485, 741)
    shown = [grams for load in loads for grams in [*[0] * 15, *[load] * 15, load // 2]] + [0] * 15
    lines = [
        json.dumps({"t": place / 10, "data": f"S {grams:+06d} g\r\n"})
        for place, grams in enumerate(shown)
    ]
    path.write_text("\n".join(lines))
    events = replay(path)
    (lifted,), (piece,) = of_kind(events, "lifted"), of_kind(events, "piece")
    sheet = weighstation("replay", str(path), *BAND).stdout

    assert (1, 1485, "one_at_a_time") == tuple(
        lifted[key] for key in ("number", "grams", "verdict")
    )
    assert (1, 741) == (piece["number"], piece["grams"])
    assert (1, 0) == (events[-1]["pieces"], events[-1]["lifted"])
    assert "Two at once         1               not counted" in sheet


def test_policy_for_lifted_pieces_is_obeyed() -> None:
    """Boarded means that every lifted piece counts as it was, at once."""
    boarded = replay(RECORDINGS / "back-and-boarded.jsonl", "--lifted", "boarded")

    assert [] == of_kind(boarded, "lifted")
    assert 0 == boarded[-1]["lifted"]
    assert {"add", "trim"} & {piece["verdict"] for piece in of_kind(boarded, "piece")}


def test_a_mark_of_byte_order_before_a_recording_says_nothing(tmp_path: Path) -> None:
    plain = (RECORDINGS / "single.jsonl").read_bytes()
    marked = tmp_path / "marked.jsonl"
    marked.write_bytes(b"\xef\xbb\xbf" + plain)

    ends = [replay(path)[-1] for path in (RECORDINGS / "single.jsonl", marked)]

    assert {**ends[0], "head": ""} == {**ends[1], "head": ""}


def test_a_silence_is_a_gap_in_a_replay_as_it_is_at_the_bench(tmp_path: Path) -> None:
    """Arrivals are taken out while a piece lies there, and for less than the gap elsewhere."""

    def with_silences(arrivals: list[dict[str, Any]]) -> list[dict[str, Any]]:
        truth = truth_of("single")
        placed_s = truth["pieces"][2]["placed_s"]
        short_s = truth["pieces"][4]["placed_s"]
        return [
            arrival | {"t": arrival["t"] + 3.0 * (arrival["t"] > placed_s + 1.5)}
            for arrival in arrivals
            if not short_s - 1.0 < arrival["t"] < short_s + 0.2
        ]

    path = rewritten("single", tmp_path, with_silences)
    replayed = replay(path)
    url = f"replay://{path}?speed=max"
    divided = events_of(weighstation("divide", *BAND, "--port", url, "--events", home=tmp_path))
    lines = weighstation("journal", "show", "--last", "50", home=tmp_path).stdout

    assert 1 == lines.count("nothing came from the scale; a load lay on the pan unseen")
    for kind in ("cue", "piece", "lifted"):
        assert of_kind(replayed, kind) == of_kind(divided, kind)
