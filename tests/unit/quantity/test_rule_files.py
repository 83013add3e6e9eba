"""Rule files: the published ones are whole, a place can add its own, and faults are named."""

from __future__ import annotations

import re
from contextlib import suppress
from importlib.resources import files
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.quantity import (
    QuantityRule,
    judge_lot,
    least_aim,
    packers_rules,
    published_rule,
    read_rule,
    tolerable_deficiency,
)
from weighstation.specification import PUBLISHED_RULES

RULES = files("weighstation.quantity") / "rules"

# An invented ordinance of a place: a loaf may be 4 % short, the mean of at least 25 may not.
OWN = """
name = "town-loaf"
title = "Loaf ordinance of an invented town"
edition = "2026"
source = "its gazette"
noted = 2026-11-27
advice = "No legal advice."

[deficiency]
sure = "invented"
bands = [{ to_g = 2000, percent = "4" }]

[packer]
sure = "invented"
t1_share = "0"

[mean]
sure = "invented"

[[plan]]
sure = "invented"
from = 25
to = 1000
sample = 25
t1 = 0
"""


@pytest.mark.parametrize("name", PUBLISHED_RULES)
def test_a_published_rule_says_where_it_is_from_and_what_it_is_not(name: str) -> None:
    rule = published_rule(name)

    assert name == rule.name
    assert "no legal advice" in rule.advice
    assert {"deficiency", "packer", "mean", "scale"} == set(rule.sure)
    assert all(re.search("read|memory", said) for said in rule.sure.values())
    assert rule.edition
    assert rule.source


@pytest.mark.parametrize("name", ["eu-76-211", "oiml-r87"])
def test_the_table_has_no_steps_at_its_edges(name: str) -> None:
    """At every edge both bands give the same, so it does not matter which one has it (read)."""
    bands = published_rule(name).bands
    for band, following in pairwise(bands):
        at_edge = [
            each.fixed_g if each.fixed_g is not None else band.to_g * (each.percent or 0) / 100
            for each in (band, following)
        ]

        assert at_edge[0] == at_edge[1]


def test_a_place_can_add_its_own() -> None:
    rule = read_rule(OWN)
    passing = judge_lot([400.0] * 25, nominal_g=400, rule=rule, lot_size=60)
    light = judge_lot([399.0] * 25, nominal_g=400, rule=rule, lot_size=60)
    short = judge_lot([383.0, *[405.0] * 24], nominal_g=400, rule=rule, lot_size=60)

    assert (passing.passes, light.passes, short.passes) == (True, False, False)
    assert passing.deficiency_g == 16
    with pytest.raises(SpecificationError, match="no plan for a lot of 24"):
        judge_lot([400.0] * 24, nominal_g=400, rule=rule, lot_size=24)


def test_a_place_can_have_a_double_plan() -> None:
    """As in `test_a_place_can_add_its_own`, with 10 more if 1 of the first 15 is short."""
    double = 'kind = "double"\nsample = 15\nsecond = { below = 2, sample = 10, t1 = 1 }'
    rule = read_rule(OWN.replace("sample = 25", double))
    weights = [383.0, *[405.0] * 14]
    asked = judge_lot(weights, nominal_g=400, rule=rule, lot_size=60, plan="double")
    both = judge_lot(
        [*weights, *[405.0] * 10], nominal_g=400, rule=rule, lot_size=60, plan="double"
    )

    assert (("double",), None, 10) == (rule.kinds, asked.passes, asked.second_sample)
    assert both.passes is True
    with pytest.raises(SpecificationError, match="no plan 'single'"):
        judge_lot(weights, nominal_g=400, rule=rule, lot_size=60)


BANDS = 'bands = [{ to_g = 2000, percent = "4" }]'


def read(text: str | bytes) -> QuantityRule:
    return read_rule(text, source="town.toml")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('name = "town-loaf"\n', "", "'name' is missing"),
        ('name = "town-loaf"', "name = 3", "'name' must be a line of text"),
        ('name = "town-loaf"', 'name = "a\\nb"', "'name' must be a line of text"),
        ('name = "town-loaf"', 'nam = "x"', "'nam' is not known in a rule"),
        ("noted = 2026-11-27", 'noted = "today"', "'noted' must be a day, as in 2026-03-02"),
        ("noted = 2026-11-27", "noted = 2026-11-27T04:00:00Z", "'noted' must be a day"),
        ("[packer]", "[pakcer]", "'pakcer' is not known in a rule"),
        ('[mean]\nsure = "invented"', "", "'mean' is missing"),
        (
            "[[plan]]",
            '[scale]\nsure = "x"\nleast_divisions = 0\n[[plan]]',
            "'least_divisions' of [scale] must be a whole number from 1 up",
        ),
        ("[[plan]]", "[scale]\nleast_divisions = 5\n[[plan]]", "'sure' of [scale] is missing"),
        ("[[plan]]", "scale = 5\n[[plan]]", "'scale' is not known in [mean]"),
        ('[mean]\nsure = "invented"', '[[mean]]\nsure = ""', "'mean' must be a table"),
        ("[[plan]]", "[plans]", "'plans' is not known in a rule"),
        ("[[plan]]", "[plan]", "'plan' must be a list of tables"),
        ('sure = "invented"\nbands', "bands", "'sure' of [deficiency] is missing"),
        (BANDS, "", "'bands' of [deficiency] is missing"),
        (BANDS, "bands = 4", "'bands' of [deficiency] must be a list of tables"),
        (BANDS, "bands = [4]", "'bands' of [deficiency] must be a list of tables"),
        (BANDS, "bands = []", "'bands' of [deficiency] is empty"),
        (BANDS, BANDS + '\nbelow = "no"', "'below' of [deficiency] must be true or false"),
        (BANDS, BANDS + "\nrounding = 0", "'rounding' of [deficiency] must be a list of tables"),
        (BANDS, BANDS + "\nleast_g = 2000", "'least_g' of [deficiency] must be a number from 0"),
        (
            BANDS,
            BANDS + "\nrounding = [{ to_g = 2000, step_g = 0 }]",
            "'step_g' of step 1 must be more than 0",
        ),
        (
            BANDS,
            BANDS + "\nrounding = [{ to_g = 9, step_g = 1 }, { to_g = 9, step_g = 2 }]",
            "'to_g' of step 2 must be more than that of the step before it",
        ),
        (BANDS, BANDS + "\nrounding = [{ to_g = 9, stp = 1 }]", "'stp' is not known in step 1"),
        ('percent = "4"', 'percent = "four"', "'percent' of band 1 must be a number from 0 up"),
        ('percent = "4"', 'percent = "٤"', "'percent' of band 1 must be a number"),
        ('percent = "4"', 'percent = "1e999999999"', "'percent' of band 1 must be a number"),
        ('percent = "4"', "percent = 4.5", 'as in 2 or "2.5"'),
        ('percent = "4"', "percent = nan", "'percent' of band 1 must be a number"),
        ('percent = "4"', "percent = true", "'percent' of band 1 must be a number"),
        ('percent = "4"', 'percent = "-4"', "'percent' of band 1 must be a number from 0 up"),
        ('percent = "4"', "percent = 100", "from 0 up and below 100"),
        ('percent = "4"', "grams = 2000", "'grams' of band 1 must be a number from 0 up and below"),
        ('percent = "4"', "grams = -1", "'grams' of band 1 must be a number from 0 up"),
        ('percent = "4"', 'grams = "4", percent = "4"', "'percent' of band 1 or 'grams' must be"),
        (', percent = "4"', "", "'percent' of band 1 or 'grams' must be there, and not both"),
        ("to_g = 2000, ", "", "'to_g' of band 1 is missing"),
        ("to_g = 2000", "to_g = 0", "'to_g' of band 1 must be more than 0"),
        ("to_g = 2000", f"to_g = 1{'0' * 400}", "'to_g' of band 1 must be a number"),
        (
            "bands = [",
            "bands = [{ to_g = 3000, percent = 1 }, ",
            "'to_g' of band 2 must be more than that of the band before it",
        ),
        ('t1_share = "0"', 't1_share = "1"', "'t1_share' of [packer] must be a share from 0 up"),
        ('t1_share = "0"', 't1_share = "-0.1"', "'t1_share' of [packer] must be a share"),
        ('t1_share = "0"', 't2_share = "0.1"', "'t2_times' of [packer] is missing"),
        ('t1_share = "0"', "t2_times = 2", "'t2_share' of [packer] is missing"),
        (
            't1_share = "0"',
            't2_times = 0\nt2_share = "0"',
            "'t2_times' of [packer] must be a whole",
        ),
        (
            "[[plan]]",
            'confidence = "1"\n[[plan]]',
            "'confidence' of [mean] must be a share from 0.5",
        ),
        ("[[plan]]", 'confidence = "0.4"\n[[plan]]', "'confidence' of [mean] must be a share"),
        (
            "[[plan]]",
            "plain_below = -1\n[[plan]]",
            "'plain_below' of [mean] must be a whole number",
        ),
        ("sample = 25", 'sample = "some"', 'must be a whole number from 1 to 25, or "all"'),
        (
            "sample = 25",
            "sample = 26",
            "'sample' of [[plan]] 1 must be a whole number from 1 to 25",
        ),
        ("sample = 25", "sample = -25", "'sample' of [[plan]] 1 must be"),
        ("sample = 25", "sample = true", "'sample' of [[plan]] 1 must be"),
        ("sample = 25\n", "", "'sample' of [[plan]] 1 is missing"),
        ("t1 = 0\n", "", "'t1' of [[plan]] 1 or 't1_share' must be there, and not both"),
        ("t1 = 0\n", "t1 = -1\n", "'t1' of [[plan]] 1 must be a whole number from 0 to 24"),
        ("t1 = 0\n", "t1 = 25\n", "'t1' of [[plan]] 1 must be a whole number from 0 to 24"),
        ("t1 = 0\n", 't1 = "0"\n', "'t1' of [[plan]] 1 must be a whole number"),
        ("from = 25", "from = 2000", "'to' of [[plan]] 1 must be a whole number from 2000 up"),
        ("from = 25", 'from = "25"', "'from' of [[plan]] 1 must be a whole number from 1 up"),
        ("from = 25", "from = 25\nkind = 2", "'kind' of [[plan]] 1 must be a line of text"),
        ('title = "', "title = ", "town.toml is not valid TOML"),
        ("from = 25", f"from = {'9' * 5000}", "town.toml is not valid TOML"),
        (BANDS, f"bands = {'[' * 100_000}", "town.toml is not valid TOML"),
    ],
)
def test_faults_of_a_rule_are_named(old: str, new: str, said: str) -> None:
    assert old in OWN
    with pytest.raises(SpecificationError) as caught:
        read(OWN.replace(old, new, 1))

    assert said in str(caught.value)
    assert_one_plain_sentence(caught.value)


def assert_one_plain_sentence(error: SpecificationError) -> None:
    """Assert that it names the file, and the key or the place, and shows on one line."""
    said = str(error)

    assert re.match(r"In town\.toml, ['\"]|town\.toml is not (valid TOML|UTF-8): ", said)
    assert said.endswith(".")
    assert error.sentence.isprintable()


@pytest.mark.parametrize(
    ("second", "said"),
    [
        ("3", "'second' of [[plan]] 1 must be a table"),
        (
            "{ below = 2, sample = 10, t1 = 1, t2 = 0 }",
            "'t2' is not known in [second] of [[plan]] 1",
        ),
        ("{ sample = 10, t1 = 1 }", "'below' of [second] of [[plan]] 1 is missing"),
        ("{ below = 1, sample = 10, t1 = 1 }", "must be a whole number from 2 to 2"),
        ("{ below = 3, sample = 10, t1 = 1 }", "must be a whole number from 2 to 2"),
        ("{ below = 2, sample = 11, t1 = 1 }", "'sample' of [second] of [[plan]] 1 must be"),
        ("{ below = 2, sample = 10, t1 = 0 }", "'t1' of [second] of [[plan]] 1 must be"),
    ],
)
def test_faults_of_a_second_sample_are_named(second: str, said: str) -> None:
    with pytest.raises(SpecificationError) as caught:
        read(OWN.replace("sample = 25", f"sample = 15\nsecond = {second}"))

    assert said in str(caught.value)
    assert_one_plain_sentence(caught.value)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            '[[plan]]\nsure = "x"\nfrom = 1000\nto = 2000\nsample = "all"\nt1 = 0',
            "'from' of [[plan]] 2 must be beyond the lots of the other plans of its kind",
        ),
        (
            '[[refused]]\nfrom = 1\nto = 25\nwhy = "x"',
            "'from' of [[refused]] 1 must be beyond the lots that a plan is for",
        ),
        ("[[refused]]\nfrom = 1\nto = 24", "'why' of [[refused]] 1 is missing"),
        ('[[refused]]\nfrom = 1\nto = 24\nwhy = "x"\nso = 1', "'so' is not known in [[refused]] 1"),
        (
            '[[refused]]\nkind = "double"\nfrom = 1\nto = 24\nwhy = "x"',
            "'kind' of [[refused]] 1 must be that of a plan",
        ),
        ("[refused]", "'refused' must be a list of tables"),
    ],
)
def test_lots_that_are_there_twice_or_refused_wrongly_are_named(more: str, said: str) -> None:
    with pytest.raises(SpecificationError) as caught:
        read(f"{OWN}\n{more}\n")

    assert said in str(caught.value)
    assert_one_plain_sentence(caught.value)


def test_a_second_sample_needs_a_first_with_a_number() -> None:
    whole = OWN.replace("sample = 25", 'sample = "all"\nsecond = { below = 2, sample = 1, t1 = 1 }')
    with pytest.raises(SpecificationError, match=r"'second' of .* must follow a 'sample'"):
        read(whole)


def test_a_file_of_other_bytes_is_refused() -> None:
    with pytest.raises(SpecificationError, match=r"town\.toml is not UTF-8: byte 16 ") as caught:
        read(OWN.replace("town-loaf", "town-löaf", 1).encode("latin-1"))

    assert_one_plain_sentence(caught.value)
    for nothing in ("", b"", "\0", b"\xff\xfe"):
        with pytest.raises(SpecificationError):
            read(nothing)


def test_bytes_and_a_byte_order_mark_are_read() -> None:
    """Some editors put a mark before UTF-8."""
    assert read(OWN.encode("utf-8-sig")) == read(OWN)


JUNK = (
    *('""', '"x"', '"a\\nb"', "-1", "0", "1", "7", "1.5", "nan", "-inf", "true", "[]", "[1]"),
    *("{}", "[{}]", "2026-01-01", "2026-01-01T00:00:00", "10000000000", '"0.5"', '"1e9"', "="),
)


def in_use(rule: QuantityRule) -> None:
    """Use a rule all round; what it cannot say it refuses."""
    for nominal_g in (4, 50, 400, 1000, 20_000):
        with suppress(SpecificationError):
            tolerable_deficiency(nominal_g, rule=rule)
        with suppress(SpecificationError):
            packers_rules([nominal_g], nominal_g=nominal_g, rule=rule)
    for size in (None, 1, 60, 5000):
        with suppress(SpecificationError):
            least_aim(400, 5, rule=rule, batch_size=size)
    for lot, n in ((60, 60), (300, 50), (200, 12), (300, 30), (300, 60)):
        for kind in rule.kinds:
            with suppress(SpecificationError):
                judge_lot([400.0] * n, nominal_g=400, rule=rule, lot_size=lot, plan=kind)


@pytest.mark.parametrize("name", [*PUBLISHED_RULES, "town-loaf"])
def test_every_spoiled_line_is_refused_in_a_sentence_or_harmless(name: str) -> None:
    """Each line left out, twice, under another key, and with each kind of junk for its value."""
    text = OWN if name == "town-loaf" else (RULES / f"{name}.toml").read_text("utf-8")
    lines = text.splitlines()
    refused = 0
    for place, line in enumerate(lines):
        key, told, _ = line.partition(" = ")
        spoiled = [[], [line, line], [f"x{line}"], [f"{line} #"], [line[: len(line) // 2]]]
        spoiled += [[f"{key} = {junk}"] for junk in JUNK if told]
        for new in spoiled:
            try:
                rule = read("\n".join([*lines[:place], *new, *lines[place + 1 :]]))
            except SpecificationError as error:
                refused += 1
                assert_one_plain_sentence(error)
            else:
                in_use(rule)

    assert refused > 10 * len([line for line in lines if line])


@given(st.data())
def test_every_spoiled_byte_is_refused_in_a_sentence_or_harmless(data: st.DataObject) -> None:
    raw = bytearray(OWN.encode())
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(raw) - 1))
        raw[place : place + data.draw(st.integers(0, 8))] = data.draw(st.binary(max_size=4))
    try:
        rule = read(bytes(raw))
    except SpecificationError as error:
        assert_one_plain_sentence(error)
    else:
        in_use(rule)


def test_a_rule_without_a_plan_is_refused() -> None:
    with pytest.raises(SpecificationError, match="'plan' is missing"):
        read(OWN[: OWN.index("[[plan]]")])
    with pytest.raises(SpecificationError, match="'plan' is empty"):
        read("plan = []\n" + OWN[: OWN.index("[[plan]]")])
