"""The record says the same as the sheet, in numbers with their units in the names."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from weighstation.journal import Lifts, RunState, StruckOut
from weighstation.report import batch_record
from weighstation.report.sheet.figures import ScaleCheck
from weighstation.report.sheet.sheet import batch_sheet
from weighstation.specification import Guard

if TYPE_CHECKING:
    from weighstation.report import BatchFigures


def test_the_record_holds_every_figure(figures: BatchFigures) -> None:
    """Worked out by hand from the six pieces of the fixture."""
    lifts = Lifts(struck_out=(StruckOut(9, "fell"),))
    record = batch_record(replace(figures, lifts=lifts))
    spread = record.pop("first_sd_g")

    assert round(float(str(spread)), 3) == 14.222
    assert record == {
        "product": "Farmhouse white",
        "scaling_weight_g": 740.0,
        "under_g": 8.0,
        "over_g": 16.0,
        "guard": None,
        "batch": None,
        "started": "2026-03-02T04:10:00.000+00:00",
        "last": "2026-03-02T04:20:00.000+00:00",
        "entered": [],
        "scales": [
            {
                "scale": "serial:///dev/ttyUSB0?baud=9600",
                "simulated": False,
                "imported_from": None,
                "division_g": 1.0,
                "software": "0.1.0",
            }
        ],
        "scale_check": None,
        "doubtful": [],
        "doubt_settled": [],
        "gaps": 2,
        "gaps_s": 13.2,
        "runs": [
            {"run": "a1", "pieces": 4, "ended": "interrupted"},
            {"run": "a2", "pieces": 2, "ended": "done"},
        ],
        "pieces": 6,
        "mean_g": 741.0,
        "out_of_band": 1,
        "out_of_band_pieces": [5],
        "out_of_band_pct": 100 / 6,
        "light": 1,
        "light_short_g": 12.0,
        "lifted_unresolved": [2, 7],
        "taken_for_come_back": [],
        "taken_for_boarded": [],
        "two_at_once": 0,
        "voided": 1,
        "struck_out": [{"piece": 9, "reason": "fell"}],
        "dough": None,
        "mixed": None,
        "boards": [],
        "traced": [],
        "giveaway_g": 6.0,
        "giveaway_pct": 100 * 6 / (6 * 740),
        "money": "0.00",
        "currency": "EUR",
        "over_sum_g": 28.0,
        "over_money": "0.02",
        "first_bias_g": 2 / 6,
        "first_cut_signals": [],
        "touches_per_piece": 0.5,
        "seconds_per_piece": 5.0,
        "happenings": [],
        "as_of": {"line": 57, "head": "0123456789abcdef" * 4},
    }


def test_json_can_write_it(figures: BatchFigures) -> None:
    record = batch_record(figures)

    assert record == json.loads(json.dumps(record))


def test_what_cannot_be_worked_out_is_null(figures: BatchFigures) -> None:
    record = batch_record(
        replace(
            figures,
            product=replace(figures.product, dough_cost_per_kg=None),
            currency="",
            pieces=(),
            runs=(RunState("a1", 1, "Farmhouse white", 740_000, 1000, 0),),
        )
    )
    empty = {key for key, figure in record.items() if figure is None}

    assert empty == {
        "batch",
        "guard",
        "scale_check",
        "mean_g",
        "dough",
        "mixed",
        "out_of_band_pct",
        "giveaway_pct",
        "money",
        "over_money",
        "currency",
        "first_bias_g",
        "first_sd_g",
        "touches_per_piece",
        "seconds_per_piece",
    }


def test_money_that_rounds_to_nothing_has_no_sign(figures: BatchFigures) -> None:
    run = replace(figures.runs[0], kept=figures.kept.counted(-6_004, 1))

    assert batch_record(replace(figures, runs=(run,)))["money"] == "0.00"


def test_a_signal_names_the_piece_by_its_number(figures: BatchFigures) -> None:
    """A struck-out piece leaves a hole in the numbers, so place and number differ."""
    quiet = figures.pieces[1]
    pieces = [replace(quiet, number=number) for number in range(10, 30)]
    wild = replace(quiet, number=31, first_mg=900_000)
    record = batch_record(replace(figures, pieces=(*pieces, wild)))

    assert record["first_cut_signals"] == [{"piece": 31, "rule": "beyond limits"}]


def test_the_last_check_of_the_scale_and_what_it_makes_doubtful(figures: BatchFigures) -> None:
    check = ScaleCheck(7, 1_772_424_600_000, is_fit=False, held_against="Held against our own.")
    record = batch_record(replace(figures, scale_check=check, doubtful=(1, 2, 5)))

    assert [1, 2, 5] == record["doubtful"]
    assert {
        "line": 7,
        "when": "2026-03-02T04:10:00.000+00:00",
        "verdict": "unfit",
        "held_against": "Held against our own.",
    } == record["scale_check"]


def test_how_the_band_was_drawn_in(figures: BatchFigures) -> None:
    guarded = batch_record(replace(figures, guard=Guard(2_800, 7)))

    assert {"width_g": 2.8, "check_line": 7} == guarded["guard"]


@pytest.mark.parametrize(("currency", "coins"), [("EUR", 2), ("JPY", 0), ("KWD", 3)])
def test_money_has_the_decimals_of_its_currency(
    figures: BatchFigures, currency: str, coins: int
) -> None:
    """As ISO 4217 has them; on the sheet and for a program."""
    abroad = replace(figures, currency=currency)
    told = batch_record(abroad)
    table = next(t for t in batch_sheet(abroad).tables if t.title.startswith("Give-away"))
    shown = {row.label: row.said.split(" ")[0] for row in table.rows}

    for text in (told["money"], told["over_money"], shown["Money"], shown["Money of overs"]):
        assert coins == len(str(text).partition(".")[2])
