"""Rule files: the published ones are whole, a place can add its own, and faults are named."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from weighstation.errors import SpecificationError
from weighstation.quantity import PUBLISHED, judge_lot, published_rule, read_rule

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


@pytest.mark.parametrize("name", PUBLISHED)
def test_a_published_rule_says_where_it_is_from_and_what_it_is_not(name: str) -> None:
    rule = published_rule(name)

    assert name == rule.name
    assert "no legal advice" in rule.advice
    assert {"deficiency", "packer", "mean"} == set(rule.sure)
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


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('name = "town-loaf"', "name = 3", "'name' in words"),
        ('name = "town-loaf"', 'nam = "x"', "no 'nam'"),
        ("noted = 2026-11-27", 'noted = "today"', "noted"),
        ("[packer]", "[pakcer]", "no 'pakcer'"),
        ('percent = "4"', 'percent = "four"', "'percent'"),
        ('percent = "4"', "percent = 4.5", "'percent'"),
        ('percent = "4"', 'percent = "-4"', "from 0 up"),
        ('percent = "4"', 'grams = "4", percent = "4"', "either a percent or grams"),
        ("to_g = 2000, ", "", "'to_g'"),
        ("bands = [", "bands = [{ to_g = 3000, percent = 1 }, ", "up to more grams"),
        ('bands = [{ to_g = 2000, percent = "4" }]', "bands = 4", "list of tables"),
        ("sample = 25", 'sample = "some"', "a sample"),
        ("t1 = 0\n", "", "t1 or t1_share"),
        ("from = 25", "from = 2000", "from one size"),
        ("from = 25", 'from = "25"', "whole number"),
        ("[[plan]]", "[plans]", "no 'plans'"),
        ('title = "', "title = ", "no TOML"),
        ('[mean]\nsure = "invented"', "", "needs a table [mean]"),
    ],
)
def test_faults_of_a_rule_are_named(old: str, new: str, said: str) -> None:
    assert old in OWN
    with pytest.raises(SpecificationError) as caught:
        read_rule(OWN.replace(old, new, 1))

    assert said in str(caught.value)


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


@pytest.mark.parametrize(
    ("second", "said"),
    [
        ("3", "'second' of a [[plan]] is a table"),
        ("{ below = 2, sample = 10, t1 = 1, t2 = 0 }", "no 't2'"),
        ("{ sample = 10, t1 = 1 }", "'below'"),
        ("{ below = 1, sample = 10, t1 = 1 }", "at least two more"),
        ("{ below = 3, sample = 10, t1 = 1 }", "one less than 'below'"),
        ("{ below = 2, sample = 11, t1 = 1 }", "fit into the smallest lot"),
    ],
)
def test_faults_of_a_second_sample_are_named(second: str, said: str) -> None:
    with pytest.raises(SpecificationError) as caught:
        read_rule(OWN.replace("sample = 25", f"sample = 15\nsecond = {second}"))

    assert said in str(caught.value)


def test_a_rule_without_a_plan_is_refused() -> None:
    with pytest.raises(SpecificationError, match="at least one"):
        read_rule(OWN[: OWN.index("[[plan]]")])
