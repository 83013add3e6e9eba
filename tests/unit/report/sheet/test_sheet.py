"""Every figure of a batch sheet is named for what it is."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta, timezone
from typing import TYPE_CHECKING

import pytest

from weighstation.journal import Lifts, RunState, Settled, StruckOut
from weighstation.report import Bench, batch_sheet
from weighstation.report.sheet.figures import ScaleCheck, SettledDoubt
from weighstation.specification import Guard

if TYPE_CHECKING:
    from weighstation.report import BatchFigures


def rows(figures: BatchFigures) -> dict[str, tuple[str, str]]:
    sheet = batch_sheet(figures)
    return {row.label: (row.said, row.note) for table in sheet.tables for row in table.rows}


@pytest.mark.parametrize(
    ("label", "said", "note"),
    [
        ("When", "2026-03-02 04:10 to 04:20 UTC", ""),
        ("Scaling weight", "740 g", ""),
        ("Band", "732 to 756 g", "both limits belong to it"),
        ("Runs", "a1 (4 pieces, interrupted), a2 (2 pieces, done)", ""),
        ("Interrupted", "run a1 after 4 pieces", "closed when the station started again"),
        ("Scale", "serial:///dev/ttyUSB0?baud=9600", "division 1 g"),
        ("Gaps", "2", "13.2 s in which nothing was weighed"),
        ("Software", "weighstation 0.1.0", ""),
        ("Pieces", "6", ""),
        ("Mean", "741.0 g (+1.0)", ""),
        ("Out of band", "1 (16.7 %)", "boarded as they were: piece 5"),
        ("Light", "1", "below 732 g; 12.0 g short of the scaling weight in all"),
        ("Lifted, unresolved", "2", "not counted: piece 2, 7"),
        ("Two at once", "0", ""),
        ("Struck out", "1", "not counted"),
        ("Grams of dough", "+6.0 g", "mean minus scaling weight, times pieces"),
        ("Percent", "+0.14 %", "of the scaling weight, times pieces"),
        ("Money", "0.00 EUR", "at 0.62 EUR a kg of dough"),
        (
            "Sum of overs only",
            "28.0 g",
            "pieces above the scaling weight; light ones not set off",
        ),
        ("Money of overs", "0.02 EUR", "at the same price"),  # 28 g at 0.62 a kg: 0.01736
        ("First-cut bias", "+0.3 g", "mean first cut minus scaling weight"),
        # The sample standard deviation of 12, -2, 8, -20, -12, 16, by hand: sqrt(1011.33 / 5).
        ("First-cut spread", "14.2 g", "standard deviation"),
        ("Touches a piece", "0.50", "adds and trims"),
        ("Seconds a piece", "5.0 s", "from on the pan to off it"),
    ],
)
def test_each_row_says_figure_unit_and_meaning(
    figures: BatchFigures, label: str, said: str, note: str
) -> None:
    """All worked out by hand from the six pieces of the fixture."""
    assert (said, note) == rows(figures)[label]


def test_the_sheet_names_product_and_line(figures: BatchFigures) -> None:
    sheet = batch_sheet(figures)

    assert sheet.title == "Batch sheet: Farmhouse white"
    assert sheet.as_of == "as of line 57, head 0123456789abcdef"


def test_the_chart_is_of_first_cuts_and_not_of_kept_pieces(figures: BatchFigures) -> None:
    chart = batch_sheet(figures).first_cuts

    assert chart is not None
    assert tuple(chart.points) == (752.0, 738.0, 748.0, 720.0, 728.0, 756.0)


def test_times_are_told_in_the_zone_asked_for(figures: BatchFigures) -> None:
    zone = timezone(timedelta(hours=2), "EET")

    assert batch_sheet(figures, zone=zone).tables[0].rows[0].said == (
        "2026-03-02 06:10 to 06:20 EET"
    )


def test_a_batch_over_midnight_names_both_days(figures: BatchFigures) -> None:
    long = replace(figures, last_utc_ms=figures.last_utc_ms + 86_400_000)

    assert rows(long)["When"][0] == "2026-03-02 04:10 to 2026-03-03 04:20 UTC"


def test_without_a_price_the_sheet_says_so(figures: BatchFigures) -> None:
    free = replace(figures, product=replace(figures.product, dough_cost_per_kg=None))

    assert rows(free)["Money"] == ("—", "the product has no dough_cost_per_kg")
    assert "Money of overs" not in rows(free)


def test_a_dough_cut_too_light_gives_away_less_than_nothing(figures: BatchFigures) -> None:
    light = replace(figures, runs=(figures.runs[1],), pieces=figures.pieces[4:5])
    less = replace(
        light, runs=(replace(light.runs[0], kept=light.runs[0].first.counted(16_000, -1)),)
    )

    assert rows(less)["Grams of dough"][0] == "\N{MINUS SIGN}12.0 g"


def test_a_simulated_scale_is_plainly_named(figures: BatchFigures) -> None:
    played = replace(figures, benches=(Bench("simulated://?seed=1", None, "0.1.0"),))

    assert rows(played)["Scale"] == (
        *("simulated scale", "simulated://?seed=1, division not known at its start"),
    )


def test_a_recording_is_called_one(figures: BatchFigures) -> None:
    replayed = replace(figures, benches=(Bench("replay://", 1000, "0.1.0"),))

    assert rows(replayed)["Scale"] == ("a recording", "division 1 g")


def test_every_scale_of_a_batch_is_named(figures: BatchFigures) -> None:
    two = replace(figures, benches=(*figures.benches, Bench("tcp://10.0.0.7:4001", 2000, "0.2.0")))
    said = [(row.label, row.said, row.note) for row in batch_sheet(two).tables[0].rows]

    assert ("Scale", "tcp://10.0.0.7:4001", "division 2 g") in said
    assert ("Software", "weighstation 0.1.0, 0.2.0", "") in said


def test_where_nothing_was_missed_no_gap_is_told(figures: BatchFigures) -> None:
    assert "Gaps" not in rows(replace(figures, gaps_ms=()))


def test_two_at_once_are_told_and_not_counted(figures: BatchFigures) -> None:
    twice = replace(figures, lifts=Lifts(two_at_once=2))

    assert rows(twice)["Two at once"] == ("2", "not counted")


def test_what_rounds_to_nothing_has_no_sign(figures: BatchFigures) -> None:
    """Four milligrams too light in all are no give-away to speak of."""
    sums = figures.kept.counted(-6_004, 1)
    runs = (replace(figures.runs[0], kept=sums), replace(figures.runs[1], kept=type(sums)()))
    level = rows(replace(figures, runs=runs))

    assert {level[name][0] for name in ("Grams of dough", "Percent", "Money")} == {
        *("0.0 g", "0.00 %", "0.00 EUR")
    }


def test_a_batch_without_pieces_has_a_sheet(figures: BatchFigures) -> None:
    none = replace(
        figures, pieces=(), runs=(RunState("a1", 1, "Farmhouse white", 740_000, 1000, 0),)
    )
    told = rows(none)

    assert told["Pieces"][0] == "0"
    assert told["Mean"][0] == "—"
    assert told["Give-away"] == ("—", "no piece was counted")
    assert told["First cuts"] == ("—", "no piece was counted")
    assert told["Runs"][0] == "a1 (0 pieces, still open)"
    assert batch_sheet(none).first_cuts is None


def test_one_piece_has_no_spread(figures: BatchFigures) -> None:
    first = figures.pieces[0]
    sums = type(figures.kept)().counted(12_000, 1)
    one = replace(figures, pieces=(first,), runs=(replace(figures.runs[0], kept=sums, first=sums),))

    assert rows(one)["First-cut spread"][0] == "—"
    assert "1 piece," in rows(one)["Runs"][0]


def test_pieces_out_of_band_are_named_past_the_tenth_by_their_count(figures: BatchFigures) -> None:
    light = figures.pieces[4]
    many = tuple(replace(light, number=number) for number in range(1, 14))

    assert rows(replace(figures, pieces=many))["Out of band"][1] == (
        "boarded as they were: piece 1, 2, 3, 4, 5, 6, 7, 8, 9, 10 and 3 more"
    )
    assert rows(replace(figures, pieces=figures.pieces[:4]))["Out of band"][1] == (
        "boarded as they were"
    )


def test_a_piece_struck_out_is_named_with_the_reason(figures: BatchFigures) -> None:
    lifts = Lifts(struck_out=(StruckOut(3, "fell on the floor"), StruckOut(9, "two halves")))

    assert rows(replace(figures, lifts=lifts))["Struck out"] == (
        "1",
        "not counted: piece 3 (fell on the floor), piece 9 (two halves)",
    )


def test_the_sheet_tells_of_the_last_check_of_the_scale(figures: BatchFigures) -> None:
    check = ScaleCheck(7, 1_772_424_600_000, is_fit=True, held_against="Held against class III.")
    told = rows(replace(figures, scale_check=check, doubtful=(1, 2, 5)))
    why = "a check found the scale not fit; the baked loaves are to be weighed"

    assert ("fit, 2026-03-02 04:10", "line 7. Held against class III.") == told["Scale check"]
    assert ("3 pieces", f"1-2, 5: {why}") == told["Doubtful"]


def test_a_doubt_that_was_settled_stays_on_the_sheet(figures: BatchFigures) -> None:
    said = Settled(6, 9, "Ada Krume", "1 kg put on for 500 g")
    told = rows(replace(figures, settled=(SettledDoubt((1, 2, 5), 12, said),)))

    assert (
        "3 pieces",
        (
            "1-2, 5: line 12, by Ada Krume: the check on line 6 failed by mistake (1 kg put on for"
            " 500 g); the next, on line 9, was good"
        ),
    ) == told["Doubt settled"]


def test_a_band_that_was_drawn_in_is_told_with_the_promised_one(figures: BatchFigures) -> None:
    """The fixture's band is 732 to 756 g."""
    told = rows(replace(figures, guard=Guard(2_800, 7)))

    assert "732 to 756 g" == told["Band"][0]
    assert (
        "2.8 g",
        "the band is drawn in from 729.2 to 758.8 g by the check on line 7",
    ) == told["Guard band"]
    assert "Guard band" not in rows(figures)


@pytest.mark.parametrize(
    ("scale", "said"),
    [("serial:///dev/ttyUSB0", True), ("simulated://?seed=1", False), ("replay://", False)],
)
def test_that_no_check_is_on_record_is_said_of_real_scales(
    figures: BatchFigures, scale: str, said: bool
) -> None:
    told = rows(replace(figures, benches=(Bench(scale, 1000, "0.1.0"),)))

    assert said == ("Scale check" in told)
