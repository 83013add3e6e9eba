"""Check weights as somebody writes them down, and as an option names them."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import SpecificationError
from weighstation.metrology import AccuracyClass, CheckWeight, Plate, WeightClass
from weighstation.station.commands.checking.plan import loads_for
from weighstation.station.commands.checking.weights import read_weights, which_weights
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.options import plate_from
from weighstation.station.devices.profiles import Profile, read_profiles, write_profiles

if TYPE_CHECKING:
    from pathlib import Path

FILE = """
[[weight]]
name = "box 2"
nominal_g = 1000
class = "m1"
certified_on = 2026-01-15
due_on = "2027-01-15"

[[weight]]
name = "brass"
nominal_g = 250
certified_g = 250.04
uncertainty_g = 0.02
"""


def test_a_file_of_weights() -> None:
    box, brass = read_weights(FILE, "weights.toml")

    assert (
        CheckWeight("box 2", Decimal(1000), WeightClass.M1, None, None, "2026-01-15", "2027-01-15")
        == box
    )
    assert (Decimal("250.04"), Decimal("0.02")) == (brass.certified_g, brass.uncertainty_g)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[weight]", "not valid TOML"),
        ("", r"no tables \[\[weight\]\]"),
        ("weight = 500", r"no tables \[\[weight\]\]"),
        ("weight = [500]", "it is no table"),
        ("[[weight]]\nnominal_g = 500\nclass = 'M1'", "name is missing"),
        ("[[weight]]\nname = 'a'\nclass = 'M1'", "nominal_g is missing"),
        ("[[weight]]\nname = 'a'\nnominal_g = 'x'\nclass = 'M1'", "must be a number of grams"),
        ("[[weight]]\nname = 'a'\nnominal_g = nan\nclass = 'M1'", "finite"),
        ("[[weight]]\nname = 'a'\nnominal_g = 500\nclass = 'Z'", "no weight class 'Z'"),
        ("[[weight]]\nname = 'a'\nnominal_g = 500\nweigt = 1", "'weigt' is not known"),
        ("[[weight]]\nname = 'a'\nnominal_g = 500", "needs a class, or a certified value"),
        (
            "[[weight]]\nname = 'a'\nnominal_g = 500\nclass = 'M1'\ndue_on = 'soon'",
            "must be a date like",
        ),
        (
            "[[weight]]\nname = 'a'\nnominal_g = 500,5\nclass = 'M1'",
            "not valid TOML.*with a decimal point, not a comma",
        ),
        (
            "[[weight]]\nname = 'a'\nnominal_g = 500\ncertified_g = 5000.03\nuncertainty_g = 0.02",
            "5000.03 g certified of 500 g",
        ),
        ("[[weight]]\nname = 'a'\nnominal_g = 1e30\nclass = 'M1'", "less than 1000000"),
        (
            (
                "[[weight]]\nname = 'a'\nnominal_g = 500\nclass = 'M1'\n"
                "certified_on = 2026-01-15\ndue_on = 2025-01-15"
            ),
            "due_on is before certified_on",
        ),
        (FILE + FILE, "2 faults: the name 'box 2' is used twice; the name 'brass'"),
    ],
)
def test_a_file_that_is_wrong_is_answered_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(SpecificationError) as said:
        read_weights(text, "weights.toml")

    assert re.search(says, said.value.sentence)


def test_weights_are_named_by_the_file_or_by_grams_and_class(tmp_path: Path) -> None:
    home = Home(tmp_path)
    home.weights_path.write_text(FILE)
    all_of_it = which_weights((), home)
    named = which_weights(("BOX 2", "500:M1", "200 g:F2"), home)

    assert ["brass", "box 2"] == [weight.name for weight in all_of_it]
    assert ["200 g F2", "500 g M1", "box 2"] == [weight.name for weight in named]


def test_weights_that_nobody_knows(tmp_path: Path) -> None:
    home = Home(tmp_path)
    with pytest.raises(SpecificationError, match="not known which weights") as none:
        which_weights((), home)
    with pytest.raises(SpecificationError, match="no check weight 'box 9'"):
        which_weights(("box 9",), home)
    with pytest.raises(SpecificationError, match="takes 4 at most"):
        which_weights(("1:M1", "2:M1", "5:M1", "10:M1", "20:M1"), home)

    assert "--weight 500:M1" in none.value.hint


def of(*grams: int) -> tuple[CheckWeight, ...]:
    return tuple(CheckWeight(f"{g} g", Decimal(g), WeightClass.M1) for g in grams)


@pytest.mark.parametrize(
    ("grams", "corners", "wanted"),
    [
        ((500,), False, "500 500 500"),
        ((500, 1000), False, "500 1000 1000 1000"),
        ((200, 500, 1000), False, "200 500 1000"),
        ((200, 500, 1000, 2000), False, "200 500 1000 2000"),
        ((1000,), True, "1000 1000 1000 1000c 1000c 1000c 1000c"),
        ((500, 1000), True, "500 1000 1000c 1000c 1000c 1000c"),
        ((200, 500, 1000, 2000), True, "200 500 1000 2000 1000c 1000c 1000c 1000c"),
    ],
)
def test_the_loads_of_a_check(grams: tuple[int, ...], corners: bool, wanted: str) -> None:
    """At the corners the weight nearest to a third of Max, here 3 kg."""
    loads = loads_for(of(*grams), corners=corners, max_g=Decimal(3000))

    assert wanted == " ".join(f"{w.nominal_g}{'c' if where else ''}" for w, where in loads)
    assert len(loads) <= 8


def test_without_max_the_heaviest_goes_to_the_corners() -> None:
    loads = loads_for(of(200, 2000), corners=True, max_g=None)

    assert {Decimal(2000)} == {weight.nominal_g for weight, where in loads if where}


def test_a_plate_is_given_whole_or_not_at_all() -> None:
    assert None is plate_from(None, None, None)
    assert Plate(AccuracyClass.MEDIUM, Decimal(1), Decimal(3000)) == plate_from("iii", "1", "3000")
    with pytest.raises(SpecificationError, match="A plate needs --e and --max too"):
        plate_from("III", None, None)
    with pytest.raises(SpecificationError, match="No scale can have this plate"):
        plate_from("III", "1", "50000")


def test_a_plate_is_kept_with_the_scale_and_survives_learning_anew(tmp_path: Path) -> None:
    plate = Plate(AccuracyClass.MEDIUM, Decimal("0.5"), Decimal(1500))
    home = Home(tmp_path)
    home.keep_profile(Profile("usb:1:2", plate=plate, check_due_h=12.0))
    home.keep_profile(Profile("usb:1:2", {"baud": "4800"}, learned="2026-03-02T04:10:00Z"))
    kept = home.profiles()["usb:1:2"]

    assert (plate, 12.0, {"baud": "4800"}) == (kept.plate, kept.check_due_h, kept.settings)
    assert kept == read_profiles(write_profiles([kept]), "scales.toml")["usb:1:2"]


def test_how_often_a_scale_is_checked_can_be_said_anew_without_its_plate(tmp_path: Path) -> None:
    """It was lost once where the scale was known and had no plate."""
    plate = Plate(AccuracyClass.MEDIUM, Decimal("0.5"), Decimal(1500))
    home = Home(tmp_path)
    home.keep_profile(Profile("usb:1:2", plate=plate, check_due_h=24.0))
    home.keep_profile(Profile("usb:1:2", check_due_h=8.0))
    kept = home.profiles()["usb:1:2"]

    assert (plate, 8.0) == (kept.plate, kept.check_due_h)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ('accuracy_class = "III"', "a plate without e_g, max_g"),
        ('accuracy_class = "V"\ne_g = 1\nmax_g = 3000', "no accuracy class 'V'"),
        ('accuracy_class = "III"\ne_g = "x"\nmax_g = 3000', "no number of grams"),
        ('accuracy_class = "III"\ne_g = 1\nmax_g = 30000', "No scale can have this plate"),
        ("check_due_h = 0", "no number of hours"),
        ('check_due_h = "daily"', "no number of hours"),
    ],
)
def test_a_plate_that_is_wrong_is_answered_in_a_sentence(keys: str, says: str) -> None:
    with pytest.raises(SpecificationError, match=says):
        read_profiles(f'[[scale]]\nidentity = "usb:1:2"\n{keys}\n', "scales.toml")
