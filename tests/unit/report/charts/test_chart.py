"""A chart of text shows every point where it belongs, and marks what is beyond."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import pytest

from weighstation.monitor import individuals
from weighstation.report.charts.chart import ASCII, BOX, track_lines
from weighstation.report.charts.control import level_track, track_of

if TYPE_CHECKING:
    from weighstation.monitor import Individuals
    from weighstation.report.charts.chart import Marks

STEADY = [740.0 + step for step in (0, 3, -2, 4, -3, 1, 2, -4) * 3]


def individuals_chart(chart: Individuals, *, width: int = 78, marks: Marks = BOX) -> list[str]:
    numbers = range(1, len(chart.points) + 1)
    return track_lines(track_of(chart, "first cut"), numbers, width=width, marks=marks)


def column_of(lines: list[str], mark: str) -> list[tuple[int, int]]:
    return [
        (row, column)
        for row, line in enumerate(lines)
        for column, char in enumerate(line)
        if char == mark
    ]


def test_every_point_of_a_short_run_has_its_mark() -> None:
    lines = individuals_chart(individuals(STEADY))

    assert len(STEADY) == len(column_of(lines, BOX.point))
    assert column_of(lines, BOX.beyond) == []


def test_heavier_points_stand_higher_and_later_ones_further_right() -> None:
    drawn = column_of(individuals_chart(individuals([740.0, 745.0, 750.0])), BOX.point)
    rows = [row for row, _ in sorted(drawn, key=lambda place: place[1])]

    assert sorted(set(rows), reverse=True) == rows


def test_a_point_beyond_the_limits_has_a_mark_of_its_own() -> None:
    lines = individuals_chart(individuals([*STEADY, 790.0, *STEADY]))

    assert len(column_of(lines, BOX.beyond)) == 1
    assert column_of(lines, BOX.beyond)[0][0] == 0


def test_lines_are_named_and_given_in_grams() -> None:
    chart = individuals(STEADY)
    lines = individuals_chart(chart)
    named = {line.split()[-1]: line.split()[0] for line in lines if line[-1:].isalpha()}

    assert named == {
        "upper": f"{chart.upper:.0f}",
        "centre": f"{chart.centre:.0f}",
        "lower": f"{chart.lower:.0f}",
    }


@pytest.mark.parametrize("count", [2, 48, 61, 62, 300, 5000])
@pytest.mark.parametrize("width", [40, 78, 80])
def test_no_line_is_wider_than_asked(count: int, width: int) -> None:
    draw = random.Random(count)
    chart = individuals([draw.gauss(740, 9) for _ in range(count)])
    lines = individuals_chart(chart, width=width)

    assert max(map(len, lines)) <= width
    assert len(lines) == 15
    assert lines[-1].split() == ["1", str(count)]


def test_where_points_share_a_column_one_beyond_is_still_seen() -> None:
    chart = individuals([*STEADY * 20, 790.0, *STEADY * 20])

    assert len(chart.points) > 78
    assert len(column_of(individuals_chart(chart), BOX.beyond)) == 1


@pytest.mark.parametrize("weight", [740.0, 0.0])
def test_equal_weights_are_drawn_on_the_centre_line(weight: float) -> None:
    lines = individuals_chart(individuals([weight] * 5))

    assert len({row for row, _ in column_of(lines, BOX.point)}) == 1
    assert len(column_of(lines, BOX.point)) == 5


def test_light_pieces_are_labelled_in_tenths() -> None:
    """Whole grams would put a limit of 66.6 g at 67."""
    chart = individuals([62.0 + step for step in (0, 0.5, -0.5, 1, -1, 0.5)])
    lines = individuals_chart(chart)

    assert f"{chart.upper:.1f} g" in lines[0]
    assert max(map(len, individuals_chart(individuals([2000.0, 2000.5, 2001.0]), width=40))) <= 40


def test_plain_characters_will_do() -> None:
    lines = individuals_chart(individuals([*STEADY, 790.0]), marks=ASCII)

    assert "".join(lines).isascii()
    assert "X" in lines[0]


def test_fine_weights_are_labelled_so_that_they_differ() -> None:
    """On a scale of 0.01 g a whole field may be a few tenths of a gram high."""
    lines = individuals_chart(individuals([12.04, 12.06, 12.03, 12.05, 12.04, 12.07]))
    labels = [line.split(" g ")[0].strip() for line in lines if " g " in line]

    assert len(labels) > 3
    assert len(labels) == len(set(labels))


def test_nothing_is_labelled_less_than_nothing() -> None:
    track = level_track("spread within", [0.0, 3.6, 3.6], (3.1, 1.1, 5.2))

    assert not any("-0.0 g" in line for line in track_lines(track, [1, 2, 3]))
