"""The home folder: where it is, and what is in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from weighstation.errors import JournalFullError, SpecificationError
from weighstation.station.commands.shop.home import Home

if TYPE_CHECKING:
    from pathlib import Path


def test_folder_given_goes_before_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("WEIGHSTATION_HOME", str(tmp_path / "environment"))

    assert tmp_path / "given" == Home.find(tmp_path / "given").folder
    assert tmp_path / "environment" == Home.find(None).folder


def test_without_either_it_is_the_system_s_place(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("WEIGHSTATION_HOME", raising=False)

    assert "weighstation" == Home.find(None).folder.name


def test_folder_is_made_with_its_parents(tmp_path: Path) -> None:
    home = Home(tmp_path / "a" / "b")
    home.make()
    home.make()

    assert [] == list(home.folder.iterdir())


def test_folder_that_cannot_be_made_is_a_full_journal(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")

    with pytest.raises(JournalFullError, match="cannot be written to"):
        Home(tmp_path / "file" / "home").make()


def test_catalogue_is_read_from_the_products_file(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_text(
        'currency = "EUR"\n[[product]]\nname = "Loaf"\nscaling_weight_g = 740\n'
        "under_g = 8\nover_g = 8\n",
        encoding="utf-8",
    )
    catalogue = Home(tmp_path).catalogue()

    assert "EUR" == catalogue.currency
    assert 740_000 == catalogue.product("loaf").limits.target_mg


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (None, "There is no products file"),
        (b"currency = \xff", "cannot be read"),
        (b"currency = ", "not valid TOML"),
    ],
)
def test_products_file_that_cannot_be_used_is_one_sentence(
    content: bytes | None, says: str, tmp_path: Path
) -> None:
    if content is not None:
        (tmp_path / "products.toml").write_bytes(content)

    with pytest.raises(SpecificationError) as caught:
        Home(tmp_path).catalogue()
    assert says in caught.value.sentence
    assert "\n" not in caught.value.sentence


def test_the_sentence_about_a_missing_file_says_what_to_type_for_one(tmp_path: Path) -> None:
    home = Home(tmp_path / "a bench")
    with pytest.raises(SpecificationError) as caught:
        home.catalogue()

    assert f"'weighstation init --home '{home.folder}'' for one" in caught.value.hint


def test_a_mark_of_byte_order_before_the_products_says_nothing(tmp_path: Path) -> None:
    home = Home(tmp_path)
    text = 'currency = "EUR"\n[[product]]\nname = "Roll"\n'
    text += "scaling_weight_g = 62\nunder_g = 2\nover_g = 2\n"
    home.products_path.write_bytes(b"\xef\xbb\xbf" + text.encode())

    assert "EUR" == home.catalogue().currency
