"""Which declared weights a scale is too coarse to check, by the rule of each product."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from weighstation.station.commands.checking.check import CheckOrder, run_check
from weighstation.station.commands.checking.declared import declared_weights
from weighstation.station.commands.shop.home import Home

if TYPE_CHECKING:
    from pathlib import Path

SHOP = """currency = "EUR"
"""
PRODUCT = """
[[product]]
name = "{name}"
scaling_weight_g = 900
under_g = 9
over_g = 9
"""


def shop(folder: Path, *products: tuple[str, str]) -> Home:
    """Return a home whose products each have some more lines."""
    text = SHOP + "".join(PRODUCT.format(name=name) + more for name, more in products)
    (folder / "products.toml").write_text(text, encoding="utf-8")
    return Home(folder)


@pytest.mark.parametrize(
    ("rule", "division_g", "suits"),
    [
        # 800 g: T is 15 g in Europe, and 29 g in Handbook 133; see test_deficiency.
        ("eu-76-211", 3.0, True),
        ("eu-76-211", 3.1, False),
        ("oiml-r87", 3.0, True),
        ("oiml-r87", 5.0, False),
        ("nist-hb133", 4.0, True),
        ("nist-hb133", 5.0, False),
    ],
)
def test_the_division_goes_into_the_deficiency_so_often(
    tmp_path: Path, rule: str, division_g: float, suits: bool
) -> None:
    """76/211/EEC, annex II 1.3 (read): a fifth; NIST HB 133, 2.2 (from memory): a sixth."""
    home = shop(tmp_path, ("Loaf", f'declared_g = 800\nquantity_rule = "{rule}"\n'))
    seen = declared_weights(home, division_g)

    assert [suits] == [each.suits for each in seen.found]
    assert (0 if suits else 1) == len(seen.texts)
    assert not seen.refused


def test_a_product_without_a_declared_weight_is_not_spoken_of(tmp_path: Path) -> None:
    seen = declared_weights(shop(tmp_path, ("Roll", "")), 5.0)

    assert ((), ()) == (seen.found, seen.texts)


def test_without_a_products_file_there_is_nothing_to_say(tmp_path: Path) -> None:
    assert () == declared_weights(Home(tmp_path), 5.0).texts


def test_what_could_not_be_looked_at_is_said_and_the_others_are(tmp_path: Path) -> None:
    """A rule without a deficiency for a product, and a rule file that is not there."""
    home = shop(
        tmp_path,
        ("Wedding loaf", "declared_g = 12000\n"),
        ("Town loaf", 'declared_g = 800\nquantity_rule = "town.toml"\n'),
        ("Loaf", "declared_g = 800\n"),
    )
    seen = declared_weights(home, 5.0)

    assert ["Loaf"] == [each.product for each in seen.found]
    assert "'Wedding loaf' declares was not looked at." in seen.refused[0]
    assert "no tolerable deficiency for 12000 g" in seen.refused[0]
    assert "town.toml cannot be read" in seen.refused[1]


def test_a_products_file_with_faults_is_said_in_one_sentence(tmp_path: Path) -> None:
    seen = declared_weights(shop(tmp_path, ("Loaf", "declared_g = -1\n")), 5.0)

    assert seen.texts[0].startswith("No declared weight was looked at. ")
    assert "declared_g must be" in seen.texts[0]


PORT = "simulated://?speed=max&loads=2000,2000,2000&division=5"


def checked(home: Path, *, as_json: bool = False) -> int:
    """Return the exit code of a check of a scale of 5 g."""
    return run_check(CheckOrder(port=PORT, weights=("2000:M1",), home=home, as_json=as_json))


def test_check_says_it_and_bars_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shop(tmp_path, ("Tin loaf", "declared_g = 800\n"), ("Sack", "declared_g = 2000\n"))
    code = checked(tmp_path)
    said = " ".join(capsys.readouterr().out.split())

    assert code == 0
    assert (
        "A division of 5 g is too coarse to check the declared 800 g of 'Tin loaf': eu-76-211 takes"
        " 3 g at most, a fifth of the 15 g that a loaf may be short (Directive 76/211/EEC, annex II"
        " 1.3: read); weigh its loaves on a finer scale." in said
    )
    assert "Sack" not in said


def test_json_has_every_declared_weight(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shop(tmp_path, ("Tin loaf", "declared_g = 800\n"), ("Sack", "declared_g = 2000\n"))
    checked(tmp_path, as_json=True)
    told = json.loads(capsys.readouterr().out)

    assert told["declared"] == [
        {
            "product": name,
            "declared_g": declared_g,
            "rule": "eu-76-211",
            "deficiency_g": deficiency_g,
            "largest_division_g": deficiency_g / 5,
            "division_suits": suits,
        }
        for name, declared_g, deficiency_g, suits in (
            ("Tin loaf", 800, 15, False),
            ("Sack", 2000, 30, True),
        )
    ]
    assert told["declared_not_seen"] == []
