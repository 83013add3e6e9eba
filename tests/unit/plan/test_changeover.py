"""What may not travel from one product to the next is said, and what may is not.

Trim not between recipes, bench flour counted as an ingredient: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.plan import travels
from weighstation.specification import BakersFormula, DustingFlour, Limits, Product

BAND = Limits(70_000, 2_000, 2_000)
WHEAT = DustingFlour("wheat flour", ("wheat",))
RYE = DustingFlour("rye flour", ("rye",))
TIN = Product("Tin loaf", BAND, dough="white", allergens=("wheat",), dusting=WHEAT)
HEARTH = Product("Hearth loaf", BAND, dough="country", allergens=("wheat", "rye"), dusting=RYE)
ROLL = Product(
    "Sesame roll", BAND, dough="milk", allergens=("wheat", "Milk", "sesame"), dusting=WHEAT
)
OTHER_DOUGH = "Keep trim of 'Sesame roll' out of 'Tin loaf': it is another dough."


def test_allergens_come_first_then_trim_then_bench_flour() -> None:
    assert travels(HEARTH, TIN) == (
        "'Hearth loaf' has rye, and 'Tin loaf' has not: clean bench, scale and tools first.",
        "Keep trim of 'Hearth loaf' out of 'Tin loaf': it is another dough.",
        (
            "Scrape up the rye flour on the bench, without dust: 'Tin loaf' is dusted with wheat"
            " flour."
        ),
    )


def test_what_the_next_product_has_too_is_no_matter() -> None:
    assert travels(TIN, replace(ROLL, allergens=("WHEAT", "milk"))) == (
        "Keep trim of 'Tin loaf' out of 'Sesame roll': it is another dough.",
    )


def test_all_allergens_are_named() -> None:
    first, *rest = travels(ROLL, replace(TIN, allergens=()))

    assert first == (
        "'Sesame roll' has Milk and sesame, and 'Tin loaf' has not: clean bench, scale and tools"
        " first."
    )
    assert rest == [OTHER_DOUGH]


def test_bench_flour_alone_can_carry_an_allergen() -> None:
    """A product whose own allergens nobody spoke of, dusted with what the next has not."""
    dusted = Product("Flat bread", BAND, dough="white", dusting=RYE)
    plain = Product("Stick", BAND, dough="white")

    assert travels(dusted, plain) == (
        (
            "'Flat bread' has rye, and nobody said what 'Stick' has: clean bench, scale and tools"
            " first."
        ),
        "Keep trim of 'Flat bread' out of 'Stick': it may carry rye.",
        "Scrape up the rye flour on the bench, without dust, before 'Stick'.",
    )


def test_nothing_is_said_between_products_of_one_dough_and_the_same_allergens() -> None:
    assert travels(TIN, replace(TIN, name="Small tin loaf", dough="White ")) == ()


def test_nothing_is_said_of_the_same_product() -> None:
    assert travels(HEARTH, replace(HEARTH, name="HEARTH LOAF", allergens=())) == ()


def test_trim_of_one_dough_stays_out_where_it_may_carry_something() -> None:
    sprinkled = replace(TIN, name="Seeded tin loaf", allergens=("wheat", "sesame"))

    assert travels(sprinkled, TIN)[1] == (
        "Keep trim of 'Seeded tin loaf' out of 'Tin loaf': it may carry sesame."
    )
    assert travels(TIN, sprinkled) == ()


def test_one_formula_is_one_dough_where_no_dough_is_named() -> None:
    formula = BakersFormula({"wheat flour": 100.0, "water": 60.0}, ("wheat flour",))
    other = BakersFormula({"wheat flour": 100.0, "water": 65.0}, ("wheat flour",))
    one = Product("Loaf", BAND, formula=formula, allergens=("wheat",))

    assert travels(one, replace(one, name="Roll")) == ()
    assert travels(one, replace(one, name="Roll", formula=other)) == (
        "Keep trim of 'Loaf' out of 'Roll': it is another dough.",
    )


def test_where_nobody_said_anything_the_condition_is_said() -> None:
    assert travels(Product("Loaf", BAND), Product("Roll", BAND)) == (
        "Trim of 'Loaf' goes into 'Roll' only if both are one dough with the same allergens.",
    )


@pytest.mark.parametrize(
    ("last", "to", "said"),
    [
        (
            None,
            ("wheat",),
            (
                "Nobody said what allergens 'Tin loaf' has: clean bench, scale and tools before"
                " 'Roll'."
            ),
        ),
        (
            None,
            (),
            (
                "Nobody said what allergens 'Tin loaf' has: clean bench, scale and tools before"
                " 'Roll'."
            ),
        ),
        (
            ("wheat",),
            None,
            (
                "'Tin loaf' has wheat, and nobody said what 'Roll' has: clean bench, scale and"
                " tools first."
            ),
        ),
        ((), None, None),
        (None, None, None),
        ((), (), None),
    ],
)
def test_what_nobody_said_is_taken_for_the_worse(
    last: tuple[str, ...] | None, to: tuple[str, ...] | None, said: str | None
) -> None:
    tin = Product("Tin loaf", BAND, dough="white", allergens=last)
    roll = Product("Roll", BAND, dough="white", allergens=to)

    assert [said] * (said is not None) == [
        sentence for sentence in travels(tin, roll) if "clean" in sentence
    ]


def test_trim_of_one_dough_is_in_question_where_nobody_said_what_it_carries() -> None:
    unsaid = replace(TIN, allergens=None, dusting=None)

    assert travels(unsaid, replace(TIN, name="Roll")) == (
        "Nobody said what allergens 'Tin loaf' has: clean bench, scale and tools before 'Roll'.",
        "Trim of 'Tin loaf' goes into 'Roll' only if both are one dough with the same allergens.",
    )
