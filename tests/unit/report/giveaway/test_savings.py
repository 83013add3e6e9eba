"""What each change would save, and how far the days show it."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from datetime import UTC, date
from decimal import Decimal
from typing import Any, cast

import pytest
from scipy import stats  # type: ignore[import-untyped]

from report.giveaway.giveaway_rows import BASIS, PRODUCT, row
from weighstation.report.giveaway import AsOf, Part, Span, part_interval_mg, savings, statement
from weighstation.report.giveaway.page import statement_page
from weighstation.report.giveaway.record import statement_record

SPAN, AS_OF = Span(date(2026, 3, 2), date(2026, 3, 8), UTC), AsOf(9, "ab" * 32)


def test_the_range_is_that_of_a_ratio_between_runs() -> None:
    """By hand from Cochran (1977), 6.4, with SciPy's t: x 6, 9, 1 g of n 2, 3, 1."""
    rows = [row([3000, 3000]), row([3000, 3000, 3000]), row([1000])]
    mean = 16 / 6
    se_g = math.sqrt(3 / 2 * ((6 - 2 * mean) ** 2 + (9 - 3 * mean) ** 2 + (1 - mean) ** 2))
    reach_g = stats.t.ppf(0.975, 2) * se_g
    low, high = part_interval_mg(rows, Part.MEAN_OFF_AIM) or (0, 0)

    assert [16 - reach_g, 16 + reach_g] == pytest.approx([low / 1000, high / 1000], abs=0.001)


def test_the_range_holds_what_the_next_days_bring() -> None:
    """2,000 weeks of 12 runs whose means wander by 1.5 g around 2 g: the true part is 2 g a piece.

    At 95 % and 2,000 weeks the share lies within 1.5 points of it in 998 of 1,000 (binomial).
    """
    rng = random.Random(7)
    hits = 0
    for _ in range(2000):
        means = [rng.gauss(2, 1.5) for _ in range(12)]
        rows = [row([round(1000 * rng.gauss(mean, 2)) for _ in range(10)]) for mean in means]
        low, high = part_interval_mg(rows, Part.MEAN_OFF_AIM) or (0, 0)
        hits += low <= 12 * 10 * 2000 <= high

    assert 0.95 == pytest.approx(hits / 2000, abs=0.015)


def test_one_run_shows_no_range() -> None:
    assert part_interval_mg([row([3000])], Part.MEAN_OFF_AIM) is None


def test_the_change_that_saves_most_comes_first() -> None:
    """4 g above the lawful scaling weight on 3 pieces; 20 g boarded above the band once."""
    found = savings(statement([row([0, 0, 20_000])], span=SPAN, as_of=AS_OF))

    assert [Part.HEAVY_OUT_OF_BAND, Part.AIM_ABOVE_LAWFUL] == [each.part for each in found][:2]
    assert 20_000 == found[0].amount.mg
    assert "1 piece went out above the band" in found[0].change


def test_an_aim_is_lowered_to_a_step_of_the_scale_and_no_further() -> None:
    """Lawful 735.4 g, of a scale that shows grams: 736 g, 4 g a piece below today's 740 g."""
    basis = replace(BASIS, lawful_mg=735_400, lawful_interval_mg=(734_900, 736_100))
    found = savings(statement([row([0, 0], basis=basis)], span=SPAN, as_of=AS_OF))
    (lower,) = (each for each in found if each.part is Part.AIM_ABOVE_LAWFUL)

    assert 2 * 4000 == lower.amount.mg
    assert (2 * 3000, 2 * 5000) == lower.interval_mg
    assert lower.change.startswith("Scale 'Country loaf' at 736 g in place of 740 g")
    assert float(lower.amount.at_cost) == pytest.approx(0.92 * 0.008)


def test_nothing_is_advised_where_the_aim_is_below_the_lawful_one() -> None:
    basis = replace(
        BASIS, lawful_mg=745_000, oven_mg=731_000, lawful_interval_mg=(744_000, 746_000)
    )
    found = savings(statement([row([-1000], basis=basis)], span=SPAN, as_of=AS_OF))

    assert {Part.BENCH_SPREAD} == {each.part for each in found}


def test_where_first_cuts_are_known_cutting_on_the_weight_saves_what_it_moves_too() -> None:
    """40 first cuts 3 g heavy on average, 20 of them 9 g heavy and trimmed: more than 20 x -3 g."""
    first = row([9000, -3000] * 10).state.first
    one = row([0, -3000] * 10)
    rows = [replace(one, state=replace(one.state, first=first))] * 2
    found = savings(statement(rows, span=SPAN, as_of=AS_OF))
    (nearer,) = (each for each in found if each.part is Part.MEAN_OFF_AIM)

    assert rows[0].state.kept.sum_d_mg < 0 < nearer.amount.mg
    assert nearer.change.endswith("first cuts average +3.0 g.")
    assert float(nearer.amount.at_cost) == pytest.approx(0.92e-6 * nearer.amount.mg)


def test_where_no_first_cut_is_known_its_part_is_said() -> None:
    one = row([3000, 1000] * 20)
    typed = replace(one, state=replace(one.state, first=row([]).state.first))
    found = savings(statement([typed], span=SPAN, as_of=AS_OF))
    (nearer,) = (each for each in found if each.part is Part.MEAN_OFF_AIM)

    assert 40 * 2000 == nearer.amount.mg
    assert nearer.change.endswith("pieces in the band average +2.0 g.")


def test_products_are_told_apart() -> None:
    rye = replace(PRODUCT, name="Rye")
    found = savings(
        statement([row([1000]), row([2000, 2000], product=rye)], span=SPAN, as_of=AS_OF)
    )
    off = {each.product: each.amount.mg for each in found if each.part is Part.MEAN_OFF_AIM}

    assert {"Country loaf": 1000, "Rye": 4000} == off


def test_of_a_spread_only_the_most_is_said_and_half_of_it_is_expected() -> None:
    """3 g of two pieces for the bench's spread; 2 g off the aim is sure, and comes before it."""
    basis = replace(BASIS, oven_mg=731_000, lawful_mg=740_000)
    low = replace(basis, oven_mg=737_000)
    found = savings(statement([row([2000, 2000], basis=low)], span=SPAN, as_of=AS_OF))

    assert [Part.OVEN_SPREAD, Part.MEAN_OFF_AIM, Part.BENCH_SPREAD] == [each.part for each in found]
    assert [True, False, True] == [each.is_most for each in found]
    assert (0, 2 * 3000) == found[2].interval_mg


def test_of_a_spread_the_page_says_at_most() -> None:
    """6 g a piece for the oven's spread and nothing else: 12 g at 0.92 a kilogram are 1 cent."""
    basis = replace(BASIS, oven_mg=737_000, lawful_mg=740_000, label_mg=731_000)
    page = statement_page(statement([row([0, 0], basis=basis)], span=SPAN, as_of=AS_OF))

    assert page.conclusion.startswith("What would save most: Even out the oven for 'Country loaf'.")
    assert page.conclusion.endswith("Days like these would save at most 0.01 EUR.")


def test_a_new_price_of_dough_leaves_the_days_together() -> None:
    """Two runs of 2 pieces, aimed 4 g above the lawful weight: all four could be lighter."""
    dearer = replace(PRODUCT, dough_cost_per_kg=Decimal("1.20"))
    rows = [row([0, 0]), row([0, 0], product=dearer)]
    found = savings(statement(rows, span=SPAN, as_of=AS_OF))
    (lower,) = (each for each in found if each.part is Part.AIM_ABOVE_LAWFUL)

    assert 4 * 4000 == lower.amount.mg
    assert float(lower.amount.at_cost) == pytest.approx(0.008 * (0.92 + 1.20))


def test_a_saving_of_what_has_no_cost_has_no_money() -> None:
    bare = replace(PRODUCT, name="Plain loaf", dough_cost_per_kg=None)
    rows = [row([1000]), row([1000], product=bare)]
    record = statement_record(statement(rows, span=SPAN, as_of=AS_OF))
    found = cast("list[dict[str, Any]]", record["savings"])

    assert {None} == {each["money"] for each in found if each["product"] == "Plain loaf"}
    assert None not in {each["money"] for each in found if each["product"] == "Country loaf"}


def test_what_may_save_nothing_comes_after_what_is_shown() -> None:
    """All three runs are 1 g heavy, which is shown; the lawful weight may lie above the aim."""
    unsure = replace(BASIS, lawful_interval_mg=(735_000, 800_000))
    rows = [row([1000, 1000], basis=unsure)] * 3
    found = savings(statement(rows, span=SPAN, as_of=AS_OF))

    assert [Part.AIM_ABOVE_LAWFUL] == [each.part for each in found if each.may_be_nothing]
    assert Part.AIM_ABOVE_LAWFUL is found[-1].part
    assert max(each.amount.mg for each in found) == found[-1].amount.mg


def test_without_a_range_an_aim_is_no_first_advice_and_says_why() -> None:
    """4 g a piece above a lawful weight that nobody is sure of, beside 1 g that is sure."""
    why = "How sure that is cannot be said: too few lots."
    unsure = replace(BASIS, lawful_interval_mg=None, no_range=why)
    rows = [row([1000, 1000], basis=unsure)] * 3
    record = statement_record(statement(rows, span=SPAN, as_of=AS_OF))
    told = cast("list[dict[str, Any]]", record["savings"])

    assert "aim_above_lawful" == told[-1]["part"]
    assert (None, None, None, why) == tuple(
        told[-1][key] for key in ("interval_g", "money_interval", "confidence", "no_interval")
    )
    assert {0.95} == {each["confidence"] for each in told if each["part"] == "mean_off_aim"}
    assert part_interval_mg(rows, Part.AIM_ABOVE_LAWFUL) is None


def test_a_single_batch_says_that_it_shows_no_range() -> None:
    page = statement_page(statement([row([3000], basis=None)], span=SPAN, as_of=AS_OF))

    assert page.conclusion.endswith("it was a single batch, and it takes two.")


def test_an_aim_that_is_the_only_advice_says_that_nobody_knows_how_sure_it_is() -> None:
    why = "How sure that is cannot be said: too few lots."
    level = replace(
        BASIS, oven_mg=731_000, lawful_mg=731_000, lawful_interval_mg=None, no_range=why
    )
    page = statement_page(statement([row([0], basis=level)] * 3, span=SPAN, as_of=AS_OF))

    assert page.conclusion.startswith("What would save most: Scale 'Country loaf' at 731 g")
    assert page.conclusion.endswith(f" EUR. {why}")


def test_an_advice_that_may_save_nothing_says_so() -> None:
    """Runs of one piece, 6 g light and 7.9 g heavy: together above nothing, and by chance."""
    rows = [row([-6000], basis=None), row([7900], basis=None)]
    page = statement_page(statement(rows, span=SPAN, as_of=AS_OF))

    assert page.conclusion.endswith("They do not show that it saves anything.")


def test_the_range_of_what_the_label_asks_for_is_that_of_the_lawful_weight() -> None:
    """Lawful 735 to 737 g around 736 g: of 2 pieces aimed at 740 g, 4 g above it, 3 to 5 g each."""
    rows = [row([0, 0])]

    assert (2 * 3000, 2 * 5000) == part_interval_mg(rows, Part.AIM_ABOVE_LAWFUL)
    assert (2 * 2000, 2 * 4000) == part_interval_mg(rows, Part.BENCH_SPREAD)
    assert part_interval_mg([row([0], basis=None)], Part.AIM_ABOVE_LAWFUL) is None
