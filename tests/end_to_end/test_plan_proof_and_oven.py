"""Proof and oven for the office."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from planned_shop import planned, product, refused, shop
from station_process import weighstation

if TYPE_CHECKING:
    from pathlib import Path

OVEN = "\n[oven]\nplaces = 20\ncycle_min = 40\n"


def proved(name: str, minutes: int, at_c: int, *more: str) -> str:
    proof = f"[product.proof]\nminutes = {minutes}\ntemperature_c = {at_c}"
    return product(name, 909, proof, *more)


WARM = proved("Warm loaf", 60, 35, "[product.oven]\nminutes = 30\nplaces = 24")
COOL = proved("Cool loaf", 60, 26)
BARE = product("Bare loaf", 909)
TIMED = product("Timed loaf", 909, "[product.proof]\nminutes = 60")


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return shop(tmp_path_factory.mktemp("bench"), OVEN, WARM, COOL, BARE, TIMED)


def test_worked_proof(home: Path) -> None:
    """30 min at 26 C are 15.1 of 60 min at 35 C, and 44.9 are left: square law (from memory of
    predictive microbiology), own arithmetic.
    """
    said = planned(home, "proof", "Warm loaf", "0=26", "30=26", "30=35")

    assert 15.1 == round(said["done_min"], 1)
    assert 44.9 == round(said["ready_min"] - said["now_min"], 1)


def test_a_cooler_prover_takes_longer_by_every_law(home: Path) -> None:
    """60 min at 35 C are 100.1 at 28 by the square, 97.5 by a doubling in 10 degrees, 116.9 by a
    tenth a degree: rules of the trade, own arithmetic.
    """
    said = planned(home, "proof", "Warm loaf", "0=28")

    assert [100.1, 97.5, 116.9] == [
        round(said[key], 1) for key in ("ready_min", "earliest_min", "latest_min")
    ]


def test_what_the_cold_gives_is_counted_too(home: Path) -> None:
    """30 min falling evenly from 26 to 4 C are 10 min at 26: mean rate 1/3, own arithmetic."""
    said = planned(home, "proof", "Cool loaf", "0=26", "30=4", "500=4")
    page = weighstation("plan", "proof", "Cool loaf", "0=26", "30=4", "500=4", home=home).stdout

    assert 10 == pytest.approx(said["done_min"])
    assert None is said["ready_min"]
    assert "let it pass 16 C before it goes into" in page
    assert page.endswith("Cool loaf stands still in the cold, 17 % proved.\n")


@pytest.mark.parametrize(
    "text", ["minutes,temp_c\n0,26\n30,4\n", "minutes;temp_c\n0;26,0\n\n30;4\n"]
)
def test_a_log_is_read_from_a_file(home: Path, tmp_path: Path, text: str) -> None:
    log = tmp_path / "rack.csv"
    log.write_text(text)

    assert 10 == pytest.approx(
        planned(home, "proof", "Cool loaf", "--log", str(log), "--ahead", "26")["done_min"]
    )


def test_a_second_load_is_divided_a_cycle_later(home: Path) -> None:
    """24 places, a cycle of 40 min: the second load would wait 40 min, 67 % of a 60 min proof. Own
    arithmetic.
    """
    said = planned(home, "oven", "Warm loaf=48")
    first, second = said["loads"]
    page = weighstation("plan", "oven", "Warm loaf=48", home=home).stdout

    assert (24, 40) == (said["places"], said["cycle_min"])
    assert (0, True) == (first["wait_min"], first["is_tolerable"])
    assert (40, 0.67, 40, False) == (
        second["wait_min"],
        round(second["share_of_proof"], 2),
        second["divide_min"],
        second["is_tolerable"],
    )
    assert "divide it 40 min after the first" in " ".join(page.split())
    assert "Deck, tins and steam burn" in page
    assert max(map(len, page.splitlines())) <= 80


@pytest.mark.parametrize(
    ("weight_g", "by_crust_pct", "by_heat_pct"),
    [("954.45", 2.7, 3.3), ("863.55", -2.8, -3.4), ("999.9", 5.4, 6.6)],
)
def test_another_weight_bakes_longer_or_shorter(
    home: Path, weight_g: str, by_crust_pct: float, by_heat_pct: float
) -> None:
    """+-5 % and +10 % of weight, exponents 0.55 and 2/3: published loaf times and heat law, own
    arithmetic.
    """
    bake = planned(home, "oven", "Warm loaf=48", "--weight", weight_g)["bake"]

    assert by_crust_pct == round(100 * (bake["by_crust_min"] / 30 - 1), 1)
    assert by_heat_pct == round(100 * (bake["by_heat_min"] / 30 - 1), 1)


def test_an_oven_without_places_of_the_product_has_those_of_the_shop(home: Path) -> None:
    said = planned(home, "oven", "Cool loaf=20", "--cut-every", "10")

    assert (20, 1) == (said["places"], len(said["loads"]))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("proof", "Warm loaf"), "A proof takes temperatures. Type them as MINUTE=CELSIUS"),
        (("proof", "Warm loaf", "0=hot"), "'0=hot' is no temperature at a minute."),
        (("proof", "Warm loaf", "30"), "'30' is no temperature at a minute."),
        (("proof", "Warm loaf", "0=50"), "The laws of fermentation hold from -60 to 38 C"),
        (("proof", "Warm loaf", "30=26", "0=26"), "Time runs backward at note 2"),
        (("proof", "Warm loaf", "0=26", "--begun", "-9"), "The log begins at 0 min"),
        (("proof", "Bare loaf", "0=26"), "Nothing says how long 'Bare loaf' proves, and at which"),
        (("proof", "Timed loaf", "0=26"), "Nothing says how long 'Timed loaf' proves, and at"),
        (("proof", "Wonder loaf", "0=26"), "There is no product 'Wonder loaf'."),
        (("oven", "Bare loaf=3"), "Nothing says how long 'Bare loaf' proves."),
        (("oven", "Warm loaf"), "How many of 'Warm loaf' are ordered?"),
        (("oven", "Timed loaf=3", "--weight", "900"), "Nothing says how long 'Timed loaf' bakes."),
        (("oven", "Warm loaf=3", "--weight", "0"), "--weight must be more than 0 g."),
    ],
)
def test_what_cannot_be_meant_is_answered_in_one_sentence(
    home: Path, words: tuple[str, ...], said: str
) -> None:
    assert said in refused(weighstation("plan", *words, home=home))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "does not begin with a line minutes,temp_c."),
        ("time,temp\n0,26\n", "does not begin with a line minutes,temp_c."),
        ("minutes,temp_c\n", "has no temperature in it."),
        ("minutes,temp_c\n0,26\nx,26\n5\n", "has no minute and temperature in line 3, line 4."),
        ("minutes,temp_c\n" + "x\n" * 9, "line 5, line 6 and 4 more."),
    ],
)
def test_a_log_with_faults_is_answered_by_its_lines(
    home: Path, tmp_path: Path, text: str, said: str
) -> None:
    log = tmp_path / "rack.csv"
    log.write_text(text)

    assert said in refused(weighstation("plan", "proof", "Warm loaf", "--log", str(log), home=home))


def test_an_oven_that_nobody_spoke_of_is_answered_in_one_sentence(tmp_path: Path) -> None:
    home = shop(tmp_path, WARM)

    assert "Nothing says how often the oven takes a load." in refused(
        weighstation("plan", "oven", "Warm loaf=3", home=home)
    )
    assert "cannot be read" in refused(
        weighstation("plan", "proof", "Warm loaf", "--log", str(tmp_path), home=home)
    )
