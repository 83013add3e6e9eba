"""Which rule of average quantity a product is held against."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import Limits, Product
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.shop.quantity_rules import USUAL_RULE, rule_for

if TYPE_CHECKING:
    from pathlib import Path

LOAF = Product("Loaf", Limits(909_000, 9_000, 9_000), quantity_rule="nist-hb133")
OURS = Product("Loaf", Limits(909_000, 9_000, 9_000), quantity_rule="ours.toml")


def test_what_is_asked_for_comes_first_then_the_product_then_the_usual(tmp_path: Path) -> None:
    home = Home(tmp_path)

    assert "oiml-r87" == rule_for(LOAF, home, "oiml-r87").name
    assert "nist-hb133" == rule_for(LOAF, home).name
    assert USUAL_RULE == rule_for(None, home).name


def test_a_file_of_the_shop_stands_in_its_home(tmp_path: Path) -> None:
    rule = files("weighstation.quantity") / "rules" / "oiml-r87.toml"
    (tmp_path / "ours.toml").write_bytes(rule.read_bytes())

    assert "oiml-r87" == rule_for(OURS, Home(tmp_path)).name


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(SpecificationError, match=r"ours\.toml cannot be read \(no such file"):
        rule_for(OURS, Home(tmp_path))


def test_a_name_that_is_none_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SpecificationError, match="There is no rule 'ours'"):
        rule_for(LOAF, Home(tmp_path), "ours")
