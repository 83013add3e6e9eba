"""What is learned of dialects that another hand wrote: right, or said to be open, never wrong."""

from __future__ import annotations

import binascii
from typing import TYPE_CHECKING, Any

import pytest
from dialects import dialects, held_out, stream

from weighstation.acquire.framing import judge_framing
from weighstation.acquire.learning import (
    CHECKSUM,
    COMMA,
    DECIMAL_SIGN,
    DIVISION,
    NUMBER,
    SCALE,
    STABLE_MARK,
    UNIT,
    exact_division_g,
    learn,
)
from weighstation.acquire.recording import Arrival

if TYPE_CHECKING:
    from collections.abc import Callable

    from dialect_shape import Dialect

    from weighstation.acquire.learning import Learned

SEEDS = range(1, 4)
NAMES = {
    UNIT: "unit",
    SCALE: "scale",
    DECIMAL_SIGN: "decimal_sign",
    DIVISION: "division_digits",
    STABLE_MARK: "stable_flag",
    CHECKSUM: "checksum",
}
# The first word may mean stable and come late under a load; only a lift-off would tell.
# Lines without a unit while the pan moves may be torn, and are passed over.
# A division is judged by different steps, not by different values: equal steps may be one slope.
MAY_STAY_OPEN = {
    "fields-pan-only": {STABLE_MARK},
    "unit-if-still-free": {STABLE_MARK, DECIMAL_SIGN, DIVISION},
    "unit-trailing-sign": {DIVISION},
    "fields-no-unit": {DIVISION},
    "unit-kilos-padded-comma": {DIVISION},
}


def learned(dialect: Dialect, seed: int) -> tuple[Learned, dict[str, Any]]:
    arrivals, truth = stream(dialect, seed)
    return learn([Arrival(t_s, data) for t_s, data in arrivals]), truth


def wrong(found: Learned, truth: dict[str, Any]) -> list[str]:
    """Return what was said with confidence and is not so."""
    unit = found.unit.value if found.unit else None
    numbers_open = {UNIT, SCALE, DECIMAL_SIGN} & set(found.open)
    is_right = {
        UNIT: unit == truth["unit"],
        SCALE: "scale" not in truth["undecidable"],
        DECIMAL_SIGN: (found.decimal_sign or None) == truth["decimal_sign"],
        DIVISION: bool(numbers_open) or exact_division_g(found) == truth["division_g"],
        STABLE_MARK: tells_the_same(found, truth),
        CHECKSUM: (found.recipe.checksum is not None) == truth["has_checksum"],
    }
    return [name for name, right in is_right.items() if not right and name not in found.open]


def tells_the_same(found: Learned, truth: dict[str, Any]) -> bool:
    """Say whether the mark that was found is the one that the scale means."""
    mark = found.recipe.stable_mark
    if mark is None or truth["stable_by"] is None:
        return mark is None and truth["stable_by"] is None
    if truth["stable_by"] == "unit":
        return str(mark) == "'unit'"
    meant, moving = truth["stable_flag"].strip(), truth["moving_flag"].strip()
    if str(mark) in (f"'{meant}'", f"no '{moving}'"):
        return True
    part = str(mark).removeprefix("no ").strip("'")
    tells = part in meant and part not in moving
    return tells if mark.present else part in moving and part not in meant


def needlessly_open(found: Learned, truth: dict[str, Any], name: str) -> set[str]:
    opened = {what for what in found.open if NAMES[what] not in truth["undecidable"]}
    return opened - MAY_STAY_OPEN.get(name, set())


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("dialect", dialects(), ids=lambda dialect: dialect.name)
def test_a_dialect_is_learned_right_or_said_to_be_open(dialect: Dialect, seed: int) -> None:
    found, truth = learned(dialect, seed)

    assert found.shape
    assert [] == wrong(found, truth)
    assert set() == needlessly_open(found, truth, dialect.name)
    assert found.readings_per_s == pytest.approx(truth["rate_hz"], rel=0.1)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("dialect", held_out(), ids=lambda dialect: dialect.name)
def test_a_dialect_that_nobody_tuned_for_is_never_learned_wrong(
    dialect: Dialect, seed: int
) -> None:
    found, truth = learned(dialect, seed)

    assert [] == wrong(found, truth)


@pytest.mark.parametrize("dialect", dialects() + held_out(), ids=lambda dialect: dialect.name)
def test_a_known_load_settles_what_the_numbers_leave_open(dialect: Dialect) -> None:
    """Unit, decimals and decimal sign: the one reading of the numbers that gives the load."""
    arrivals, truth = stream(dialect, 2)
    came = [Arrival(t_s, data) for t_s, data in arrivals]
    found = learn(came, known_load_mg=round(truth["load_g"] * 1000))
    at_rest_mg = max(
        reading.gross_mg for reading in found.seen[-20:-5] if reading.gross_mg is not None
    )

    assert not {UNIT, SCALE, DECIMAL_SIGN} & set(found.open)
    assert found.unit is not None
    assert truth["unit"] == found.unit.value
    assert at_rest_mg / 1000 == pytest.approx(truth["at_rest_g"], rel=0.02, abs=10)


def test_seven_even_values_by_chance_are_no_division_of_two() -> None:
    """One climb in 128 of a scale that shows single grams looks so; it stays open."""
    shown = [0] * 15 + [6, 140, 458, 814, 1074, 1140] + [1138] * 30
    lines = [Arrival(place / 8, f"{grams}g\r\n".encode()) for place, grams in enumerate(shown)]

    assert DIVISION in learn(lines).open


def test_noise_and_silence_teach_nothing() -> None:
    silent = learn([])
    noisy = learn([Arrival(place / 10, bytes(range(place, place + 9))) for place in range(60)])

    assert ("line shape",) == silent.open == noisy.open
    assert exact_division_g(silent) is None


def test_what_is_missing_is_said_where_no_line_was_read() -> None:
    endless = learn([Arrival(place / 10, b"=0740.0") for place in range(60)])

    assert "no line end" in endless.refusal
    assert "Nothing came" in learn([]).refusal


def test_a_foreign_unit_is_refused_by_name() -> None:
    found = learn([Arrival(place / 10, b"  12.5 pcs\r\n") for place in range(40)])

    assert "pcs" in found.refusal


def test_bytes_in_bursts_have_a_rate() -> None:
    lines = [Arrival(float(place // 10), b"740 g\r\n") for place in range(60)]

    assert learn(lines).readings_per_s == pytest.approx(59 / 5)


@pytest.mark.parametrize("name", ["unit-whole", "alone-implied", "alone-comma-bowl"])
def test_a_load_that_weighs_something_else_settles_nothing(name: str) -> None:
    dialect = next(one for one in dialects() if one.name == name)
    arrivals, truth = stream(dialect, 1)
    came = [Arrival(t_s, data) for t_s, data in arrivals]
    found = learn(came, known_load_mg=round(truth["load_g"] * 1370))
    unasked = learn(came)

    assert found.fits_load is False
    assert unasked.open == found.open
    assert unasked.recipe == found.recipe


def test_no_load_settles_nothing() -> None:
    empty = [Arrival(place / 10, b"0000000\r\n") for place in range(50)]
    found = learn(empty, known_load_mg=500_000)

    assert found.fits_load is False
    assert found.load_mg is None
    assert {UNIT, SCALE, DIVISION} <= set(found.open)


def test_a_mark_that_was_never_seen_to_go_is_open() -> None:
    still = [Arrival(place / 10, b"ST     740 g\r\n") for place in range(50)]

    assert STABLE_MARK in learn(still).open


def test_a_division_below_half_a_milligram_is_open() -> None:
    lines = (0, 0, 0, 1, 5, 9, 12, 12, 12)
    arrivals = [
        Arrival(place / 10, b"%d.%05d g\r\n" % (counts % 2, counts))
        for place, counts in enumerate(lines)
    ]
    found = learn(arrivals)

    assert DIVISION in found.open
    assert found.recipe.division_mg is None
    assert exact_division_g(found) is None


def session(say: Callable[[int], str], load: int = 1251, *, rate_hz: float = 10.0) -> list[Arrival]:
    """Return an empty pan, a load that is put on in a few steps, and its rest, written some way."""
    levels = [0] * 15 + [load // 5, load // 2, load - 60, load - 7] + [load] * 15 + [load + 1, load]
    return [
        Arrival((place + 1) / rate_hz, f"{say(level)}\r\n".encode("latin-1"))
        for place, level in enumerate(levels)
    ]


def weights_g(found: Learned) -> set[float]:
    return {one.gross_mg / 1000 for one in found.seen if one.gross_mg is not None}


@pytest.mark.parametrize("load", [742, 1251])
@pytest.mark.parametrize(
    "say",
    [
        lambda g: f"{g // 1000} {g % 1000:03d} g" if g >= 1000 else f"{g} g",
        lambda g: f"{g // 1000}\xa0{g % 1000:03d} g" if g >= 1000 else f"{g:5d} g",
        lambda g: f"{g // 1000}'{g % 1000:03d} g" if g >= 1000 else f"{g} g",
    ],
)
def test_thousands_parted_by_a_blank_are_never_read_without_them(
    say: Callable[[int], str], load: int
) -> None:
    """1 251 g is 1251 g or unreadable, and never 251 g."""
    found = learn(session(say, load), known_load_mg=load * 1000)
    said = {0, load // 5, load // 2, load - 60, load - 7, load, load + 1}

    assert weights_g(found) <= said


@pytest.mark.parametrize("text", ["-,   742,g", "NEG 742 g", '"sign":"-","w":"742"', "-  742 g"])
def test_a_minus_that_stands_apart_is_a_minus(text: str) -> None:
    found = learn(session(lambda g: text.replace("742", f"{g:3d}"), 742))

    assert min(weights_g(found)) < -700
    assert max(weights_g(found)) <= 0


@pytest.mark.parametrize("sign", ["\x96", "\xe2\x88\x92"])
def test_a_minus_of_another_alphabet_is_no_plus(sign: str) -> None:
    found = learn(session(lambda g: f"{sign if g else ''}{g} g", 742))

    assert weights_g(found) <= {0.0}


def test_an_exponent_is_refused() -> None:
    found = learn(session(lambda g: f"{g / 1000:.4e} kg"))

    assert not weights_g(found)
    assert "exponent" in found.refusal


def test_the_known_load_chooses_between_numbers_that_both_vary() -> None:
    came = session(lambda g: f"{9000 + 713 * g:07d} {g} g")
    found, unasked = learn(came, known_load_mg=1_251_000), learn(came)

    assert max(weights_g(found)) == pytest.approx(1251, abs=1)
    assert NUMBER not in found.open
    assert NUMBER in unasked.open


@pytest.mark.parametrize(
    "say",
    [
        lambda g: f"{g - 1240:+5d} g {g:5d} g",
        lambda g: f"{12000 + g:6d} g {g:5d} g",
        lambda g: f"{g - 300:+07d} {g:+07d}",
    ],
    ids=["deviation", "total", "tared"],
)
def test_a_number_that_is_not_zero_on_the_empty_pan_is_no_weight(say: Callable[[int], str]) -> None:
    found = learn(session(say), known_load_mg=1_251_000)

    assert NUMBER not in found.open
    assert {0.0, 1251.0} <= weights_g(found)


@pytest.mark.parametrize("line", ["1,{},g", "{},1,g", "2026-11-27,{},g", "05:12:33,{},g", "{},23"])
@pytest.mark.parametrize("known_load_mg", [None, 1_251_000])
def test_a_comma_that_may_part_fields_is_open(line: str, known_load_mg: int | None) -> None:
    """Whole grams beside a code or a date: 1,742,g was 1.742 g, and 742,1,g was 742.1 g."""
    found = learn(session(line.format), known_load_mg=known_load_mg)

    assert {COMMA, DIVISION} <= set(found.open)
    assert found.recipe.division_mg is None


def test_two_numbers_that_fit_the_load_and_are_not_zero_stay_open() -> None:
    found = learn(session(lambda g: f"{g + 40:5d} g {g - 40:5d} g"), known_load_mg=1_251_000)

    assert NUMBER in found.open


def test_one_weight_in_two_units_is_settled_by_the_load() -> None:
    found = learn(session(lambda g: f"{g} g {g / 28.349523125:.2f} oz"), known_load_mg=1_251_000)

    assert NUMBER not in found.open
    assert {0.0, 1251.0} <= weights_g(found)


def test_lines_that_take_turns_are_refused() -> None:
    words = ("Gross", "Tare", "Net")
    came = [
        Arrival(place / 10, f"{words[place % 3]} {g} g\r\n".encode())
        for place, g in enumerate((0, 300, -300) * 8 + (1040, 300, 740) * 8)
    ]

    assert "take turns" in learn(came).refusal


@pytest.mark.parametrize("load", [714, 733, 748, 754, 760, 772])
def test_the_digits_of_an_unknown_check_are_no_stable_mark(load: int) -> None:
    """They are the same whenever the weight is, at rest on the empty pan and under the load."""
    rise = [load * share // 100 for share in (34, 60, 90)] + [load - 13, load - 6, load - 2]
    levels = [0] * 12 + [-1, 0, 1, 0, 0, *rise, load - 1] + [load] * 12
    levels += [load + 1, load, load, load - 1, load, load]
    lines = [f"{grams:+07d} g ".encode() for grams in levels]
    came = [
        Arrival(place / 10, b"%s%04X\r\n" % (line, binascii.crc_hqx(line[:-3], 0)))
        for place, line in enumerate(lines)
    ]
    found = learn(came)

    assert found.recipe.stable_mark is None
    assert STABLE_MARK in found.open


@pytest.mark.parametrize(
    "line", ["LO {:6d} g", "HIGH RES {:6d} g", "*** {:6d} g ***", "+,{:6d},g", "W --- {:6d} g"]
)
def test_words_beside_a_number_do_not_hide_the_speed(line: str) -> None:
    assert judge_framing(b"".join(f"{line.format(740)}\r\n".encode() for _ in range(20)))
