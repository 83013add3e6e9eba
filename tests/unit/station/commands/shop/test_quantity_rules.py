"""Which rule of average quantity a product is held against."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import Limits, Product
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.shop.quantity_rules import (
    USUAL_RULE,
    about_rule,
    rule_for,
    with_rule,
)

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


def test_what_its_file_says_is_kept_with_a_run(tmp_path: Path) -> None:
    rule = files("weighstation.quantity") / "rules" / "oiml-r87.toml"
    (tmp_path / "ours.toml").write_bytes(rule.read_bytes())
    kept = with_rule(OURS, Home(tmp_path))
    (tmp_path / "ours.toml").unlink()

    assert rule.read_text("utf-8") == kept.rule_text
    assert "oiml-r87" == rule_for(kept, Home(tmp_path)).name
    assert "nist-hb133" == rule_for(kept, Home(tmp_path), "nist-hb133").name
    assert kept == with_rule(kept, Home(tmp_path))


@pytest.mark.parametrize("content", [None, b"name = 1", b"\xff"])
def test_a_file_that_holds_no_rule_is_not_kept_and_stops_no_batch(
    tmp_path: Path, content: bytes | None
) -> None:
    if content is not None:
        (tmp_path / "ours.toml").write_bytes(content)
    home = Home(tmp_path)

    assert OURS == with_rule(OURS, home)
    assert about_rule(replace(OURS, declared_mg=800_000), home).endswith(
        " The run does not hold what it said, so its label is judged by no rule."
    )


@pytest.mark.parametrize("product", [LOAF, OURS, replace(LOAF, declared_mg=800_000)])
def test_a_published_rule_or_no_label_needs_no_remark(tmp_path: Path, product: Product) -> None:
    assert "" == about_rule(product, Home(tmp_path))
    assert product == with_rule(product, Home(tmp_path))


def test_a_name_that_is_none_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SpecificationError, match="There is no rule 'ours'"):
        rule_for(LOAF, Home(tmp_path), "ours")
