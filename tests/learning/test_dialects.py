"""The dialects are many and different, and what is said to be true of a stream is."""

from __future__ import annotations

import re
from dataclasses import astuple, replace
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import pytest
from dialect_shape import CHECKS, GRAMS, Check, Dialect, Flags, Shown, Sign, Trouble, line
from dialect_truth import undecidable
from dialect_words import net_g, words
from dialects import dialects, held_out, stream

if TYPE_CHECKING:
    from fractions import Fraction

ALL = dialects() + held_out()
SEEDS = (0, 1, 2)
every = pytest.mark.parametrize("dialect", ALL, ids=lambda dialect: dialect.name)
NEVER_STILL_WITH_A_LOAD = "first-late"


@cache
def streamed(dialect: Dialect, seed: int) -> tuple[list[tuple[float, bytes]], dict[str, Any]]:
    return stream(dialect, seed)


def whole_lines(dialect: Dialect, seed: int) -> list[tuple[bytes, Fraction | None, bool]]:
    """Return lines, their true numbers in grams and whether still, but a first one that is cut."""
    lines, truth = streamed(dialect, seed)
    pairs = list(zip(lines, truth["readings"], strict=True))
    dirty = {Trouble.PARTIAL_FIRST, Trouble.NULS_AT_OPEN, Trouble.ONES_AT_OPEN}
    first = bool(dirty & set(dialect.troubles))
    return [(data, number_g, is_still) for (_, data), (_, number_g, is_still) in pairs[first:]]


def shown(counts: int, *, is_still: bool = True) -> Shown:
    return Shown(0.0, counts, counts < 0, is_still, is_over=False, is_loaded=counts > 20)


# Checksums by hand: 0x20 ^ 0x31 ^ 0x67 is 0x76, with 0x03 it is 0x75; 0x20 + 0x31 + 0x67 is 0xB8,
# in seven bits 0x38; 0x100 - 0xB8 is 0x48.
ONE = {"shape": "{number}{unit}", "mark": "", "division": "1", "width": 1}
FRAME = {**ONE, "start": b"\x02", "terminator": b"\x03"}
WRITTEN: list[tuple[dict[str, Any], int, bytes]] = [
    ({}, -25, b"    -2.5 g\r\n"),
    ({"mark": ","}, 7405, b"   740,5 g\r\n"),
    ({"pad": "0"}, -25, b"-00002.5 g\r\n"),
    ({"pad": "0"}, 25, b" 00002.5 g\r\n"),
    ({"pad": "0", "mark": ""}, 7405, b" 0007405 g\r\n"),
    ({"shows_plus": True}, 25, b"    +2.5 g\r\n"),
    ({"sign": Sign.APART}, -25, b"-     2.5 g\r\n"),
    ({"sign": Sign.APART, "width": 0}, -25, b"- 2.5 g\r\n"),
    ({"sign": Sign.TRAILING}, -25, b"    2.5- g\r\n"),
    ({"sign": Sign.TRAILING}, 25, b"    2.5  g\r\n"),
    ({"width": 0, "division": "0.002", "unit": "kg", "unit_text": "Kg"}, 4, b"0.004 Kg\r\n"),
    ({"width": 0, "mark": "", "group": ",", "division": "1"}, 1234, b"1,234 g\r\n"),
    ({"width": 0, "mark": "", "group": ",", "division": "1"}, 812, b"812 g\r\n"),
    ({"flags": Flags("S", "M", zero="Z"), "shape": "{flag}{number}"}, 0, b"Z     0.0\r\n"),
    ({"flags": Flags("S", "M", zero="Z"), "shape": "{flag}{number}"}, 1, b"S     0.1\r\n"),
    ({**ONE, "check": Check("xor")}, 1, b" 1g76\r\n"),
    ({**FRAME, "check": Check("xor", is_hex=False, after_end=True)}, 1, b"\x02 1g\x03v"),
    ({**FRAME, "check": Check("xor", after_end=True, with_end=True)}, 1, b"\x02 1g\x0375"),
    ({**FRAME, "check": Check("sum8")}, 1, b"\x02 1gB8\x03"),
    ({**FRAME, "check": Check("sum7", is_hex=False)}, 1, b"\x02 1g8\x03"),
    ({**ONE, "check": Check("twos")}, 1, b" 1g48\r\n"),
]


@pytest.mark.parametrize(("changes", "counts", "expected"), WRITTEN)
def test_line_is_written_as_by_hand(changes: dict[str, Any], counts: int, expected: bytes) -> None:
    dialect = Dialect("by hand", **{"shape": "{number} {unit}", **changes})

    assert expected == line(dialect, shown(counts), 0)


def test_there_are_enough_and_no_name_comes_twice() -> None:
    assert len(dialects()) >= 60
    assert len(held_out()) >= 10
    assert len(ALL) == len({dialect.name for dialect in ALL})


def test_no_combination_comes_twice() -> None:
    said = [
        (*astuple(one)[1:13], one.start, one.terminator, one.check, one.bowl_g, one.hold_s)
        for one in ALL
    ]

    assert len(said) == len(set(said))


def test_tables_reach_along_every_axis() -> None:
    some = dialects()

    assert set(Sign) == {one.sign for one in some}
    assert {" ", "0"} == {one.pad for one in some}
    assert {".", ",", ""} == {one.mark for one in some}
    assert set(GRAMS) == {one.unit for one in some}
    assert {b"\r", b"\n", b"\r\n", b"\n\r", b"\x03"} == {one.terminator for one in some}
    assert set(CHECKS) == {one.check.rule for one in some if one.check}
    assert {"8N1", "7E1", "7O1"} == {one.framing for one in some}
    assert set(Trouble) == {trouble for one in some for trouble in one.troubles}
    assert {4, 20} <= {one.rate_hz for one in some}
    assert all(4 <= one.rate_hz <= 20 for one in ALL)
    assert all(0.1 <= float(one.division_g) <= 5 for one in ALL)


@every
def test_dialect_can_be_written_and_sent(dialect: Dialect) -> None:
    assert bool(dialect.mark) <= (dialect.decimals > 0)
    assert not (dialect.group and dialect.decimals)
    assert ("{flag}" in dialect.shape) == (dialect.flags is not None)
    assert ("{pan}" in dialect.shape) == (dialect.pan_words != ("", ""))
    assert ("{unit}" in dialect.shape) == bool(dialect.unit_text)
    assert dialect.unit_text.lower() in {"", dialect.unit}
    if dialect.framing != "8N1":
        assert all(
            byte < 0x80 for seed in SEEDS for _, d in streamed(dialect, seed)[0] for byte in d
        )


@every
def test_stream_is_short_and_comes_at_its_rate(dialect: Dialect) -> None:
    lines, truth = streamed(dialect, 0)
    gaps_s = [b[0] - a[0] for a, b in pairwise(lines)]

    assert 50 < len(lines) < 60
    assert gaps_s == pytest.approx([1 / dialect.rate_hz] * len(gaps_s), abs=0.004)
    assert dialect.rate_hz == truth["rate_hz"]


@every
def test_same_seed_gives_the_same_stream_and_another_another(dialect: Dialect) -> None:
    again = stream(dialect, 0)

    assert again == streamed(dialect, 0)
    assert again[0] != streamed(dialect, 1)[0]


@every
@pytest.mark.parametrize("seed", SEEDS)
def test_lines_say_what_is_true(dialect: Dialect, seed: int) -> None:
    """Number, unit, flag and checksum, read back by what is known of the dialect."""
    for data, number_g, is_still in whole_lines(dialect, seed):
        said = words(dialect, data)

        assert said is not None, data
        assert number_g == net_g(dialect, said["number"]), data
        assert_flag(dialect, said, is_still=is_still, is_over=number_g is None)
        assert_unit(dialect, said, is_still=is_still)
        assert_check(dialect, said, data)


def assert_flag(dialect: Dialect, said: dict[str, str], *, is_still: bool, is_over: bool) -> None:
    flags = dialect.flags
    if flags is None:
        return
    still_words = {flags.steady, flags.zero} - {None}

    assert is_still == (said["flag"] in still_words)
    if is_over and flags.over is not None:
        assert flags.over == said["flag"]


def assert_unit(dialect: Dialect, said: dict[str, str], *, is_still: bool) -> None:
    is_written = is_still or not dialect.unit_when_steady

    assert (dialect.unit_text if is_written else "") == said.get("unit", "").strip()


def assert_check(dialect: Dialect, said: dict[str, str], data: bytes) -> None:
    check = dialect.check
    if check is None:
        return
    covered = [ord(c) for c in said["body"]] + ([0x03] if check.with_end else [])
    xored = 0
    for byte in covered:
        xored ^= byte
    added = sum(covered)
    expected = {
        "xor": xored,
        "sum7": added % 128,
        "sum8": added % 256,
        "twos": (256 - added % 256) % 256,
    }
    written = said["check"]

    assert expected[check.rule] == (int(written, 16) if check.is_hex else ord(written)), data


@every
@pytest.mark.parametrize("seed", SEEDS)
def test_load_lies_still_and_is_shown(dialect: Dialect, seed: int) -> None:
    _, truth = streamed(dialect, seed)
    rests_s = truth["on_s"] + truth["settling_s"]
    leaves_s = truth["off_s"] or 99
    at_rest = [one for one in truth["readings"] if rests_s < one[0] < leaves_s]
    before = [one for one in truth["readings"] if one[0] < truth["on_s"]]

    assert truth["load_g"] + truth["bowl_g"] + truth["zero_g"] == pytest.approx(truth["at_rest_g"])
    assert len(before) >= 10
    assert len(at_rest) >= 20
    for readings, mass_g in (
        (at_rest, truth["at_rest_g"]),
        (before, truth["at_rest_g"] - truth["load_g"]),
    ):
        assert all(abs(float(g) - mass_g) < 3 * truth["division_g"] for _, g, _ in readings)
    assert 0.3 < truth["settling_s"] < 2.5


@every
@pytest.mark.parametrize("seed", SEEDS)
def test_still_and_moving_lines_are_seen(dialect: Dialect, seed: int) -> None:
    _, truth = streamed(dialect, seed)
    loaded = [one for one in truth["readings"] if one[0] > truth["on_s"]]
    still = [one for one in loaded if one[2]]

    assert len(loaded) - len(still) >= 4
    assert (len(still) >= 10) == (dialect.name != NEVER_STILL_WITH_A_LOAD)


@every
@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_undecidable_follows_from_the_lines(dialect: Dialect, seed: int) -> None:
    """By looking at the lines alone: letters of units, and marks with three digits behind."""
    lines, truth = streamed(dialect, seed)
    open_names = set(truth["undecidable"])
    numbers = [
        said["number"]
        for data, *_ in whole_lines(dialect, seed)
        if (said := words(dialect, data)) and re.search(r"\d", said["number"])
    ]
    marked = [re.search(r"[1-9]\d*[.,]\d{3}(?!\d)", number) for number in numbers]
    has_marks = any(re.search(r"[.,]", number) for number in numbers)

    assert (truth["unit_text"] is None) == ("unit" in open_names)
    assert all(marked) == ("decimal_sign" in open_names)
    assert ("scale" in open_names) == (truth["unit_text"] is None and not has_marks)
    assert set(truth["by_plausibility"]) <= open_names
    assert open_names <= truth.keys()
    assert lines


# fmt: off
OPEN = {
    "alone-tenths": "unit", "alone-whole": "unit scale", "alone-free": "unit scale",
    "alone-implied": "unit scale", "alone-implied-plus": "unit scale",
    "alone-kilos-comma": "unit", "alone-comma-bowl": "unit decimal_sign",
    "alone-ounces-trailing": "unit", "unit-kilos-comma-bowl": "decimal_sign",
    "unit-pounds-bowl": "decimal_sign", "unit-thousands-bowl": "decimal_sign",
    "first-equals-alone": "unit scale", "first-nought": "unit", "first-late": "stable_flag",
    "last-star-alone": "unit", "last-bits": "unit scale", "fields-no-unit": "unit",
    "fields-thousands-bowl": "decimal_sign", "framed-xor-raw": "unit scale",
    "checked-sum8-hex": "checksum", "checked-sum7-hex": "unit",
}
# fmt: on
DERIVED = {"division", "division_digits", "division_g", "load_g"}


@pytest.mark.parametrize("dialect", dialects(), ids=lambda dialect: dialect.name)
@pytest.mark.parametrize("seed", SEEDS)
def test_undecidable_are_those_thought_of(dialect: Dialect, seed: int) -> None:
    expected = set(OPEN.get(dialect.name, "").split())

    assert expected == set(streamed(dialect, seed)[1]["undecidable"]) - DERIVED


TENTHS = Dialect("tenths", "{number} {unit}")
KILOS = replace(TENTHS, mark=",", unit="kg", unit_text="kg", division="0.001")
UNDECIDABLE = [
    (TENTHS, [0, 0, 3, 20, 7405, 7405], set()),
    (TENTHS, [0, 0, 0, 2, 7402, 7404, 7404], {"division_digits"}),  # even by chance
    (replace(TENTHS, division="0.2"), [0, 0, 2, 7402, 7400], set()),  # it flickers by two
    (replace(TENTHS, division="0.2"), [0, 0, 8, 7402, 7402], {"division_digits"}),
    (replace(TENTHS, division="0.5"), [0, 5, 5005, 7405, 7405], set()),
    (KILOS, [0, 3, 1407, 1407], set()),  # "0,000" counts no thousands
    (KILOS, [1101, 1103, 1407, 1407], {"decimal_sign"}),
    (KILOS, [1101, 999, 1407, 1407], set()),
    (replace(KILOS, division="0.01"), [1101, 1103, 1407, 1407], set()),  # two digits
    (replace(KILOS, mark="."), [1101, 1103, 1407], {"decimal_sign"}),
    (replace(TENTHS, unit_text="", shape="{number}"), [0, 3, 7405], {"unit"}),
    (replace(TENTHS, mark=""), [0, 3, 7405], set()),
    (replace(TENTHS, mark="", unit_text="", shape="{number}"), [0, 3, 7405], {"unit", "scale"}),
]


@pytest.mark.parametrize(("dialect", "counts", "expected"), UNDECIDABLE)
def test_undecidable_by_the_numbers(
    dialect: Dialect, counts: list[int], expected: set[str]
) -> None:
    names, _ = undecidable(dialect, [shown(one) for one in counts], [])

    assert expected == set(names) - {"division", "division_g", "load_g"}


def test_only_a_weight_no_bench_carries_is_told_by_plausibility() -> None:
    """1407 kg is none, 1407 g may be."""
    readings = [shown(one) for one in (1101, 1103, 1407)]
    grams = replace(TENTHS, mark="", group=",", division="1")
    names, plausible = undecidable(KILOS, readings, [])

    assert names == plausible == ("decimal_sign", "division", "division_g", "load_g")
    assert (names, ()) == undecidable(grams, readings, [])


def test_a_word_never_said_of_a_resting_load_is_undecidable() -> None:
    dialect = replace(TENTHS, shape="{flag}{number}{unit}", flags=Flags("R", "W"))
    moving = [shown(0), *(shown(one, is_still=False) for one in (100, 7000, 7405))]
    resting = [shown(7405)] * 4

    assert "stable_flag" in undecidable(dialect, moving, [])[0]
    assert "stable_flag" in undecidable(dialect, [shown(0), *resting], [])[0]
    assert "stable_flag" not in undecidable(dialect, moving + resting, [])[0]


def test_two_sums_that_agree_on_all_lines_are_undecidable() -> None:
    dialect = replace(TENTHS, check=Check("sum8"))
    readings = [shown(one) for one in (3, 7405)]

    assert "checksum" in undecidable(dialect, readings, [b"\x10", b"\x20"])[0]
    assert "checksum" not in undecidable(dialect, readings, [b"\x10", b"\x20\x70"])[0]


def troubled(trouble: Trouble) -> list[Dialect]:
    return [dialect for dialect in ALL if trouble in dialect.troubles]


def test_first_line_may_be_cut() -> None:
    for dialect in troubled(Trouble.PARTIAL_FIRST):
        lines, truth = streamed(dialect, 1)
        first = lines[0][1].lstrip(b"\x00\xff")

        assert not truth["is_first_whole"]
        assert len(first) < len(lines[1][1])
        assert first.endswith(dialect.terminator) or dialect.check is not None


@pytest.mark.parametrize(
    ("trouble", "byte"), [(Trouble.NULS_AT_OPEN, b"\x00"), (Trouble.ONES_AT_OPEN, b"\xff")]
)
def test_first_line_may_have_something_in_front(trouble: Trouble, byte: bytes) -> None:
    for dialect in ALL:
        assert (trouble in dialect.troubles) == streamed(dialect, 0)[0][0][1].startswith(byte)


def test_overload_is_a_line_without_a_number() -> None:
    for dialect in ALL:
        over = [data for data, number_g, _ in whole_lines(dialect, 0) if number_g is None]

        assert (Trouble.OVERLOAD in dialect.troubles) == bool(over)
        assert len(over) < 20
        for data in over:
            assert dialect.over_text.encode() in data


def test_nought_may_have_a_minus_and_an_empty_pan_may_be_below_it() -> None:
    for dialect in ALL:
        empty = [data for data, *_ in whole_lines(dialect, 0)[:12]]
        numbers = [said["number"] for data in empty if (said := words(dialect, data))]
        below = [number for number in numbers if net_g(dialect, number) and "-" in number]
        minus_nought = [one for one in numbers if net_g(dialect, one) == 0 and "-" in one]

        assert (Trouble.BELOW_ZERO in dialect.troubles) == (len(below) > 6), dialect.name
        assert (Trouble.NEGATIVE_ZERO in dialect.troubles) == bool(minus_nought), dialect.name
