"""The ruler tells light from heavy by place alone."""

from __future__ import annotations

import pytest

from weighstation.events import Cue, Verdict
from weighstation.specification import Limits
from weighstation.station.panel.ruler import ruler_lines

LIMITS = Limits(740_000, 8_000, 8_000)
FIRM, SOFT = "▼", "▽"


def cue(error_mg: int, *, firm: bool = True) -> Cue:
    return Cue(1.0, 1, 0, 740_000 + error_mg, Verdict.KEEP, error_mg, firm)


@pytest.mark.parametrize("width", [40, 76, 77, 116])
def test_all_three_lines_fill_the_width(width: int) -> None:
    assert [width] * 3 == [len(line) for line in ruler_lines(LIMITS, cue(12_000), width)]


def test_without_a_piece_there_is_no_marker() -> None:
    above, line, labels = ruler_lines(LIMITS, None, 77)

    assert above.strip() == ""
    assert line[38] == "╪"
    assert ["732", "740", "748"] == labels.split()


def test_the_marker_moves_right_with_the_weight() -> None:
    places = [
        ruler_lines(LIMITS, cue(error_mg), 77)[0].index(FIRM)
        for error_mg in (-15_000, -8_000, 0, 8_000, 15_000)
    ]

    assert sorted(set(places)) == places
    assert places[2] == 38


@pytest.mark.parametrize("error_mg", [-8_000, 8_000])
def test_a_limit_itself_is_where_the_band_ends(error_mg: int) -> None:
    empty = ruler_lines(LIMITS, None, 77)[1]
    place = ruler_lines(LIMITS, cue(error_mg), 77)[0].index(FIRM)

    assert ("[" if error_mg < 0 else "]") == empty[place]


def test_a_provisional_weight_has_a_hollow_marker() -> None:
    above, line, _ = ruler_lines(LIMITS, cue(3_000, firm=False), 77)

    assert SOFT in above
    assert "█" not in line


@pytest.mark.parametrize(("error_mg", "mark", "place"), [(-90_000, "◄", 0), (741_000, "►", -1)])
def test_a_piece_beyond_the_ruler_points_off_its_end(error_mg: int, mark: str, place: int) -> None:
    above, line, _ = ruler_lines(LIMITS, cue(error_mg), 77)

    assert mark == line[place]
    assert above[place] == FIRM


def test_unequal_limits_stand_at_unequal_distances() -> None:
    line = ruler_lines(Limits(60_000, 1_500, 2_500), None, 77)[1]

    assert line.index("╪") - line.index("[") < line.index("]") - line.index("╪")


def test_labels_never_run_into_each_other() -> None:
    labels = ruler_lines(Limits(740_000, 100, 8_000), None, 77)[2]

    assert ["739.9", "748"] == labels.split()


def test_a_band_of_one_weight_is_drawn_at_its_column() -> None:
    above, line, labels = ruler_lines(Limits(740_000, 0, 0), cue(0), 77)

    assert above[38] == FIRM
    assert line[38] == "█"
    assert ["740"] == labels.split()
