"""The page of a scaling weight."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from weighstation.monitor import Moments
from weighstation.plan import (
    Declared,
    Evenness,
    KnownLoss,
    Loss,
    Week,
    batch_spread,
    bench_spread,
    oven_loss,
    scaling_target,
)
from weighstation.quantity import published_rule
from weighstation.report.page.tables import NONE, SheetRow, SheetTable
from weighstation.report.plans.target import TargetPlan, target_page, target_record

if TYPE_CHECKING:
    from weighstation.report.page.page import Page

STAGES = (Loss(0.12, "oven"),)
RULE = published_rule("eu-76-211")


def planned(set_g: float, *, sd_g: float = 8, known: KnownLoss | None = None) -> TargetPlan:
    evenness = Evenness(sd_g)
    week = Week(4000, 0.3408, 3.75)
    target = scaling_target(
        Declared(800, RULE),
        loss=known or KnownLoss(stages=STAGES),
        evenness=evenness,
        week=week,
    )
    return TargetPlan(
        product="Loaf",
        set_g=set_g,
        target=target,
        rule=RULE,
        losses=STAGES,
        own=None if known is None else known.own,
        bench=bench_spread([], band_g=18),
        evenness=evenness,
        loaves=None,
        oven_sd_g=None,
        week=week,
        week_from="as you say",
        currency="EUR",
    )


def rows(page: Page) -> dict[tuple[str, str], SheetRow]:
    """Return the rows of all tables by their table and label."""
    tables = [part for part in page.parts if isinstance(part, SheetTable)]
    return {(table.title, row.label): row for table in tables for row in table.rows}


@pytest.mark.parametrize(
    ("set_g", "said", "is_enough"),
    [
        (909, "909 g is set and is too light: scale 910 g.", False),
        (910, "Scale 910 g, as it is set.", True),
        (915, "910 g is enough, and 915 g is set.", True),
    ],
)
def test_the_conclusion_says_what_to_scale(set_g: float, said: str, is_enough: bool) -> None:
    """800 g, a spread of 8 g: 800.68 g by the share of short loaves (1.96 s, from memory), which
    are 909.86 g at 12 %; own arithmetic.
    """
    plan = planned(set_g)

    assert said == target_page(plan).conclusion
    assert is_enough == plan.is_enough == target_record(plan)["is_enough"]
    assert 909.86 == pytest.approx(plan.target.least_scaling_g, abs=0.005)


def test_both_bases_of_loss_are_said() -> None:
    found = rows(target_page(planned(910)))

    assert ("12.0 %", "of the dough, 13.6 % of the bread, by the losses of the stages") == (
        found["What is known", "Loss"].said,
        found["What is known", "Loss"].note,
    )
    assert "of the dough, 13.6 % of the bread" == found["What is known", "  oven"].note


def test_what_is_set_beyond_need_has_its_price() -> None:
    """4000 pieces at 0.3408 a kilogram: 1.36 a gram and week, own arithmetic."""
    found = rows(target_page(planned(919.86)))
    title = "A gram more of every piece, by the week"

    assert "1.36 EUR" == found[title, "In dough"].said
    assert "13.63 EUR" == found[title, "Set now"].said
    assert "15.00 EUR" == found[title, "As sold"].said


def test_without_a_price_there_is_no_money() -> None:
    plan = planned(910)
    page = target_page(replace(plan, week=None, target=replace(plan.target, gram=None)))

    assert NONE == rows(page)["A gram more of every piece, by the week", "In dough"].said
    assert None is target_record(replace(plan, week=None))["gram_a_week"]


def test_an_own_loss_says_how_sure_it_is() -> None:
    """Loaves on dough = 45.654 + 1.0624 bread (source in the test of the line)."""
    own = oven_loss([(45.654 + 1.0624 * baked, baked) for baked in (700, 750, 800, 850, 900)])
    page = target_page(planned(910, sd_g=2, known=KnownLoss(own)))

    assert "as far as the loss is known" in rows(page)["Scaling weight", "At least"].note
    assert not any("were said and not measured" in caution for caution in page.cautions)


def test_loaves_that_were_weighed_speak_for_themselves() -> None:
    weighed = batch_spread([Moments.of([797.0, 803.0] * 20), Moments.of([799.0, 805.0] * 20)])
    plan = replace(planned(910), loaves=weighed)
    found = rows(target_page(plan))

    assert ("What is known", "The oven adds") not in found
    assert "80 loaves, one hour out of the oven, of 2 batches vary by 3.0 g" in (
        found["What is known", "Loaves vary by"].note
    )
    assert not any("nothing is known" in caution for caution in target_page(plan).cautions)
    assert {"batches": 2, "loaves": 80} == target_record(plan)["loaves"]


def test_an_own_loss_that_is_not_of_this_weight_is_said() -> None:
    """Five loaves of 605 to 612 g; 800 g take pieces of 910."""
    own = oven_loss([(605, 496), (610, 502), (607, 501), (612, 500), (608, 499)])
    plan = replace(planned(910), own=own, losses=(*STAGES, Loss(0.01, "shelf")))
    cautions = target_page(plan).cautions

    assert any(caution.startswith("The oven takes 17.9 % of the dough") for caution in cautions)
    assert any("not learned from pieces of this weight" in caution for caution in cautions)
    assert {"pairs": 5, "is_enough": True}.items() <= dict(
        target_record(plan)["own_loss"] or {}  # type: ignore[call-overload]
    ).items()


def test_an_own_loss_ends_before_the_shelf() -> None:
    own = oven_loss([(45.654 + 1.0624 * baked, baked) for baked in (700, 750, 800, 850, 900)])
    plan = planned(910, sd_g=2, known=KnownLoss(own))
    shelf = replace(plan, losses=(*STAGES, Loss(0.01, "shelf")))

    assert not any("what the shelf takes" in caution for caution in target_page(plan).cautions)
    assert any("what the shelf takes" in caution for caution in target_page(shelf).cautions)
    assert ("What is known", "  oven") not in rows(target_page(plan))


def test_what_is_not_known_is_said() -> None:
    plan = planned(910)
    page = target_page(replace(plan, stand_ins=2))
    told = target_page(replace(plan, oven_sd_g=5.0))

    assert NONE == rows(page)["What is known", "The oven adds"].said
    assert "5.0 g" == rows(told)["What is known", "The oven adds"].said
    assert any("Of the oven's own spread nothing is known" in text for text in page.cautions)
    assert any("2 batches on record had no real scale" in text for text in page.cautions)
    assert any("no legal proof" in text for text in page.cautions)


def test_a_demand_that_a_rule_does_not_know_is_null() -> None:
    """NIST Handbook 133 has no outer limit (tables from memory)."""
    rule = published_rule("nist-hb133")
    target = scaling_target(
        Declared(800, rule), loss=KnownLoss(stages=STAGES), evenness=Evenness(3)
    )
    plan = replace(planned(910), rule=rule, target=target)

    assert None is target_record(plan)["by_t2_g"]
    assert NONE == rows(target_page(plan))["What loaves must average", "For none far short"].said
