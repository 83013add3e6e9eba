"""Plain lines say each thing once, in words."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING

import pytest

from weighstation.events import Cue, TookFor, Verdict
from weighstation.plan import BoardFact, BoardRecord, Boards, PieceBoarded
from weighstation.specification import Limits
from weighstation.station.bench.clocks import Clocks
from weighstation.station.bench.snapshot import LiftedNote, Scene, Snapshot
from weighstation.station.panel.plain import piece_lines

if TYPE_CHECKING:
    from weighstation.station.panel.plain_lines import PlainLines

EMPTY = Snapshot(
    t_s=0.0,
    product="Farmhouse white",
    limits=Limits(740_000, 8_000, 8_000),
    division_mg=1000,
    scene=Scene.EMPTY,
)
TRIM = Cue(1.0, 13, 0, 752_000, Verdict.TRIM, 12_000, firm=True)


@pytest.fixture
def plain() -> PlainLines[Snapshot]:
    return piece_lines(io.StringIO())


def test_a_quiet_bench_says_nothing(plain: PlainLines[Snapshot]) -> None:
    assert () == plain.lines(EMPTY)


def test_a_firm_cue_is_said_once(plain: PlainLines[Snapshot]) -> None:
    cued = replace(EMPTY, scene=Scene.CUED, cue=TRIM)

    assert ("Piece 13: trim, +12 g (752 g)",) == plain.lines(cued)
    assert () == plain.lines(replace(cued, t_s=2.0))


def test_a_provisional_cue_is_not_said(plain: PlainLines[Snapshot]) -> None:
    assert () == plain.lines(replace(EMPTY, cue=replace(TRIM, firm=False)))


def test_the_same_cue_after_another_touch_is_said_again(plain: PlainLines[Snapshot]) -> None:
    cued = replace(EMPTY, cue=TRIM)
    plain.lines(cued)
    plain.lines(replace(EMPTY, scene=Scene.MOVING))

    assert ("Piece 13: trim, +12 g (752 g)",) == plain.lines(cued)


def test_two_pieces_at_once_give_no_grams(plain: PlainLines[Snapshot]) -> None:
    cue = replace(TRIM, verdict=Verdict.ONE_AT_A_TIME, error_mg=740_000)

    assert ("Piece 13: one at a time",) == plain.lines(replace(EMPTY, cue=cue))


def test_a_counted_piece_says_what_is_left(plain: PlainLines[Snapshot]) -> None:
    counted = replace(
        EMPTY, counted=12, planned=48, last_number=12, last_mg=741_000, kept_mean_mg=740_812.0
    )

    assert ("Piece 12 counted: 741 g, 12 in all, 36 left, mean 740.8 g",) == plain.lines(counted)


def test_a_lifted_piece_names_the_key(plain: PlainLines[Snapshot]) -> None:
    note = LiftedNote(12, 12_000, TookFor.CAME_BACK)

    assert (
        "Piece 12 left 12 g heavy: taken as brought back (B: no, it was boarded)",
    ) == plain.lines(replace(EMPTY, lifted=note))


@pytest.mark.parametrize(
    ("armed", "line"),
    [
        ("void", "Press V again to strike out piece 12 (741 g)"),
        ("end", "Press E again to end the batch"),
    ],
)
def test_an_armed_key_asks_for_its_second_press(
    plain: PlainLines[Snapshot], armed: str, line: str
) -> None:
    shown = replace(EMPTY, known_number=12, known_mg=741_000)
    plain.lines(shown)

    assert (line,) == plain.lines(replace(shown, armed=armed))


def test_alarms_come_first_and_are_written_out() -> None:
    stream = io.StringIO()
    alarm = replace(
        EMPTY, scene=Scene.SCALE_LOST, alarm="The scale is lost: check its plug.", notice="Hm."
    )
    piece_lines(stream).show(alarm)

    assert (
        "ALARM: The scale is lost: check its plug.\nThe scale is lost.\nHm.\n" == stream.getvalue()
    )


def test_a_narrow_alphabet_gets_a_question_mark_and_not_a_fault() -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii")
    piece_lines(stream).show(replace(EMPTY, notice="The scale at /dev/w\u00e4gezelle is back."))

    assert raw.getvalue() == b"The scale at /dev/w?gezelle is back.\n"


def test_a_piece_is_said_to_count_once_whatever_the_division_is_found_to_be(
    plain: PlainLines[Snapshot],
) -> None:
    """The scale prints a nought behind the point until it is seen to weigh whole grams."""
    counted = replace(EMPTY, division_mg=100, counted=1, last_number=1, last_mg=741_000, cue=TRIM)
    plain.lines(counted)

    assert () == plain.lines(replace(counted, division_mg=1000, t_s=1.0))


def test_a_piece_that_was_struck_out_does_not_make_the_one_before_news(
    plain: PlainLines[Snapshot],
) -> None:
    two = replace(EMPTY, counted=2, last_number=2, last_mg=741_000)
    plain.lines(two)

    assert () == plain.lines(replace(two, counted=1, last_number=1))


def test_pieces_of_an_earlier_run_are_no_news() -> None:
    resumed = piece_lines(io.StringIO(), counted=2)
    two = replace(EMPTY, counted=2, last_number=2, last_mg=741_000)

    assert () == resumed.lines(two)
    assert resumed.lines(replace(two, counted=3, last_number=3))[0].startswith("Piece 3 counted")


def test_what_lies_there_from_before_is_to_be_taken_off(plain: PlainLines[Snapshot]) -> None:
    laden = replace(EMPTY, scene=Scene.LADEN, lain_mg=742_000)

    assert ("742 g lies there from before: take it off, a piece may come back.",) == plain.lines(
        laden
    )


def laid(pieces: int, t_s: float, *facts: BoardFact) -> Snapshot:
    cuts = [PieceBoarded(number, 10.0 * number) for number in range(1, pieces + 1)]
    boards = reduce(Boards.after, (*cuts, *facts), Boards(6))
    return replace(EMPTY, t_s=t_s, clocks=Clocks(record=BoardRecord(boards), is_filling=True))


def test_a_full_board_is_said_once(plain: PlainLines[Snapshot]) -> None:
    plain.lines(laid(5, 50.0))

    assert ("Board 1 is closed with 6 pieces.",) == plain.lines(laid(6, 60.0))
    assert () == plain.lines(laid(7, 66.0))


def test_a_board_that_is_ready_or_late_is_said_once_each(plain: PlainLines[Snapshot]) -> None:
    said = [
        line
        for t_s in range(600, 1200, 5)
        for line in plain.lines(laid(3, float(t_s)))
        if "rested" in line
    ]

    assert [
        "Board 1 has rested 10 min: shape it within 5 min.",
        "Board 1 has rested 15 min, 1 min too long: shape it now.",
    ] == said


def test_a_caution_is_said_once(plain: PlainLines[Snapshot]) -> None:
    said = [line for t_s in range(60, 200) for line in plain.lines(laid(6, float(t_s)))]

    assert [
        "Board 1 is closed with 6 pieces.",
        "Caution: Board 1 has lain open for 1.0 min: cover it before it skins.",
    ] == said


def test_a_key_for_boards_asks_for_its_second_press(plain: PlainLines[Snapshot]) -> None:
    asked = replace(laid(3, 40.0), armed="close", armed_board=1)

    assert ("C again closes board 1 (3 pieces); another: type its number",) == plain.lines(asked)


def test_an_offer_is_said_once(plain: PlainLines[Snapshot]) -> None:
    offered = replace(EMPTY, offer="Offer: aim 746 g from here: the dough comes out even.")

    assert (offered.offer,) == plain.lines(offered)
    assert () == plain.lines(replace(offered, t_s=2.0))
