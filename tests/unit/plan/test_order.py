"""An order goes back through its losses to the bowl."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import Loss, Ordered, Stages, dough_for_orders, scaling_weight, weight_after

SUM_168 = {"flour": 100, "water": 65, "salt": 2, "yeast": 1}


def baked(name: str, pieces: int, baked_g: float, stages: Stages) -> Ordered:
    """Return an order of loaves by what they weigh in the end."""
    return Ordered(name, pieces, scaling_weight(baked_g, stages.loaf).scaling_g, stages)


def test_worked_order() -> None:
    """48 x 800 g, 12 % and 2 %: losses are common practice, no source; own arithmetic."""
    loaves = baked("Farmhouse loaf", 48, 800, Stages((Loss(0.02),), (Loss(0.12),)))
    found = dough_for_orders([loaves], percentages=SUM_168)

    assert 909.09 == pytest.approx(loaves.scaling_g, abs=0.005)
    assert 43_636.4 == pytest.approx(found.bench_g, abs=0.05)
    assert 44_526.9 == pytest.approx(found.bowl_g, abs=0.05)
    assert found.formula is not None
    assert 26_504.1 == pytest.approx(found.formula.flour_g, abs=0.05)
    assert 44_526.9 == pytest.approx(math.fsum(found.formula.grams.values()), abs=0.05)
    assert 48 == found.pieces


def test_field_bread_of_1916_from_flour_to_loaf() -> None:
    """165.49 lb in the bowl, 36 pieces of 4.5 lb, 36 loaves of 4 lb, 144 lb: Manual for Army
    Bakers, p. 82, read in excerpts, count inferred; 87.0 % is own arithmetic. In pounds.
    """
    stages = Stages((Loss.between(165.49, 162),), (Loss.between(4.5, 4),))
    loaves = baked("Field bread", 36, 4, stages)
    percentages = {"flour": 105, "small": 6.25, "water": 54.24}
    of_flour = {name: 100 * pounds / 105 for name, pounds in percentages.items()}
    found = dough_for_orders([loaves], percentages=of_flour)

    assert 162 == pytest.approx(found.bench_g)
    assert 165.49 == pytest.approx(found.bowl_g)
    assert found.formula is not None
    assert 105 == pytest.approx(found.formula.flour_g)
    assert 0.870 == pytest.approx(found.baked_share, abs=0.0005)


def test_several_products_from_one_dough() -> None:
    """Common practice, no source: the sum of pieces times scaling weight, over what is kept."""
    kinds = (("Loaf", 10, 900), ("Stick", 20, 350), ("Roll", 60, 60))
    found = dough_for_orders(Ordered(*kind, Stages((Loss(0.01), Loss(0.02)))) for kind in kinds)

    assert 19_600 == found.bench_g
    assert 19_600 / (0.99 * 0.98) == pytest.approx(found.bowl_g)
    assert (90, None, None) == (found.pieces, found.formula, found.baked_share)


def test_each_product_of_a_dough_loses_its_own_on_the_way_to_the_bench() -> None:
    """Common practice, no source: the sum over products of pieces x scaling weight / (1 - loss)."""
    loaf = Ordered("Loaf", 10, 900, Stages((Loss(0.01),)))
    roll = Ordered("Roll", 60, 60, Stages((Loss(0.03),)))

    assert 9000 / 0.99 + 3600 / 0.97 == pytest.approx(dough_for_orders([loaf, roll]).bowl_g)


@given(
    st.lists(st.tuples(st.integers(1, 500), st.floats(20, 2000)), min_size=1, max_size=6),
    st.floats(0, 0.1),
)
def test_what_is_mixed_is_enough_and_no_more(
    orders: list[tuple[int, float]], bench_loss: float
) -> None:
    lost = Stages((Loss(bench_loss),))
    found = dough_for_orders(Ordered("", pieces, scaling_g, lost) for pieces, scaling_g in orders)

    assert found.bench_g == pytest.approx(weight_after(found.bowl_g, bench_loss))
    assert found.bench_g == pytest.approx(sum(n * grams for n, grams in orders))


@pytest.mark.parametrize("pieces", [0, -1, 2.5, "two", None])
def test_a_number_of_loaves_is_whole(pieces: int) -> None:
    with pytest.raises(SpecificationError, match="The number of 'Loaf' is a whole number from 1"):
        Ordered("Loaf", pieces, 900)


def test_weights_of_an_order_make_sense() -> None:
    with pytest.raises(SpecificationError, match="The scaling weight of 'Loaf'"):
        Ordered("Loaf", 1, 0)


def test_an_order_orders_something() -> None:
    with pytest.raises(SpecificationError, match="Nothing is ordered"):
        dough_for_orders([])


def test_a_formula_that_is_none_is_refused_here_too() -> None:
    with pytest.raises(SpecificationError, match="100 % together"):
        dough_for_orders([Ordered("Loaf", 1, 900)], percentages={"flour": 90})
    with pytest.raises(SpecificationError, match="at least a flour"):
        dough_for_orders([Ordered("Loaf", 1, 900)], percentages={})
