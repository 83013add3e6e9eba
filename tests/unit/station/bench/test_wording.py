"""The bench says the same thing with the same words everywhere."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.events import Cue, TookFor, Verdict
from weighstation.specification import Limits
from weighstation.station.bench.snapshot import LiftedNote, Scene, Snapshot
from weighstation.station.bench.wording import (
    age_text,
    armed_text,
    band_text,
    cue_word,
    lifted_key_text,
    lifted_text,
    overtaken_text,
    promised,
    signed,
)

EMPTY = Snapshot(0.0, "Roll", Limits(62_000, 1_500, 2_000), 1000, Scene.EMPTY)


@pytest.mark.parametrize(
    ("verdict", "cut_again", "word"),
    [
        (Verdict.KEEP, False, "KEEP"),
        (Verdict.ADD, False, "ADD"),
        (Verdict.TRIM, False, "TRIM"),
        (Verdict.ONE_AT_A_TIME, False, "ONE AT A TIME"),
        (Verdict.ADD, True, "CUT AGAIN"),
    ],
)
def test_each_verdict_has_one_word(verdict: Verdict, word: str, *, cut_again: bool) -> None:
    assert word == cue_word(Cue(0.0, 1, 0, 1, verdict, 0, firm=True, cut_again=cut_again))


def test_an_error_has_a_true_sign_and_the_digits_of_the_scale() -> None:
    assert ["+12", "\N{MINUS SIGN}12.5", "0"] == [
        signed(12_000, 1000),
        signed(-12_500, 500),
        signed(0, 1000),
    ]


def test_promised_weights_keep_the_decimals_they_were_promised_with() -> None:
    """A limit of 60.5 g must not read as 60 g on a scale of whole grams."""
    assert band_text(EMPTY) == "keep 60.5 to 64 g"
    assert promised(740_000) == "740"


@pytest.mark.parametrize(
    ("took_for", "said", "key"),
    [
        (None, "it may come back", "B: it was boarded"),
        (TookFor.CAME_BACK, "taken as brought back", "B: no, it was boarded"),
        (TookFor.BOARDED, "taken as boarded", "B: no, it came back"),
    ],
)
def test_the_key_offers_the_other_thing(took_for: TookFor | None, said: str, key: str) -> None:
    note = LiftedNote(12, -9_000, took_for)

    assert f"Piece 12 left 9 g light: {said}" == lifted_text(note, 1000)
    assert key == lifted_key_text(note)


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(-1, "0 s"), (59.9, "59 s"), (60, "1 min 00 s"), (3599, "59 min 59 s"), (3600, "1 h 00 min")],
)
def test_an_age_is_told_in_two_units_at_most(seconds: float, said: str) -> None:
    assert said == age_text(seconds)


def test_a_second_press_names_the_piece_that_is_known_last_and_not_the_last_on_the_disk() -> None:
    waits = replace(EMPTY, armed="void", last_number=4, last_mg=62_000)
    waits = replace(waits, known_number=7, known_mg=63_000)

    assert "Press V again to strike out piece 7 (63 g)" == armed_text(waits)
    assert armed_text(EMPTY) == ""


def test_ending_says_that_an_open_piece_is_not_counted() -> None:
    note = LiftedNote(24, 12_000, None, is_open=True)
    ending = replace(EMPTY, armed="end", lifted=note)

    assert (
        "Piece 24 left 12 g heavy and is not counted: B if it was boarded. E again ends the batch."
    ) == armed_text(ending)
    assert "Press E again to end the batch" == armed_text(
        replace(ending, lifted=replace(note, is_open=False))
    )


@pytest.mark.parametrize(
    ("known", "note", "said"),
    [
        (2, None, "Piece 2 is counted now: press V again to strike out piece 2."),
        (
            1,
            LiftedNote(2, 12_000, None, is_open=True),
            "Piece 2 left out of band: press V again to strike out piece 1.",
        ),
        (1, None, "Something else was done meanwhile: press V again to strike out piece 1."),
        (None, None, "No piece can be struck out."),
    ],
)
def test_what_came_between_two_presses_is_said(
    known: int | None, note: LiftedNote | None, said: str
) -> None:
    assert said == overtaken_text(replace(EMPTY, known_number=known, lifted=note), named=1)
