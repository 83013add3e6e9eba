"""Reports of a scale on USB, one by one, against the published statuses and units.

HID Usage Tables, page 0x8D "Scales", section 33 of version 1.7, as transcribed in the documentation
of the crate hid-types 0.2.2: statuses 0x71 to 0x78, units 0x51 to 0x5C.
"""

from __future__ import annotations

import struct
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hid_descriptors import DATA_REPORT, FLAGGED, MANY_REPORTS, PACKED

from weighstation.acquire import Decoder, HidDecoder, decode
from weighstation.acquire.hid import MANY_UNREAD
from weighstation.acquire.profile import Counts
from weighstation.events import DivisionLearned, Reading, Status
from weighstation.quantities import Unit

GRAM = 2
STABLE = 4
OK, BAD, OVER = Status.WEIGHT, Status.UNREADABLE, Status.OVERLOAD

# National Institute of Standards and Technology, Handbook 44, appendix C (from memory): 1 oz is
# 28.349 523 125 g and 1 lb is 453.592 37 g, both exactly.
MG_OF_READ_UNITS = {
    1: Fraction(1),
    2: Fraction(1000),
    3: Fraction(1_000_000),
    11: Fraction("28349.523125"),
    12: Fraction("453592.37"),
}
REFUSED = {
    4: "carats",
    5: "taels",
    6: "grains",
    7: "pennyweights",
    8: "metric tons",
    9: "avoirdupois tons",
    10: "troy ounces",
}


def report(weight: int, *, status: int = STABLE, unit: int = GRAM, exponent: int = 0) -> bytes:
    """Return a report of the common layout, packed as in the format of a C structure."""
    return struct.pack("<BBBbH", 3, status, unit, exponent, weight)


def readings(decoder: HidDecoder, *reports: bytes) -> list[Reading]:
    out = [item for place, data in enumerate(reports) for item in decoder.feed(data, place / 5)]
    return [item for item in out if isinstance(item, Reading)]


def one(data: bytes, descriptor: bytes = b"") -> Reading:
    """Return what a decoder that has seen nothing makes of a report."""
    (reading,) = readings(HidDecoder(descriptor), data)
    return reading


@pytest.mark.parametrize("descriptor", [b"", DATA_REPORT])
@pytest.mark.parametrize(
    ("text", "mg"),
    [
        ("03 04 02 ff 02 14", 512_200),  # 5122 tenths of a gram
        ("03 04 0b ff 34 19", 18_291_112),  # 645.2 oz: 18 291 112.32 mg
        ("03 04 02 00 ff ff", 65_535_000),
        ("03 04 03 fd e4 02", 740_000),  # 0.740 kg
        ("03 04 0c fe a3 00", 739_356),  # 1.63 lb: 739 355.5631 mg
        ("03 04 01 02 e8 1c", 740_000),  # 7400 times 100 mg
    ],
)
def test_a_report_as_it_is_known_to_come(text: str, mg: int, descriptor: bytes) -> None:
    data = bytes.fromhex(text)

    assert Reading(0.0, mg, True, OK, data.hex()) == one(data, descriptor)


@pytest.mark.parametrize("descriptor", [b"", DATA_REPORT])
@pytest.mark.parametrize(
    ("status", "expected"),
    [
        (0, (None, None, BAD)),
        (1, (None, None, BAD)),  # fault
        (2, (0, True, OK)),  # stable at centre of zero
        (3, (740_000, False, OK)),  # in motion
        (4, (740_000, True, OK)),  # weight stable
        (5, (-740_000, None, OK)),  # under zero
        (6, (None, None, OVER)),  # over weight limit
        (7, (None, None, BAD)),  # requires calibration
        (8, (None, None, BAD)),  # requires re-zeroing
        (9, (None, None, BAD)),
        (255, (None, None, BAD)),
    ],
)
def test_every_status_is_what_it_says(
    status: int, expected: tuple[int | None, bool | None, Status], descriptor: bytes
) -> None:
    reading = one(report(740, status=status), descriptor)

    assert expected == (reading.gross_mg, reading.stable, reading.status)


@pytest.mark.parametrize(
    ("status", "words"),
    [
        (1, "The scale reports a fault: switch it off"),
        (7, "The scale asks to be calibrated: calibrate it"),
        (8, "The scale asks to be set to zero: empty the pan"),
    ],
)
def test_a_scale_that_calls_for_help_is_heard_until_it_weighs_again(
    status: int, words: str
) -> None:
    decoder = HidDecoder()
    readings(decoder, report(740), report(740, status=status))
    asked = decoder.refusal
    readings(decoder, report(740))

    assert asked.startswith(words)
    assert asked.endswith(".")
    assert "" == decoder.refusal


def test_overload_takes_the_place_of_a_call_for_help() -> None:
    decoder = HidDecoder()
    readings(decoder, report(0, status=8), report(0, status=6))

    assert "" == decoder.refusal


@pytest.mark.parametrize("unit", range(256))
def test_every_unit_is_read_or_refused_by_its_name(unit: int) -> None:
    decoder = HidDecoder()
    (reading,) = readings(decoder, report(7, unit=unit))
    shown = REFUSED.get(unit, "a unit that is not known")
    refused = "" if unit in MG_OF_READ_UNITS else f"The scale shows {shown};"

    assert (unit in MG_OF_READ_UNITS) is (reading.status is OK)
    assert decoder.refusal.startswith(refused)
    assert ("" == decoder.refusal) is (reading.status is OK)
    if reading.status is OK:
        assert round(7 * MG_OF_READ_UNITS[unit]) == reading.gross_mg


def test_the_refusal_of_a_unit_says_what_to_do() -> None:
    decoder = HidDecoder()
    readings(decoder, report(7, unit=10))

    assert "The scale shows troy ounces; set it to g, kg, oz or lb." == decoder.refusal


@pytest.mark.parametrize("unit", MG_OF_READ_UNITS)
@pytest.mark.parametrize("weight", [0, 1, 255, 256, 740, 65_535])
def test_every_exponent_gives_exact_milligrams_or_none(unit: int, weight: int) -> None:
    """One count is from a microgram to a kilogram, and no weight is above 1,000 kg."""
    for exponent in range(-128, 128):
        mg_per_count = MG_OF_READ_UNITS[unit] * Fraction(Decimal(1).scaleb(exponent))
        exact_mg = weight * mg_per_count
        is_sane = Fraction(1, 1000) <= mg_per_count <= 1_000_000 and exact_mg <= 1_000_000_000
        reading = one(report(weight, unit=unit, exponent=exponent))

        assert (round(exact_mg) if is_sane else None) == reading.gross_mg
        assert (OK if is_sane else BAD) is reading.status


@pytest.mark.parametrize(("weight", "mg"), [(1000, 1_000_000_000), (1001, None)])
def test_a_thousand_kilograms_is_the_most(weight: int, mg: int | None) -> None:
    assert mg == one(report(weight, unit=3)).gross_mg


@pytest.mark.parametrize(
    ("weight", "mg"), [(5, 0), (15, 2), (25, 2), (6, 1), (4, 0), (14, 1), (65_535, 6554)]
)
def test_half_a_milligram_goes_to_the_even_one(weight: int, mg: int) -> None:
    assert mg == one(report(weight, exponent=-4)).gross_mg
    assert -mg == one(report(weight, exponent=-4, status=5)).gross_mg


@pytest.mark.parametrize(
    "text",
    [
        "",
        "03",
        "03 04 02 ff 02",
        "03 04 02 ff 02 14 00",
        "03 04 02 ff 02 14 03",
        "03 04 02 ff 02 14 03 04 02 ff 02",
        "03 04 02 ff 02 14 04 04 02 ff 02 14",
        "04 04 02 ff 02 14",
        "00 04 02 ff 02 14",
        "ff " * 64,
    ],
)
def test_what_is_no_report_is_unreadable_and_counted(text: str) -> None:
    decoder = HidDecoder(DATA_REPORT)
    data = bytes.fromhex(text)

    assert [Reading(0.0, None, None, BAD, data.hex())] == decoder.feed(data, 0.0)
    assert Counts(1, 1, 0, 0) == decoder.counts
    assert decoder.profile is None


@pytest.mark.parametrize("count", [2, 3, 10])
def test_reports_that_hang_together_are_taken_apart(count: int) -> None:
    decoder = HidDecoder(DATA_REPORT)
    out = decoder.feed(b"".join(report(weight) for weight in range(count)), 1.5)

    assert [weight * 1000 for weight in range(count)] == [
        item.gross_mg for item in out if isinstance(item, Reading)
    ]
    assert {1.5} == {item.t_s for item in out}
    assert count == decoder.counts.frames


def test_a_report_that_was_filled_up_to_the_longest_is_read() -> None:
    data = bytes.fromhex("07 04 02 00 e4 02 00 00")
    full = data.ljust(13, b"\0")

    assert 740_000 == one(data, MANY_REPORTS).gross_mg
    assert Reading(0.0, 740_000, True, OK, data.hex()) == one(full, MANY_REPORTS)
    assert BAD is one(full[:-1] + b"\1", MANY_REPORTS).status
    assert BAD is one(full + b"\0", MANY_REPORTS).status


def test_a_raw_text_has_an_end() -> None:
    assert 128 == len(one(bytes(10_000)).raw)


def test_reports_of_other_kinds_are_told_by_their_ids() -> None:
    """A status alone: overload is said, and rest without a weight is nothing to say."""
    decoder = HidDecoder(MANY_REPORTS)

    assert [] == decoder.feed(b"\x04\x04", 0.0)
    assert Counts(0, 0, 0, 0) == decoder.counts
    assert [Reading(1.0, None, None, OVER, "0406")] == decoder.feed(b"\x04\x06", 1.0)
    (reading,) = readings(decoder, bytes.fromhex("05 02 00 e4 02"))
    assert BAD is reading.status  # the weight limit: not what lies on the pan


@pytest.mark.parametrize(
    ("text", "mg", "stable"),
    [
        ("20 e4 02 00 02", 740_000, True),  # status 4 from bit 3 on, 740, unit 2, exponent 0
        ("1f 1c ff ff f2", -22_800, False),  # status 3, -228 in 24 bits, unit 2, exponent -1
        ("a8 e8 1c 00 e2", -74_000, None),  # status 5, 7400, unit 2, exponent -2
        ("28 18 e3 ff e2", -74_000, None),  # the same, sent with its sign
        ("20 a3 00 00 ec", 739_356, True),  # unit 12, exponent -2
    ],
)
def test_fields_inside_bytes_are_read(text: str, mg: int, stable: bool | None) -> None:
    reading = one(bytes.fromhex(text), PACKED)

    assert (mg, stable) == (reading.gross_mg, reading.stable)


def test_an_empty_report_without_id_is_unreadable() -> None:
    assert BAD is one(b"", PACKED).status


def test_bits_tell_status_and_unit_and_without_scaling_a_count_is_one() -> None:
    assert 740_000 == one(bytes.fromhex("09 08 02 e4 02"), FLAGGED).gross_mg
    assert 740_000_000 == one(bytes.fromhex("09 04 04 e4 02"), FLAGGED).gross_mg
    assert OVER is one(bytes.fromhex("09 20 02 e4 02"), FLAGGED).status
    assert BAD is one(bytes.fromhex("09 28 02 e4 02"), FLAGGED).status


def test_a_scale_that_tells_no_status_has_no_stable_mark() -> None:
    descriptor = bytes.fromhex("058d 7510 9501 1500 0940 8102 7508 0950 8102")
    decoder = HidDecoder(descriptor)

    assert [Reading(0.0, 740_000, None, OK, "e40202")] == readings(decoder, b"\xe4\x02\x02")
    assert decoder.profile
    assert decoder.profile.stable_mark is None


def divisions(decoder: HidDecoder, *reports: bytes) -> list[int]:
    return [
        item.division_mg
        for place, data in enumerate(reports)
        for item in decoder.feed(data, place / 5)
        if isinstance(item, DivisionLearned)
    ]


def test_the_division_is_said_before_the_reading_that_showed_it() -> None:
    decoder = HidDecoder()

    assert [DivisionLearned(2.5, 100), Reading(2.5, 512_200, True, OK, "030402ff0214")] == (
        decoder.feed(bytes.fromhex("03 04 02 ff 02 14"), 2.5)
    )


def test_the_division_is_learned_as_from_lines() -> None:
    """Tenths of a gram are sent; two hundred milligrams, then one turn out to be the interval."""
    even = [report(weight, exponent=-1) for weight in range(100, 140, 2)]

    assert [100, 200, 100] == divisions(HidDecoder(), *even, report(7401, exponent=-1))


def test_a_given_division_is_taken() -> None:
    assert [500] == divisions(
        HidDecoder(division_mg=500), *(report(weight, exponent=-1) for weight in range(0, 200, 5))
    )


def test_each_report_is_converted_by_its_own_unit() -> None:
    """Somebody presses the unit key; the division follows, and again when it goes back."""
    decoder = HidDecoder()
    grams, ounces = report(740), report(261, unit=11, exponent=-1)
    out = [item for data in (grams, ounces, ounces, grams) for item in decoder.feed(data, 0.0)]

    assert [740_000, 739_923, 739_923, 740_000] == [
        item.gross_mg for item in out if isinstance(item, Reading)
    ]
    assert [1000, 2835, 1000] == [
        item.division_mg for item in out if isinstance(item, DivisionLearned)
    ]


def test_an_empty_pan_changes_no_division() -> None:
    """Some scales send another exponent with a zero."""
    decoder = HidDecoder()
    weighed = report(7400, exponent=-1)

    assert [100] == divisions(decoder, weighed, report(0, status=2), report(0), weighed)


def test_the_profile_is_what_was_last_weighed() -> None:
    decoder = HidDecoder(DATA_REPORT)
    before = decoder.profile
    readings(decoder, report(740, exponent=-1))
    profile = decoder.profile

    assert before is None
    assert profile
    assert (Unit.GRAM, 1, "", 100) == (
        profile.unit,
        profile.decimals,
        profile.decimal_sign,
        profile.division_mg,
    )
    assert "USB report 3 of 6 bytes" == profile.shape
    assert "status 4" == profile.stable_mark


def test_tens_of_grams_have_no_decimals() -> None:
    decoder = HidDecoder()
    (reading,) = readings(decoder, report(74, exponent=1))

    assert 740_000 == reading.gross_mg
    assert decoder.profile
    assert (0, 10_000) == (decoder.profile.decimals, decoder.profile.division_mg)


def test_counts_tell_the_kinds_apart() -> None:
    decoder = HidDecoder()
    readings(decoder, report(1), report(1, status=6), report(1, status=1), b"x", report(2))

    assert Counts(frames=5, unreadable=2, overload=1, underload=0) == decoder.counts
    assert [] == decoder.finish()


def test_a_device_that_is_no_scale_is_said_to_be_none() -> None:
    decoder = HidDecoder()
    readings(decoder, *[bytes(8)] * (MANY_UNREAD - 1))
    before = decoder.refusal
    readings(decoder, bytes(8))
    after = decoder.refusal
    readings(decoder, report(740))

    assert "" == before
    assert after.startswith("What comes from the USB device cannot be read:")
    assert "" == decoder.refusal


def test_overload_is_no_sign_of_another_device() -> None:
    decoder = HidDecoder()
    readings(decoder, *[bytes(8)] * (MANY_UNREAD - 1), report(0, status=6), bytes(8))

    assert "" == decoder.refusal


Decoded = list[Reading | DivisionLearned]


@pytest.mark.parametrize(
    ("name", "unit", "exponent"),
    [
        ("take-away-tared", 2, 0),  # most of it is below zero
        ("division-0.1", 2, -1),
        ("division-5", 2, 0),
        ("kilograms", 3, -3),
        ("pounds", 12, -3),
    ],
)
def test_a_morning_of_reports_reads_as_the_same_morning_of_lines(
    name: str, unit: int, exponent: int
) -> None:
    """What a scale sent in lines, sent once more as reports: the same weights and divisions."""
    path = Path(__file__).parents[3] / "fixtures" / "recordings" / f"{name}.jsonl"
    mg_per_count = MG_OF_READ_UNITS[unit] * Fraction(10) ** exponent
    lines, reports = Decoder(), HidDecoder()
    said: Decoded = []
    heard: Decoded = []
    for arrival in decode(path.read_text(encoding="utf-8").splitlines()).arrivals:
        said += lines.feed(arrival.data, arrival.t_s)
    for item in said:
        if isinstance(item, Reading) and item.gross_mg is not None:
            counts = round(item.gross_mg / mg_per_count)
            status = 5 if counts < 0 else STABLE
            heard += reports.feed(
                report(abs(counts), status=status, unit=unit, exponent=exponent), item.t_s
            )

    assert len(heard) > 200
    assert weights_and_divisions(said) == weights_and_divisions(heard)


def weights_and_divisions(items: Decoded) -> list[tuple[float, str, int | None]]:
    """Return what two ways of sending have in common: not marks, not the text."""
    return [
        (item.t_s, "division", item.division_mg)
        if isinstance(item, DivisionLearned)
        else (item.t_s, "weighs", item.gross_mg)
        for item in items
        if isinstance(item, DivisionLearned) or item.gross_mg is not None
    ]
