"""A product file is taken whole, or refused with every fault it has."""

from __future__ import annotations

from decimal import Decimal

import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import (
    Catalogue,
    Guard,
    Limits,
    Product,
    limit_faults,
    parse_catalogue,
)

IN_BOUNDS = "must be a number, 0 or more and less than a million"
GOOD = """
currency = "EUR"

[[product]]
name = "Country loaf"
scaling_weight_g = 740
under_g = 8
over_g = 12.5
declared_g = 650
dough_cost_per_kg = "0.84"

[[product]]
name = "Roll"
scaling_weight_g = 73.2
under_g = 2
over_g = 2
"""

FIVE_FAULTS = """
currency = "EUR"
colour = "red"

[[product]]
name = "Country loaf"
scaling_weight_g = "heavy"
under_g = 8
over_g = 8

[[product]]
name = "Roll"
scaling_weight_g = 70
under_g = -1
over_g = 2
flavour = "plain"

[[product]]
name = "roll "
scaling_weight_g = 70
under_g = 2
over_g = 2
"""


def faults_of(text: str) -> tuple[str, ...]:
    with pytest.raises(SpecificationError) as caught:
        parse_catalogue(text)
    return caught.value.faults


def product_with(line: str) -> str:
    return f'currency = "EUR"\n[[product]]\nname = "Loaf"\nunder_g = 8\nover_g = 8\n{line}\n'


def test_every_product_of_a_good_file_is_taken_in_milligrams() -> None:
    catalogue = parse_catalogue(GOOD)

    assert catalogue == Catalogue(
        "EUR",
        (
            Product(
                "Country loaf",
                Limits(740_000, 8_000, 12_500),
                declared_mg=650_000,
                dough_cost_per_kg=Decimal("0.84"),
            ),
            Product("Roll", Limits(73_200, 2_000, 2_000)),
        ),
    )


def test_a_guard_band_is_asked_for_by_a_key_of_the_product() -> None:
    text = product_with("scaling_weight_g = 740\nguard = {}")
    asked = [
        parse_catalogue(text.format(said)).products[0].is_guarded for said in ("true", "false")
    ]

    assert [True, False] == asked


def test_a_band_drawn_in_is_widened_to_what_was_promised() -> None:
    assert Limits(740_000, 8_000, 12_000) == Guard(2_800, 7).widened(Limits(740_000, 5_200, 9_200))


def test_a_product_is_found_whatever_the_case_of_its_name() -> None:
    catalogue = parse_catalogue(GOOD)

    assert catalogue.product("COUNTRY LOAF").limits.target_mg == 740_000


def test_an_unknown_product_is_answered_with_the_known_ones() -> None:
    catalogue = parse_catalogue(GOOD)

    with pytest.raises(SpecificationError) as caught:
        catalogue.product("baguette")

    expected = "There is no product 'baguette'. Choose one of 'Country loaf', 'Roll'."
    assert expected == caught.value.sentence


def test_all_faults_of_a_file_are_named_at_once() -> None:
    assert faults_of(FIVE_FAULTS) == (
        "'colour' is not known at the top of the file",
        "product 1 ('Country loaf'): scaling_weight_g must be a number",
        f"product 2 ('Roll'): under_g {IN_BOUNDS}",
        "product 2 ('Roll'): 'flavour' is not known",
        "the name 'roll' is used twice",
    )


def test_the_sentence_counts_the_faults_and_names_the_file() -> None:
    with pytest.raises(SpecificationError) as caught:
        parse_catalogue("", source="our.toml")

    assert caught.value.sentence == (
        'our.toml has 2 faults: currency is missing: write a line like currency = "EUR"; '
        "there is no [[product]] table. Mend the file and start again."
    )


def test_one_fault_is_called_one_fault() -> None:
    with pytest.raises(SpecificationError, match=r"products\.toml has 1 fault: product 1"):
        parse_catalogue(product_with("scaling_weight_g = 0"))


def test_a_file_that_is_not_toml_is_refused_in_one_sentence() -> None:
    with pytest.raises(SpecificationError, match=r"products\.toml is not valid TOML"):
        parse_catalogue("currency = ")


def test_an_integer_past_all_bounds_is_refused_in_one_sentence() -> None:
    with pytest.raises(SpecificationError, match=r"products\.toml is not valid TOML"):
        parse_catalogue(f"currency = {'9' * 5000}")


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("", "product 1 ('Loaf'): scaling_weight_g is missing"),
        (
            "scaling_weight_g = 0",
            "product 1 ('Loaf'): scaling_weight_g must be more than 0 g",
        ),
        (
            "scaling_weight_g = 0.0004",
            "product 1 ('Loaf'): scaling_weight_g must be more than 0 g",
        ),
        (
            "scaling_weight_g = 8",
            "product 1 ('Loaf'): under_g must be less than scaling_weight_g",
        ),
        ("scaling_weight_g = true", "product 1 ('Loaf'): scaling_weight_g must be a number"),
        ("scaling_weight_g = 740\nguard = 1", "product 1 ('Loaf'): guard must be true or false"),
        (
            "scaling_weight_g = inf",
            f"product 1 ('Loaf'): scaling_weight_g {IN_BOUNDS}",
        ),
        (
            "scaling_weight_g = nan",
            f"product 1 ('Loaf'): scaling_weight_g {IN_BOUNDS}",
        ),
        (
            "scaling_weight_g = -1",
            f"product 1 ('Loaf'): scaling_weight_g {IN_BOUNDS}",
        ),
        (
            "scaling_weight_g = 2_000_000",
            f"product 1 ('Loaf'): scaling_weight_g {IN_BOUNDS}",
        ),
        (
            'scaling_weight_g = 740\ndough_cost_per_kg = "1e50000"',
            f"product 1 ('Loaf'): dough_cost_per_kg {IN_BOUNDS}",
        ),
        (
            'scaling_weight_g = 740\ndough_cost_per_kg = "dear"',
            f"product 1 ('Loaf'): dough_cost_per_kg {IN_BOUNDS}",
        ),
        (
            "scaling_weight_g = 740\ndeclared_g = 0",
            "product 1 ('Loaf'): declared_g must be more than 0",
        ),
    ],
)
def test_a_fault_is_named_where_it_is(line: str, fault: str) -> None:
    assert faults_of(product_with(line)) == (fault,)


@pytest.mark.parametrize(
    ("entry", "fault"),
    [
        ('product = ["loaf"]', "product 1 is not a table"),
        ("product = []", "there is no [[product]] table"),
        ("product = 3", "there is no [[product]] table"),
    ],
)
def test_a_product_that_is_no_table_is_refused(entry: str, fault: str) -> None:
    assert faults_of(f'currency = "EUR"\n{entry}\n') == (fault,)


@pytest.mark.parametrize(
    ("name", "faults"),
    [
        ("3", ("product 1 ('3'): name must be a text",)),
        ('"  "', ("product 1 ('  '): name is empty",)),
    ],
)
def test_a_product_needs_a_name_in_letters(name: str, faults: tuple[str, ...]) -> None:
    text = f"""currency = "EUR"
[[product]]
name = {name}
scaling_weight_g = 740
under_g = 8
over_g = 8
"""

    assert faults_of(text) == faults


@pytest.mark.parametrize(
    ("band", "faults"),
    [
        ((740_000, 0, 0), ()),
        ((0, 0, 0), ("--target must be more than 0 g",)),
        ((740_000, -1, -1), ("--under must be 0 g or more", "--over must be 0 g or more")),
        ((740_000, 740_000, 0), ("--under must be less than --target",)),
    ],
)
def test_a_band_says_all_that_is_wrong_with_it(
    band: tuple[int, int, int], faults: tuple[str, ...]
) -> None:
    assert limit_faults(*band, names=("--target", "--under", "--over")) == faults


def test_limits_that_no_piece_can_meet_cannot_be_made() -> None:
    with pytest.raises(SpecificationError) as caught:
        Limits(0, -1, 0)

    assert len(caught.value.faults) == 2
