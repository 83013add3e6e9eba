"""Outcomes as JSON lines."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from weighstation.acquire import Counts
from weighstation.events import (
    Cue,
    LiftedTurned,
    Piece,
    PieceKept,
    PieceLifted,
    TookFor,
    Verdict,
    Voided,
)
from weighstation.station.bench.offer import Offer, ToCome
from weighstation.station.bench.vocabulary import Vocabulary, end_line

CUE = Cue(3.41, 1, 0, 752_000, Verdict.TRIM, 12_000, firm=False)
PIECE = Piece(1, 7.9, 3.05, 752_000, 743_000, 1, Verdict.KEEP)


def spoken(vocabulary: Vocabulary, *outcomes: Cue | PieceKept | PieceLifted) -> list[str]:
    """Return the lines that are said of outcomes."""
    lines = (vocabulary.line(outcome) for outcome in outcomes)
    return [line for line in lines if line is not None]


@pytest.fixture
def vocabulary() -> Vocabulary:
    """Of a scale that shows whole grams."""
    vocabulary = Vocabulary()
    vocabulary.division_mg = 1000
    return vocabulary


def test_cue_and_piece_are_written_as_documented(vocabulary: Vocabulary) -> None:
    assert (
        '{"event": "cue", "t": 3.41, "piece": 1, "touch": 0, "grams": 752.0, "verdict": "trim",'
        ' "error": 12.0, "firm": false}'
    ) == vocabulary.line(CUE)
    assert (
        '{"event": "piece", "t": 7.9, "number": 1, "grams": 743.0, "first_grams": 752.0,'
        ' "touches": 1, "verdict": "keep", "placed": 3.05, "seconds": 4.85}'
    ) == vocabulary.line(PieceKept(PIECE))


@pytest.mark.parametrize(
    ("division_mg", "grams"), [(1000, 752.0), (5000, 752.0), (100, 752.2), (10, 752.25)]
)
def test_grams_have_the_digits_of_the_division(division_mg: int, grams: float) -> None:
    vocabulary = Vocabulary()
    vocabulary.division_mg = division_mg
    line = vocabulary.line(replace(CUE, net_mg=752_249))

    assert line is not None
    assert grams == json.loads(line)["grams"]


def test_error_keeps_its_sign(vocabulary: Vocabulary) -> None:
    line = vocabulary.line(replace(CUE, error_mg=-9_000, verdict=Verdict.ADD))

    assert line is not None
    assert -9.0 == json.loads(line)["error"]


@pytest.mark.parametrize(
    ("change", "lines"),
    [
        ({"t_s": 3.5}, 1),
        ({"t_s": 3.5, "net_mg": 752_500}, 1),
        ({"t_s": 3.5, "net_mg": 753_000}, 2),
        ({"t_s": 3.5, "firm": True}, 2),
        ({"t_s": 3.5, "verdict": Verdict.KEEP}, 2),
        ({"t_s": 3.5, "touch": 1}, 2),
        ({"t_s": 3.5, "piece": 2}, 2),
        ({"t_s": 3.5, "cut_again": True}, 1),
    ],
)
def test_cue_is_written_when_what_the_person_is_told_changes(
    vocabulary: Vocabulary, change: dict[str, object], lines: int
) -> None:
    assert lines == len(spoken(vocabulary, CUE, replace(CUE, **change)))  # type: ignore[arg-type]


def test_small_steps_add_up_to_something_new(vocabulary: Vocabulary) -> None:
    """Each differs by half a division from the one before, the last by one from what was said."""
    steps = [replace(CUE, net_mg=CUE.net_mg + 500 * step) for step in range(3)]

    assert 2 == len(spoken(vocabulary, *steps))


def test_piece_that_comes_back_is_told_again(vocabulary: Vocabulary) -> None:
    lifted = PieceLifted(replace(PIECE, verdict=Verdict.TRIM))

    assert 3 == len(spoken(vocabulary, CUE, lifted, CUE))


def test_time_never_falls(vocabulary: Vocabulary) -> None:
    late = PieceKept(replace(PIECE, t_s=2.0))

    assert [3.41, 3.41] == [json.loads(line)["t"] for line in spoken(vocabulary, CUE, late)]


def test_turning_and_striking_out_name_the_pieces(vocabulary: Vocabulary) -> None:
    turned = vocabulary.line(LiftedTurned(9.0, 1, TookFor.BOARDED, (), (PIECE,)))
    voided = vocabulary.line(Voided(9.5, PIECE, "fell on the floor"))

    assert turned is not None
    assert voided is not None
    assert ("boarded", [], 743.0) == (
        json.loads(turned)["took_for"],
        json.loads(turned)["removes"],
        json.loads(turned)["adds"][0]["grams"],
    )
    assert {
        "event": "voided",
        "t": 9.5,
        "number": 1,
        "reason": "fell on the floor",
    } == json.loads(voided)


def test_end_of_nothing_has_no_mean() -> None:
    end = json.loads(end_line(None, Counts(frames=12, unreadable=2, overload=0, underload=0), "0"))

    assert {
        "event": "end",
        "pieces": 0,
        "lifted": 0,
        "mean_g": None,
        "sd_g": None,
        "frames": 12,
        "frames_bad": 2,
        "head": "0",
    } == end


def test_an_offer_is_written_as_documented(vocabulary: Vocabulary) -> None:
    offer = Offer(20, 25_700_000, ToCome(28, 918_000, 0), None, is_on_course=False)
    more = replace(offer, instead=ToCome(29, 886_000, 0))

    assert (
        '{"event": "offer", "t": 7.9, "dough_left_g": 25700.0, "to_come": 28, "target_g": 918.0,'
        ' "left_over_g": 0.0, "instead": null,'
        ' "text": "Offer: aim 918 g from here: the dough comes out even."}'
    ) == vocabulary.offer(offer, 7.9)
    assert {"to_come": 29, "target_g": 886.0, "left_over_g": 0.0} == (
        json.loads(vocabulary.offer(more, 8.0))["instead"]
    )
