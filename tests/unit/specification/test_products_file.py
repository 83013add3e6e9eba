"""A product file is taken whole, or refused with every fault it has."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from full_shop import FULL, faults_of

from weighstation.errors import SpecificationError
from weighstation.specification import (
    Catalogue,
    DayOrder,
    DecimalSign,
    Limits,
    Product,
    kinds,
    parse_catalogue,
)
from weighstation.specification.table import Table

ROOT = Path(__file__).parents[3]
IN_BOUNDS = "must be a number, 0 or more and less than a million"
A_TEXT = "must be a text in quotes, and not empty"
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


def test_boards_rest_and_dough_limit_are_as_they_were_said() -> None:
    said = "scaling_weight_g = 740\nboard_places = 12\nrest_min = [10, 15]\ndough_limit_min = 17.5"
    product = parse_catalogue(product_with(said)).products[0]

    assert (12, (10.0, 15.0), 17.5) == (
        product.board_places,
        product.rest_min,
        product.dough_limit_min,
    )


@pytest.mark.parametrize(
    "window",
    ["[15, 10]", "[10]", "[10, 15, 20]", '["10", 15]', "[true, 15]", "[-1, 15]", "[0, nan]", "12"],
)
def test_a_rest_is_a_least_and_a_most(window: str) -> None:
    fault = "rest_min must be a pair of minutes, the least first, like [10, 15]"
    text = product_with(f"scaling_weight_g = 740\nrest_min = {window}")

    assert (f"product 1 ('Loaf'): {fault}",) == faults_of(text)


def test_a_shop_says_how_it_writes_numbers_and_days_and_an_old_file_says_nothing() -> None:
    said = parse_catalogue('decimal = ","\ndays = "day-month"\n' + GOOD)
    plain = parse_catalogue(GOOD)

    assert (DecimalSign.COMMA, DayOrder.DAY_FIRST) == (said.decimal, said.days)
    assert (DecimalSign.POINT, DayOrder.YEAR_FIRST) == (plain.decimal, plain.days)


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ('decimal = ";"', 'decimal must be "." or ","'),
        ('days = "month-day"', 'days must be "year-month-day" or "day-month"'),
    ],
)
def test_another_way_of_writing_is_refused(line: str, fault: str) -> None:
    assert (fault,) == faults_of(f"{line}\n{GOOD}")


def test_all_faults_of_a_file_are_named_at_once() -> None:
    assert faults_of(FIVE_FAULTS) == (
        "'colour' is not known at the top of the file",
        f"product 1 ('Country loaf'): scaling_weight_g {IN_BOUNDS}",
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


def test_a_decimal_comma_is_answered_with_the_point_that_is_meant() -> None:
    with pytest.raises(SpecificationError, match="is not valid TOML") as refused:
        parse_catalogue(product_with("scaling_weight_g = 740,5  # white"))

    assert refused.value.hint.startswith("Write 740.5 in that line")


def test_money_in_quotes_may_have_a_decimal_comma() -> None:
    line = 'scaling_weight_g = 740\ndough_cost_per_kg = "0,92"'
    (product,) = parse_catalogue(product_with(line)).products

    assert Decimal("0.92") == product.dough_cost_per_kg


def test_people_are_told_apart_only_where_the_shop_chose_to() -> None:
    old = product_with("scaling_weight_g = 740")

    assert not parse_catalogue(old).show_people
    assert not parse_catalogue(f"show_people = false\n{old}").show_people
    assert parse_catalogue(f"show_people = true\n{old}").show_people
    with pytest.raises(SpecificationError, match="show_people must be true or false"):
        parse_catalogue(f'show_people = "yes"\n{old}')


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
        ("scaling_weight_g = true", f"product 1 ('Loaf'): scaling_weight_g {IN_BOUNDS}"),
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
            "product 1 ('Loaf'): declared_g must be a number, more than 0 and less than a million",
        ),
        (
            "scaling_weight_g = 740\nboard_places = 0",
            "product 1 ('Loaf'): board_places must be a whole number from 1 to 1000",
        ),
        (
            "scaling_weight_g = 740\nboard_places = 12.5",
            "product 1 ('Loaf'): board_places must be a whole number from 1 to 1000",
        ),
        (
            "scaling_weight_g = 740\ndough_limit_min = 0",
            "product 1 ('Loaf'): dough_limit_min must be a number above 0 and at most 1440",
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
        (
            '[product]\nname = "Loaf"',
            "[product] must be written [[product]], with two brackets on either side",
        ),
    ],
)
def test_a_product_that_is_no_table_is_refused(entry: str, fault: str) -> None:
    assert faults_of(f'currency = "EUR"\n{entry}\n') == (fault,)


@pytest.mark.parametrize(
    ("name", "faults"),
    [
        ("3", (f"product 1: name {A_TEXT}",)),
        ('"  "', (f"product 1 ('  '): name {A_TEXT}",)),
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


@pytest.mark.parametrize("part", ["formula", "losses", "dusting", "proof"])
def test_a_part_of_a_product_that_stands_alone_is_told_how_it_is_written(part: str) -> None:
    text = product_with("scaling_weight_g = 740") + f"[{part}]\nwater = 60\n"

    assert (f"[{part}] must be written [product.{part}], below its product",) == faults_of(text)


def test_thousands_of_brackets_are_refused_in_one_sentence() -> None:
    with pytest.raises(SpecificationError, match=r"products\.toml is not valid TOML"):
        parse_catalogue("currency = " + "[" * 5000)


def test_a_name_without_quotes_is_answered_with_what_to_do() -> None:
    with pytest.raises(SpecificationError, match="not valid TOML") as caught:
        parse_catalogue(product_with("[product.formula]\nrye flour = 100"))

    assert "a name with a space in it stands in quotes" in caught.value.hint


def test_a_key_is_answered_with_the_one_that_is_near_in_spelling() -> None:
    text = product_with("scaling_weight_g = 740\nboard_place = 12")

    assert ("product 1 ('Loaf'): 'board_place' is not known (did you mean 'board_places'?)",) == (
        faults_of(text)
    )


def test_a_long_name_of_several_lines_is_shown_short_and_on_one() -> None:
    text = product_with("scaling_weight_g = 0").replace('"Loaf"', '"' + "a\\n" * 50 + '"')
    (fault,) = faults_of(text)

    assert fault == f"product 1 ('{'a ' * 30}'): scaling_weight_g must be more than 0 g"


def test_every_key_is_on_the_page_that_tells_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    page = (ROOT / "docs" / "how-to" / "set-a-product.md").read_text(encoding="utf-8")
    asked = set()
    take = Table.take

    def seen(table: Table, key: str, kind: kinds.Kind[object]) -> object:
        asked.add(key)
        return take(table, key, kind)

    monkeypatch.setattr(Table, "take", seen)
    parse_catalogue(FULL)
    own = {"wheat flour", "rye flour", "water", "salt"}

    assert {"currency", "cycle_min", "guard", "flours", "shelf_pct"} < asked
    assert [] == [key for key in sorted(asked - own) if f"`{key}`" not in page]


@pytest.mark.parametrize("bowl", ["0", "-5", "10001", '"much"', "true"])
def test_a_bowl_holds_a_number_of_kilograms(bowl: str) -> None:
    least = '[[product]]\nname = "A"\nscaling_weight_g = 740\nunder_g = 8\nover_g = 8\n'
    file = f'currency = "EUR"\n{least}'

    assert parse_catalogue(file).bowl_kg is None
    assert parse_catalogue(f"bowl_kg = 62.5\n{file}").bowl_kg == 62.5
    with pytest.raises(SpecificationError, match="bowl_kg must be a number"):
        parse_catalogue(f"bowl_kg = {bowl}\n{file}")
