"""A table gives what fits, and gathers what does not; a part gathers where its table does."""

from __future__ import annotations

import pytest

from weighstation.specification import kinds
from weighstation.specification.table import Table, near


def test_what_is_missing_is_a_fault_only_where_it_is_needed() -> None:
    table = Table({}, "product 1")
    found = (table.take("dough", kinds.TEXT), table.need("name", kinds.TEXT, how="write it"))

    assert (None, None) == found
    assert ["product 1: name is missing: write it"] == table.faults


def test_a_part_names_its_keys_with_its_own_and_gathers_above() -> None:
    table = Table({"proof": {"minutes": -1, "minuets": 2}}, "product 1")
    part = table.part("proof")
    assert part is not None
    part.take("minutes", kinds.MINUTES)
    part.end()

    assert [
        "product 1: proof.minutes must be a number above 0 and at most 1440",
        "product 1: 'proof.minuets' is not known (did you mean 'minutes'?)",
    ] == table.faults


def test_a_key_of_the_table_above_is_told_from_a_name_of_the_shop_s_own() -> None:
    table = Table({"currency": "EUR", "prices_per_kg": {"flour": 1, "currency": "EUR"}})
    table.take("currency", kinds.TEXT)
    part = table.part("prices_per_kg")
    assert part is not None

    assert ("flour",) == part.others()
    part.end()
    assert [
        "'prices_per_kg.flour' is not known",
        "'currency' stands under [prices_per_kg] and belongs above that line",
    ] == table.faults


def test_a_fault_is_one_line_whatever_a_key_holds() -> None:
    table = Table({"a\nb\x1b[2J": 1})
    table.end()

    assert ["'a b [2J' is not known at the top of the file"] == table.faults


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("board_place", " (did you mean 'board_places'?)"),
        ("BOARD_PLACES", " (did you mean 'board_places'?)"),
        ("colour", ""),
        ("", ""),
    ],
)
def test_only_what_is_near_in_spelling_is_offered(word: str, said: str) -> None:
    assert said == near(word, ("name", "board_places"))
