"""The scaling weight for a declared weight -> a page: what it rests on, and what it costs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.plan import LossLaw, weight_after
from weighstation.plan.loss.known_loss import SAID_BY
from weighstation.report.page.page import (
    Page,
    figure,
    grams_of,
    loss_record,
    money_of,
    percent_of,
)
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted, signed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.plan import (
        BatchSpread,
        BenchSpread,
        Evenness,
        Loss,
        OvenLoss,
        ScalingTarget,
        Week,
    )
    from weighstation.quantity import QuantityRule

LEGAL = (
    "This is arithmetic and no legal proof. What is sold by weight is weighed on a verified scale,"
    " and the rules of your place decide."
)
_TINY_G = 1e-6


@dataclass(frozen=True, slots=True)
class TargetPlan:
    """A scaling weight, and what it rests on.

    Parameters
    ----------
    product : str
    set_g : float, grams
        Scaling weight that is set now.
    target : ScalingTarget
    rule : QuantityRule
    losses : tuple of Loss
        Of the stages, as they were said.
    own : OvenLoss or None
        Learned from baked loaves.
    bench : BenchSpread
    evenness : Evenness
        Of loaves.
    loaves : BatchSpread or None
        As they were weighed, where that decides.
    oven_sd_g : float, grams, or None
        What the oven adds, where somebody said.
    week : Week or None
    week_from : str
        Where the number of the week comes from.
    currency : str
    stand_ins : int
        Batches on record that no scale weighed.
    as_of : str
    """

    product: str
    set_g: float
    target: ScalingTarget
    rule: QuantityRule
    losses: tuple[Loss, ...]
    own: OvenLoss | None
    bench: BenchSpread
    evenness: Evenness
    loaves: BatchSpread | None
    oven_sd_g: float | None
    week: Week | None
    week_from: str
    currency: str
    stand_ins: int = 0
    as_of: str = ""

    @property
    def off_g(self) -> float:
        """What is set less what is needed, in grams; negative where loaves would be short."""
        return self.set_g - self.target.least_scaling_g

    @property
    def is_enough(self) -> bool:
        """Whether what is set keeps the declared weight."""
        return self.off_g >= -_TINY_G


def target_page(plan: TargetPlan) -> Page:
    """Return the page of a scaling weight.

    Parameters
    ----------
    plan : TargetPlan

    Returns
    -------
    Page
    """
    declared = grams_of(plan.target.declared.weight_g)
    return Page(
        title=f"{plan.product}: the scaling weight for {declared} declared",
        parts=(
            SheetTable("What is known", tuple(_known(plan))),
            SheetTable("What loaves must average", tuple(_asked(plan))),
            SheetTable("Scaling weight", tuple(_weights(plan))),
            SheetTable("A gram more of every piece, by the week", tuple(_costs(plan))),
        ),
        cautions=tuple(_cautions(plan)),
        conclusion=_conclusion(plan),
        as_of=plan.as_of,
    )


def _known(plan: TargetPlan) -> Iterator[SheetRow]:
    law = f"by {SAID_BY[plan.target.law]}"
    whole = 1 - plan.target.aim.aim_g / plan.target.least_scaling_g
    bases = f"of the dough, {percent_of(whole / (1 - whole))} of the bread, {law}"
    yield SheetRow("Loss", percent_of(whole), bases)
    if plan.target.law is LossLaw.STAGES:
        for loss in plan.losses:
            both = f"of the dough, {percent_of(loss.of_bread)} of the bread"
            yield SheetRow(f"  {loss.stage}", percent_of(loss.of_dough), both)
    yield SheetRow("Pieces vary by", f"{plan.bench.sd_g:.1f} g", plan.bench.text)
    if plan.loaves is None:
        yield from _oven(plan)
    else:
        said = plan.loaves.text("loaves, one hour out of the oven,")
        yield SheetRow("Loaves vary by", f"{plan.evenness.sd_g:.1f} g", said)
    yield SheetRow("Batches wander", f"{plan.evenness.batch_sd_g:.1f} g", "their means, in bread")
    size = plan.evenness.batch_size
    if size is None:
        yield SheetRow("A batch", NONE, "of no known size: the mean of the long run is judged")
    else:
        yield SheetRow("A batch", counted(size, "piece"), "judged by its own mean")


def _oven(plan: TargetPlan) -> Iterator[SheetRow]:
    if plan.oven_sd_g is None:
        yield SheetRow("The oven adds", NONE, "not weighed yet, and not in it: --oven-sd GRAMS")
        what = "pieces alone, in bread"
    else:
        yield SheetRow("The oven adds", f"{plan.oven_sd_g:.1f} g", "to single loaves of a batch")
        what = "both together, in bread"
    yield SheetRow("Loaves vary by", f"{plan.evenness.sd_g:.1f} g", what)


def _asked(plan: TargetPlan) -> Iterator[SheetRow]:
    aim, risk = plan.target.aim, plan.target.declared.risk
    sure = "" if plan.evenness.batch_size is None else f", with {percent_of(risk)} risk a batch"
    yield SheetRow("For the mean", _demand(aim.by_mean_g), f"not below what is declared{sure}")
    yield SheetRow("For few short", _demand(aim.by_t1_g), "by more than is tolerated")
    yield SheetRow("For none far short", _demand(aim.by_t2_g), "by twice what is tolerated")
    yield SheetRow("So, at least", f"{aim.aim_g:.1f} g", plan.rule.title)
    if math.isfinite(aim.knee_g):
        note = "up to this spread of loaves the mean alone decides"
        yield SheetRow("Knee", f"{aim.knee_g:.1f} g", note)


def _demand(weight_g: float) -> str:
    return f"{weight_g:.1f} g" if math.isfinite(weight_g) else NONE


def _weights(plan: TargetPlan) -> Iterator[SheetRow]:
    target = plan.target
    between = ""
    if target.interval_g is not None:
        low, high = target.interval_g
        between = f"somewhere between {low:.0f} and {high:.0f} g, as far as the loss is known"
    yield SheetRow("At least", f"{target.least_scaling_g:.1f} g", between)
    yield SheetRow("Scale", grams_of(target.scaling_g), "the next that the scale shows")
    if not plan.is_enough:
        note = f"{-plan.off_g:.1f} g too light for what is declared"
    elif plan.off_g < _TINY_G:
        note = "just what is needed"
    else:
        note = f"{plan.off_g:.1f} g more than is needed"
    yield SheetRow("Set now", grams_of(plan.set_g), note)
    if plan.bench.pieces:
        note = "mean of kept pieces less the scaling weight set for them"
        yield SheetRow("Kept pieces", f"{signed(plan.bench.off_g)} g", note)


def _costs(plan: TargetPlan) -> Iterator[SheetRow]:
    week, gram = plan.week, plan.target.gram
    if week is None or gram is None:
        yield SheetRow("In dough", NONE, "give prices_per_kg or dough_cost_per_kg in products.toml")
        return
    pieces = f"{week.pieces} pieces a week, {plan.week_from}"
    yield SheetRow("In dough", money_of(gram.scaled, plan.currency), pieces)
    note = "the dough that a gram more of bread takes"
    yield SheetRow("In bread", money_of(gram.baked, plan.currency), note)
    if gram.baked_at_price is not None:
        note = "the same gram at the sale price; counts only where more could be sold"
        yield SheetRow("As sold", money_of(gram.baked_at_price, plan.currency), note)
    if plan.is_enough and plan.off_g > _TINY_G:
        more = money_of(plan.off_g * gram.scaled, plan.currency)
        yield SheetRow("Set now", more, "for what is set beyond what is needed")


def _conclusion(plan: TargetPlan) -> str:
    scale, set_now = grams_of(plan.target.scaling_g), grams_of(plan.set_g)
    if not plan.is_enough:
        return f"{set_now} is set and is too light: scale {scale}."
    if plan.off_g < plan.target.scaling_g - plan.target.least_scaling_g + _TINY_G:
        return f"Scale {scale}, as it is set."
    return f"{scale} is enough, and {set_now} is set."


def _cautions(plan: TargetPlan) -> Iterator[str]:
    if plan.oven_sd_g is None and plan.loaves is None:
        yield (
            "Of the oven's own spread nothing is known, and it can only ask for more. Weigh loaves"
            " one hour out of the oven, from all over it."
        )
    yield from _of_loss(plan)
    if plan.stand_ins:
        batches = "batch" if plan.stand_ins == 1 else "batches"
        yield (
            f"{plan.stand_ins} {batches} on record had no real scale: a simulation or a recording"
            " says nothing of this bench."
        )
    yield f"{LEGAL} {plan.rule.advice}"


def _of_loss(plan: TargetPlan) -> Iterator[str]:
    if plan.own is not None:
        yield plan.own.text
    if plan.target.law is not LossLaw.STAGES:
        if any(loss.stage == "shelf" for loss in plan.losses):
            yield "This loss ends one hour out of the oven: what the shelf takes is not in it."
        return
    if plan.own is not None and plan.own.is_enough:
        yield "That is not learned from pieces of this weight, so the stages are taken."
    yield (
        "The losses of the stages were said and not measured. They hold for one oven, load and"
        " weather; weigh marked loaves raw and baked."
    )


def target_record(plan: TargetPlan) -> dict[str, object]:
    """Return a scaling weight as a dictionary that json can write.

    Parameters
    ----------
    plan : TargetPlan

    Returns
    -------
    dict
        Weights in grams, money in the currency; null where there is no figure.
    """
    target, aim = plan.target, plan.target.aim
    return {
        "product": plan.product,
        "declared_g": figure(target.declared.weight_g),
        "rule": plan.rule.name,
        "risk": target.declared.risk,
        "law": target.law.value,
        "loaf_losses": _losses(plan),
        "own_loss": None if plan.own is None else _own_record(plan.own),
        "bench": _bench_record(plan.bench),
        "oven_sd_g": figure(plan.oven_sd_g),
        "loaf_sd_g": figure(plan.evenness.sd_g),
        "loaves": None
        if plan.loaves is None
        else {"batches": plan.loaves.batches, "loaves": plan.loaves.n},
        "batch_sd_g": figure(plan.evenness.batch_sd_g),
        "batch_size": plan.evenness.batch_size,
        "aim_g": figure(aim.aim_g),
        "by_mean_g": _finite(aim.by_mean_g),
        "by_t1_g": _finite(aim.by_t1_g),
        "by_t2_g": _finite(aim.by_t2_g),
        "knee_g": _finite(aim.knee_g),
        "bound_by": target.bound_by.value,
        "least_scaling_g": figure(target.least_scaling_g),
        "interval_g": None if target.interval_g is None else list(map(figure, target.interval_g)),
        "scaling_g": figure(target.scaling_g),
        "set_g": figure(plan.set_g),
        "set_off_g": figure(plan.off_g),
        "carry": {
            "per_g": figure(target.carry.per_g, 4),
            "low": figure(target.carry.interval[0], 4),
            "high": figure(target.carry.interval[1], 4),
        },
        "currency": plan.currency,
        "gram_a_week": _week_record(plan),
        "is_enough": plan.is_enough,
        "cautions": list(_cautions(plan)),
        "as_of": plan.as_of,
    }


def _losses(plan: TargetPlan) -> list[dict[str, object]]:
    left_g, found = plan.target.least_scaling_g, []
    for loss in plan.losses:
        left_g = weight_after(left_g, loss)
        found.append(loss_record(loss, left_g))
    return found


def _own_record(own: OvenLoss) -> dict[str, object]:
    low, high = own.ratio.interval
    return {
        "pairs": own.pairs,
        "batches": own.batches,
        "of_dough": figure(own.ratio.loss, 6),
        "low": figure(low, 6),
        "high": figure(high, 6),
        "is_enough": own.is_enough,
    }


def _bench_record(bench: BenchSpread) -> dict[str, object]:
    return {
        "batches": bench.batches,
        "pieces": bench.pieces,
        "sd_g": figure(bench.sd_g),
        "wander_g": figure(bench.wander_g),
        "off_g": figure(bench.off_g),
        "is_measured": bench.measured is not None,
    }


def _week_record(plan: TargetPlan) -> dict[str, object] | None:
    week, gram = plan.week, plan.target.gram
    if week is None or gram is None:
        return None
    return {
        "pieces": week.pieces,
        "dough_price_per_kg": figure(week.dough_price_per_kg, 4),
        "scaled": figure(gram.scaled, 4),
        "baked": figure(gram.baked, 4),
        "baked_at_price": figure(gram.baked_at_price, 4),
    }


def _finite(weight_g: float) -> float | None:
    return figure(weight_g) if math.isfinite(weight_g) else None
