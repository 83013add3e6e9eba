"""Bench flour on a piece, for the office."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from planned_shop import FORMULA_170, planned, product, refused, shop
from station_process import weighstation

if TYPE_CHECKING:
    from pathlib import Path

NO_WATER = '[product.formula]\nflours = ["flour"]\nflour = 100\nsalt = 2\nyeast = 1\n'


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return shop(
        tmp_path_factory.mktemp("bench"),
        product("Loaf", 855, FORMULA_170),
        product("Dry loaf", 800, NO_WATER),
        product("Bare loaf", 500),
    )


def test_worked_flour(home: Path) -> None:
    """855 g with 5 g of dust: 850 g of dough hold 850/1.7 = 500 g of flour and 335 g of water;
    335/505 = 66.337 %: own arithmetic."""
    said = planned(home, "flour", "Loaf", "5")

    assert (850.0, 67.0, 66.337, -0.663) == tuple(
        said[key] for key in ("dough_g", "formula_hydration_pct", "hydration_pct", "change_points")
    )
    assert (0.588, "good") == (said["dough_pct"], said["dusting"])


def test_the_tub_says_the_same_as_the_grams(home: Path) -> None:
    """(2000 - 1700 - 60) / 48 = 5: own arithmetic."""
    tub = ("--tub", "2000", "--tub-after", "1700", "--swept", "60", "--pieces", "48")

    assert planned(home, "flour", "Loaf", "5") == planned(home, "flour", "Loaf", *tub)


@pytest.mark.parametrize(
    ("grams", "dusting", "code"), [("8", "good", 0), ("12", "much", 0), ("20", "too much", 1)]
)
def test_too_much_is_bad_news(grams: str, dusting: str, code: int, home: Path) -> None:
    """Up to 1 % of the dough is good, above 2 % a fault: common practice, no source."""
    done = weighstation("plan", "flour", "Loaf", grams, home=home)

    assert code == done.returncode
    assert f"{dusting.capitalize()}: " in done.stdout
    assert "its dust harms" in done.stdout


def test_without_water_the_share_of_flour_is_told_alone(home: Path) -> None:
    said = planned(home, "flour", "Dry loaf", "4")

    assert (0.503, None, None) == (said["dough_pct"], said["hydration_pct"], said["change_points"])
    assert "none of its ingredients is called water" in " ".join(
        weighstation("plan", "flour", "Dry loaf", "4", home=home).stdout.split()
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("Loaf",), "The flour on a piece is not known. Give its GRAMS, or"),
        (
            ("Loaf", "5", "--tub", "9", "--tub-after", "8", "--pieces", "1"),
            "The flour on a piece is given twice.",
        ),
        (("Loaf", "--tub", "2000"), "A tub of flour is weighed before and after, for a number"),
        (
            ("Loaf", "--tub", "200", "--tub-after", "300", "--pieces", "3"),
            "300 g of flour came back of 200 g.",
        ),
        (("Loaf", "lots"), "The flour on a piece 'lots' is no number of grams."),
        (("Loaf", "855"), "855 g of flour on a piece leave no dough in 855 g."),
        (("Bare loaf", "5"), "'Bare loaf' has no formula, so nothing says how much flour"),
        (("Loof", "5"), "There is no product 'Loof'."),
    ],
)
def test_what_makes_no_sense_is_one_sentence(words: tuple[str, ...], said: str, home: Path) -> None:
    assert said in refused(weighstation("plan", "flour", *words, home=home))
