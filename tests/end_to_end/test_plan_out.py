"""A plan as a file to print, for a wall beside the mixer."""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING

import pytest
from planned_shop import FORMULA_168, losses, product, refused, shop
from station_process import weighstation

if TYPE_CHECKING:
    from pathlib import Path

KINDS = [
    product(name, scaling_g, f'dough = "{name}"', FORMULA_168, losses(handling=2, oven=12))
    for name, scaling_g in (("Farmhouse loaf", 909), ("Rye <dark>", 740), ("Roll", 60))
]


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return shop(tmp_path_factory.mktemp("bench"), *KINDS)


def test_an_order_is_written_whole_with_its_date(home: Path, tmp_path: Path) -> None:
    out = tmp_path / "order.html"
    out.write_text("of yesterday")
    words = ("plan", "order", "Farmhouse loaf=48", "Rye <dark>=20", "Roll=100")
    result = weighstation(*words, "--out", str(out), home=home)
    text = out.read_text("utf-8")
    made = re.search(r"Made (\d{4}-\d\d-\d\d \d\d:\d\d)\.", text)

    assert (0, "") == (result.returncode, result.stderr)
    assert f"The plan is in '{out}'. Open it to read or to print it.\n" == result.stdout
    assert ["order.html"] == [path.name for path in tmp_path.iterdir()]
    assert text.startswith("<!doctype html>")
    assert "Rye &lt;dark&gt;" in text
    assert "43 632 g" in text
    assert made
    age = datetime.now() - datetime.strptime(made[1], "%Y-%m-%d %H:%M")  # noqa: DTZ005, DTZ007 - as a clock on the wall
    assert -1 < age.total_seconds() < 600


def test_three_doughs_go_beside_each_other_on_the_sheet(home: Path, tmp_path: Path) -> None:
    """Looked at as A4 out of a browser: three doughs, their losses and bowls on one sheet."""
    three, one = tmp_path / "three.html", tmp_path / "one.html"
    loaves = ("plan", "order", "Farmhouse loaf=48")
    weighstation(*loaves, "Rye <dark>=20", "Roll=100", "--out", str(three), home=home)
    weighstation(*loaves, "--out", str(one), home=home)

    assert '<div class="columned">' in three.read_text("utf-8")
    assert '<div class="columned">' not in one.read_text("utf-8")


@pytest.mark.parametrize(
    "words",
    [
        ("dough", "44180", "Farmhouse loaf"),
        ("target", "Farmhouse loaf", "--declared", "790"),
        ("flour", "Farmhouse loaf", "3"),
    ],
)
def test_every_plan_can_be_printed(words: tuple[str, ...], home: Path, tmp_path: Path) -> None:
    out = tmp_path / "plan.html"
    result = weighstation("plan", *words, "--out", str(out), home=home)

    assert (0, "") == (result.returncode, result.stderr)
    assert "Farmhouse loaf" in out.read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--out", "order.pdf"), "ends in .html"),
        (("--out", "order.html", "--json"), "give one of them"),
        (("--out", "/nowhere/order.html"), "'/nowhere/order.html' cannot be written"),
    ],
)
def test_what_cannot_be_is_refused(words: tuple[str, ...], said: str, home: Path) -> None:
    sentence = refused(weighstation("plan", "order", "Farmhouse loaf=48", *words, home=home))

    assert said in sentence
