"""Control charts as they are shown: in the terminal, as a record, as a picture."""

from __future__ import annotations

import io
import itertools
import re
from dataclasses import replace
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import pytest
from rich.console import Console

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.journal import Sums
from weighstation.monitor import NELSON, Rule, individuals
from weighstation.report.charts.batch_chart import (
    BatchSums,
    ChartKind,
    batch_chart,
    batches_chart,
    kept_chart,
)
from weighstation.report.charts.chart import BOX, track_lines
from weighstation.report.charts.control import chart_record, level_track, track_of
from weighstation.report.charts.picture import draw_chart, drawn_how
from weighstation.report.charts.text import print_chart

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.report import BatchFigures
    from weighstation.report.charts.control import ControlChart

BEGAN_UTC_MS = 1_772_424_600_000  # 2026-03-02 04:10 UTC


@pytest.fixture
def timed(figures: BatchFigures) -> BatchFigures:
    at = {piece.number: BEGAN_UTC_MS + piece.placed_ms for piece in figures.pieces}
    return replace(figures, counted_utc_ms=at)


def many(timed: BatchFigures, errors_g: list[int]) -> BatchFigures:
    model = timed.pieces[0]
    pieces = tuple(
        replace(model, number=number, first_mg=740_000 + 1000 * error_g)
        for number, error_g in enumerate(errors_g, start=11)
    )
    at = {piece.number: BEGAN_UTC_MS + 9000 * piece.number for piece in pieces}
    return replace(timed, pieces=pieces, counted_utc_ms=at)


def printed(chart: ControlChart) -> str:
    stream = io.StringIO()
    print_chart(chart, Console(file=stream, width=80, color_system=None))
    return stream.getvalue()


def test_a_batch_is_charted_by_first_cuts_with_the_numbers_of_its_pieces(
    timed: BatchFigures,
) -> None:
    chart = batch_chart(timed, title="Farmhouse white")
    cuts, ranges = chart.tracks

    assert (752.0, 738.0, 748.0, 720.0, 728.0, 756.0) == cuts.points
    assert (14.0, 10.0, 28.0, 8.0, 28.0) == ranges.points
    assert (1, 2, 3, 4, 5, 6) == chart.numbers
    assert ranges.start == 1
    # Mean 740.333, mean moving range 17.6: limits by hand with d2 = 1.128 and D4 = 3.267.
    assert 740.333 + 3 * 17.6 / 1.128 == pytest.approx(cuts.upper[0], abs=0.02)
    assert 3.267 * 17.6 == pytest.approx(ranges.upper[0], abs=0.02)


def test_a_signal_is_told_with_piece_and_time(timed: BatchFigures) -> None:
    errors_g = [0, 3, -2, 1, -3, 2, 0, -1, 2, -2, 60, 1, -1, 2, 0]
    text = printed(batch_chart(many(timed, errors_g), title="Rye"))

    assert "  2026-03-02 04:13:09, first cut: Piece 21 (800.0 g) is above the upper" in text
    assert "moving range: Step to" in text
    assert "Never answer one piece with the next." in " ".join(text.split())
    assert BOX.beyond in text
    assert "as of line 57, head 0123456789abcdef" in text


def test_rules_are_told_with_numbers_of_pieces(timed: BatchFigures) -> None:
    errors_g = [-4, -3, -5, -2, -6, -3, -4, -2, 4, 3, 5, 2, 6, 3, 4, 2]
    chart = batch_chart(many(timed, errors_g), title="Rye", rules=NELSON[:2])
    plain = batch_chart(many(timed, [*errors_g[:8], -3, *errors_g[8:]]), title="Rye", rules=NELSON)

    assert [] == chart.signal_lines()
    assert any("Pieces 11 to 19 are all on the light side" in line for line in plain.signal_lines())


def test_a_point_beyond_its_limits_is_one_signal_with_run_rules_too(timed: BatchFigures) -> None:
    """Three sigma are the limits, and the rule of that name has nothing to add."""
    errors_g = [0, 3, -2, 1, -3, 2, 0, -1, 2, -2, 60, 1, -1, 2, 0]
    plain = batch_chart(many(timed, errors_g), title="Rye")
    ruled = batch_chart(many(timed, errors_g), title="Rye", rules=[Rule.BEYOND_3_SIGMA])

    assert plain.signal_lines() == ruled.signal_lines()
    assert 1 == len(ruled.tracks[0].signals)


def test_a_signal_of_an_average_is_not_told_as_a_weight_of_the_piece(timed: BatchFigures) -> None:
    drifting = many(timed, [*(-4, 3, -3, 4, -4, 3) * 2, *range(0, 60, 3)])
    chart = batch_chart(drifting, title="Rye", kind=ChartKind.EWMA)

    assert chart.tracks[0].signals
    assert all(
        signal.text.startswith("Average to piece ")
        for track in chart.tracks
        for signal in track.signals
    )


def test_a_calm_chart_asks_for_nothing(timed: BatchFigures) -> None:
    calm = batch_chart(many(timed, [0, 3, -3] * 8), title="Rye")

    assert [] == calm.signal_lines()
    assert not any("Never answer" in remark for remark in calm.remarks)
    assert not any("rough" in remark for remark in calm.remarks)


@pytest.mark.parametrize("kind", list(ChartKind))
def test_limits_from_few_pieces_are_called_rough(timed: BatchFigures, kind: ChartKind) -> None:
    chart = batch_chart(timed, title="Rye", kind=kind)

    assert "Only 6 pieces: limits from fewer than 20 are rough." in chart.remarks


@pytest.mark.parametrize("kind", [ChartKind.EWMA, ChartKind.CUSUM])
def test_the_charts_that_remember_start_at_the_scaling_weight(
    timed: BatchFigures, kind: ChartKind
) -> None:
    drifting = many(timed, [*(-4, 3, -3, 4, -4, 3) * 2, *range(0, 60, 3)])
    chart = batch_chart(drifting, title="Rye", kind=kind)

    texts = [signal.text for track in chart.tracks for signal in track.signals]
    spans = [[int(word) for word in text.split() if word.isdigit()] for text in texts]

    assert texts
    # Its pieces are numbered 11 to 42, and from 23 on they get heavier and heavier.
    assert all(23 <= each <= 42 for span in spans for each in span)
    assert "740 g" in " ".join(chart.remarks)
    with pytest.raises(SpecificationError, match="individuals"):
        batch_chart(timed, title="Rye", kind=kind, rules=NELSON)


def test_kept_pieces_have_the_band_and_no_limits(timed: BatchFigures) -> None:
    chart = kept_chart(timed, title="kept")
    text = printed(chart)

    assert {732.0} == set(chart.tracks[0].lower)
    assert {756.0} == set(chart.tracks[0].upper)
    assert "Out of band: 5." in text
    assert "Signals" not in text
    with pytest.raises(NotEnoughDataError):
        kept_chart(replace(timed, pieces=()), title="kept")


def test_a_spread_that_the_scale_cannot_show_is_refused(timed: BatchFigures) -> None:
    with pytest.raises(SpecificationError, match="cannot show a spread"):
        batch_chart(many(timed, [0, 0, 0, 1, 0, 0, 0, 0]), title="Rye")
    for benches in (timed.benches, ()):
        with pytest.raises(SpecificationError, match="All first cuts are equal"):
            batch_chart(replace(many(timed, [0] * 8), benches=benches), title="Rye")


def sums(errors_g: list[int]) -> Sums:
    total = Sums()
    for error_g in errors_g:
        total = total.counted(1000 * error_g, 1)
    return total


def test_batches_are_charted_by_their_sums() -> None:
    usual = [[0, 4, -4, 2, -2], [1, 5, -3, 3, -1, 1], [0, 3, -5, 2, -2], [2, 4, -4, 0]] * 3
    wild = [40, -40, 30, -30, 0]
    batches = [
        BatchSums(BEGAN_UTC_MS + 86_400_000 * day, sums(errors_g))
        for day, errors_g in enumerate([*usual, wild])
    ]
    chart = batches_chart(batches, title="Rye: 13 batches", as_of="as of line 9")
    means, spread = chart.tracks

    assert [0.0, 1.0, -0.4, 0.5] == pytest.approx(means.points[:4])
    assert [12] == sorted(spread.odd)
    assert spread.upper[0] < spread.upper[3]
    assert "  2026-03-14 04:10:00, spread within: Batch 13 (35.4 g) is above" in printed(chart)
    assert "Only 13 batches: limits from fewer than 20 are rough." in printed(chart)
    with pytest.raises(NotEnoughDataError, match="at least 2 batches"):
        batches_chart(batches[:1], title="Rye", as_of="")


@pytest.mark.parametrize(("left_out", "said"), [(1, "1 batch is left"), (3, "3 batches are left")])
def test_batches_without_a_spread_are_said(left_out: int, said: str) -> None:
    batches = [BatchSums(BEGAN_UTC_MS, sums([0, 4])), BatchSums(BEGAN_UTC_MS, sums([1, 5]))]

    assert said in printed(batches_chart(batches, title="Rye", as_of="", left_out=left_out))
    assert "left out" not in printed(batches_chart(batches, title="Rye", as_of=""))


def test_a_record_holds_every_point_and_signal(timed: BatchFigures) -> None:
    record = chart_record(batch_chart(timed, title="Farmhouse white"))
    cuts, ranges = record["tracks"]  # type: ignore[misc]

    assert record["numbers"] == [1, 2, 3, 4, 5, 6]
    assert record["times"][0] == "2026-03-02T04:10:10.000+00:00"  # type: ignore[index]
    assert [752.0, 738.0, 748.0, 720.0, 728.0, 756.0] == cuts["points_g"]  # type: ignore[has-type]
    assert 5 == len(ranges["points_g"])  # type: ignore[has-type]


def test_limits_that_widen_are_drawn_where_they_are(timed: BatchFigures) -> None:
    chart = batch_chart(many(timed, [0, 3, -3] * 8), title="Rye", kind=ChartKind.EWMA)
    lines = track_lines(chart.tracks[0], chart.numbers)
    rows_of_limits = [row for row, line in enumerate(lines) if BOX.limit in line]

    assert len(rows_of_limits) > 2


def test_one_point_is_drawn_with_its_number() -> None:
    track = replace(track_of(individuals([740.0, 741.0]), "first cut"), points=(740.0,))

    assert ["7"] == track_lines(track, [7])[-1].split()


def test_a_picture_is_the_same_bytes_each_time(timed: BatchFigures, tmp_path: Path) -> None:
    chart = batch_chart(many(timed, [0, 3, -2, 1, -3, 2, 60, 1]), title="Rye & wheat <1>")
    for name in ("one.svg", "two.svg", "one.png", "two.png"):
        draw_chart(chart, tmp_path / name)
    drawn = (tmp_path / "one.svg").read_text()

    assert (tmp_path / "one.svg").read_bytes() == (tmp_path / "two.svg").read_bytes()
    assert (tmp_path / "one.png").read_bytes() == (tmp_path / "two.png").read_bytes()
    assert "Rye &amp; wheat &lt;1&gt;" in drawn
    assert "first cut, g" in drawn
    assert ">17<" in drawn


def drawn_texts(path: Path) -> list[tuple[str, float, float]]:
    """Return the letters of a picture and where they begin, in points."""
    found = []
    for element in ET.parse(path).iter("{http://www.w3.org/2000/svg}text"):
        x, y = (float(element.get(name, "nan")) for name in ("x", "y"))
        found.append((element.text or "", x, y))
    return found


def dashed_widths(path: Path) -> list[float]:
    """Return how wide each dashed line of a picture is, in points."""
    paths = ET.parse(path).iter("{http://www.w3.org/2000/svg}path")
    dashed = [each.get("d", "") for each in paths if "dasharray" in each.get("style", "")]
    xs = [[float(x) for x in re.findall(r"[ML] (\S+) ", d)] for d in dashed]
    return [max(each) - min(each) for each in xs]


def test_one_piece_is_drawn_between_its_lines(timed: BatchFigures, tmp_path: Path) -> None:
    alone = replace(timed, pieces=timed.pieces[:1])
    draw_chart(kept_chart(alone, title="kept"), tmp_path / "chart.svg")

    assert 2 == len(dashed_widths(tmp_path / "chart.svg"))
    assert min(dashed_widths(tmp_path / "chart.svg")) > 100


def test_no_number_lies_on_another(timed: BatchFigures, tmp_path: Path) -> None:
    """A sum stays above its limit for many pieces; letters are 10 points high, digits 6 wide."""
    chart = batch_chart(
        many(timed, [*(-4, 3, -3, 4) * 30, *(20, 22) * 15]), title="Rye", kind=ChartKind.CUSUM
    )
    draw_chart(replace(chart, tracks=chart.tracks[:1]), tmp_path / "chart.svg")
    numbers = [text for text in drawn_texts(tmp_path / "chart.svg") if text[0].isdigit()]
    numbers = [text for text in numbers if int(text[0]) > 130]
    near = [
        (one[0], other[0])
        for one, other in itertools.combinations(numbers, 2)
        if abs(one[1] - other[1]) < 18 and abs(one[2] - other[2]) < 9
    ]

    assert len(chart.tracks[0].odd) > 20
    assert 2 <= len(numbers) < 20
    assert [] == near


def test_names_of_lines_do_not_lie_on_each_other(timed: BatchFigures, tmp_path: Path) -> None:
    chart = batch_chart(many(timed, [0, 3, -3] * 8), title="Rye", kind=ChartKind.CUSUM)
    draw_chart(chart, tmp_path / "sums.svg")
    near = level_track("first cut", [740.0, 790.0], (740.0, 739.9, 740.1))
    draw_chart(replace(chart, tracks=(near,), numbers=(1, 2)), tmp_path / "near.svg")
    names = [text for text, _, _ in drawn_texts(tmp_path / "sums.svg") if text.endswith(" 0.0")]
    heights = [
        y
        for text, _, y in drawn_texts(tmp_path / "near.svg")
        if text.startswith(("upper", "lower", "centre"))
    ]

    assert ["centre 0.0", "centre 0.0"] == names
    assert 3 == len(heights)
    assert min(abs(a - b) for a, b in itertools.combinations(heights, 2)) > 8


def test_a_picture_tells_its_signals_and_what_its_marks_mean(
    timed: BatchFigures, tmp_path: Path
) -> None:
    chart = batch_chart(many(timed, [0, 3, -2, 1, -3, 2, 60, 1, 2, -1, 0]), title="Rye")
    draw_chart(chart, tmp_path / "chart.svg")
    told = [text for text, _, _ in drawn_texts(tmp_path / "chart.svg")]

    assert "\u25b2 beyond a limit, or where a rule is met" in told
    assert set(chart.signal_lines()) <= set(told)
    assert any(text.startswith("Cpk ") for text in told)
    assert "\u25b2 beyond a limit, or where a rule is met" in printed(chart)


@pytest.mark.parametrize("title", ["Loaf $5 to $6", r"Loaf $\frac{$", "\u98df\u30d1\u30f3"])
@pytest.mark.parametrize("form", ["svg", "png"])
def test_a_name_is_drawn_as_it_is_written(
    timed: BatchFigures, tmp_path: Path, title: str, form: str
) -> None:
    """Dollars are no formula, and a letter that the font lacks is no warning."""
    draw_chart(batch_chart(timed, title=title), tmp_path / f"chart.{form}")

    if form == "svg":
        assert title in [text for text, _, _ in drawn_texts(tmp_path / "chart.svg")]


def test_every_point_beyond_is_drawn_however_many_there_are(
    timed: BatchFigures, tmp_path: Path
) -> None:
    """As many marks as points beyond, where single points have none any more."""
    errors_g = [(-1) ** place * 3 + (90 if place % 50 == 0 else 0) for place in range(600)]
    chart = batch_chart(many(timed, errors_g), title="Rye")
    draw_chart(replace(chart, tracks=chart.tracks[:1]), tmp_path / "chart.svg")
    marks = (tmp_path / "chart.svg").read_text().count("<use ")

    assert len(chart.tracks[0].odd) == 12
    assert marks >= 12


def test_points_too_many_to_see_are_drawn_together_and_the_odd_ones_alone(
    timed: BatchFigures, tmp_path: Path
) -> None:
    """1000 cuts in 200 stretches: no mark is drawn of a point that is not odd."""
    chart = batch_chart(many(timed, [*(-3, 2, 0, 3, -2) * 199, 60, 1, 2, -1, 0]), title="Rye")
    draw_chart(chart, tmp_path / "many.svg")
    few = batch_chart(many(timed, [*(-3, 2, 0, 3, -2) * 80]), title="Rye")
    draw_chart(few, tmp_path / "few.svg")
    marks = [
        (tmp_path / name).read_text(encoding="utf-8").count("<use ")
        for name in ("few.svg", "many.svg")
    ]

    assert "There are 1000 pieces: the band" in drawn_how(chart)
    assert "of 5 in a row" in drawn_how(chart)
    assert "of 5 in a row" in (tmp_path / "many.svg").read_text(encoding="utf-8")
    assert not drawn_how(few)
    assert marks[0] > 799
    assert marks[1] < 60
