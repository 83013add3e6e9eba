"""Parts of the give-away add up, cause by cause."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from report.giveaway.giveaway_rows import BASIS, PRODUCT, TARGET_MG, pieces, row
from weighstation.journal import Sums
from weighstation.report.giveaway import LABEL_PARTS, Given, Part, by_dough_age, given_away
from weighstation.report.giveaway.parts import expected_overs_mg

WEEKS = st.lists(
    st.tuples(
        st.lists(st.integers(-40_000, 60_000), max_size=30),
        st.booleans(),
        st.sampled_from([None, Decimal("0.92"), Decimal("1.07")]),
    ),
    min_size=1,
    max_size=8,
)


@settings(max_examples=1000)
@given(WEEKS)
def test_parts_add_up_to_the_last_milligram(
    week: list[tuple[list[int], bool, Decimal | None]],
) -> None:
    """Held against a plain sum over the pieces; no part is a remainder of the others."""
    rows = [
        row(d, basis=BASIS if known else None, product=replace(PRODUCT, dough_cost_per_kg=cost))
        for d, known, cost in week
    ]
    whole = sum(map(given_away, rows), Given())
    every = [d_mg for d, _, _ in week for d_mg in d]

    assert sum(every) == whole.giveaway.mg == whole.kept.sum_d_mg
    assert sum(d for d in every if d > 0) == whole.overs.mg
    assert sum(TARGET_MG + d for d in every) == whole.net_mg
    labelled = [d_mg for d, known, _ in week if known for d_mg in d]
    over_label = sum(TARGET_MG + d - BASIS.label_mg for d in labelled)
    assert over_label == whole.from_label.mg + whole.labelled_d_mg
    money = sum((sum(d) * Fraction(cost or 0) / 10**6 for d, _, cost in week), Fraction(0))
    assert money == whole.giveaway.at_cost


def test_every_cause_has_its_pieces() -> None:
    """By hand: 5 and -3 g in band, 20 g too heavy, 30 g too light."""
    found = given_away(row([5000, -3000, 20_000, -30_000]))

    assert [4 * 2000, 4 * 3000, 4 * 4000] == [found.part(part).mg for part in LABEL_PARTS]
    assert 2000 == found.part(Part.MEAN_OFF_AIM).mg
    assert 20_000 == found.part(Part.HEAVY_OUT_OF_BAND).mg
    assert -30_000 == found.part(Part.LIGHT_OUT_OF_BAND).mg
    assert 4 * 9000 - 8000 == found.over_label_mg


def test_an_aim_below_the_lawful_one_is_a_part_below_nothing() -> None:
    low = replace(BASIS, lawful_mg=745_000, oven_mg=733_000)

    assert -5000 == given_away(row([0], basis=low)).part(Part.AIM_ABOVE_LAWFUL).mg


def test_a_week_of_overweight_costs_what_the_trade_reckons() -> None:
    """4,000 loaves of 800 g, 12 g over: 12.75 g of dough each at 0.3408 a kg; 180 at 3.00 each.

    Worked example of the trade (arithmetic): 17.38 a week at cost, 180 at the selling price, with
    1.0624 g of dough for a gram of bread.
    """
    label_mg = round(800_000 * 1.0624)
    basis = replace(
        BASIS,
        label_mg=label_mg,
        oven_mg=label_mg,
        lawful_mg=label_mg,
        kept_share=Fraction(800_000, label_mg),
    )
    product = replace(
        PRODUCT,
        declared_mg=800_000,
        dough_cost_per_kg=Decimal("0.3408"),
        sale_price_each=Decimal("3.00"),
    )
    each_mg = round(12_000 * 1.0624)
    found = given_away(row([each_mg] * 4000, basis=basis, product=product))

    assert 17.38 == round(float(found.giveaway.at_cost), 2)
    assert 180.0 == round(float(found.giveaway.at_price), 1)


def test_hours_of_dough_add_up_to_the_run() -> None:
    made = row(of=(*pieces([5000, 1000]), *pieces([-2000], age_h=1)))
    hours = dict(by_dough_age(made))

    assert [0, 1] == list(hours)
    assert -2000 == hours[1].giveaway.mg
    assert given_away(made) == hours[0] + hours[1]


def test_overs_of_a_normal_law() -> None:
    """Mean 405 g, spread 5 g, scaling weight 400 g: 5.416577 g over on average (standard table)."""
    n = 1_000_000
    d = Sums(n, 5000 * n, (5000**2 + 5000**2) * n, 0)
    expected_mg = expected_overs_mg(d)

    assert expected_mg is not None
    assert expected_mg / n / 1000 == pytest.approx(5.416577, abs=1e-5)
    assert expected_overs_mg(Sums(1, 5, 25, 5)) is None
    assert expected_overs_mg(Sums(2, 10, 50, 10)) is None


def test_a_piece_without_a_label_is_worth_its_share_of_the_price() -> None:
    """A roll of 740 g sold for 3.40: 37 g over are a twentieth of it, 0.17."""
    found = given_away(row([37_000], basis=None))

    assert Fraction("0.17") == found.giveaway.at_price
