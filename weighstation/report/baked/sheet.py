"""Figures of baked loaves -> the page of their sheet."""

from __future__ import annotations

from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING

from weighstation.monitor.moments import Moments
from weighstation.plan import LossLaw
from weighstation.plan.loss.loss_line import SURE_WITHIN
from weighstation.quantity import LotVerdict
from weighstation.report.page.page import Page
from weighstation.report.page.tables import (
    NONE,
    SheetRow,
    SheetTable,
    named,
    signed,
    spans,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.plan import Apart, BakedSplit, OvenLoss
    from weighstation.report.baked.batch import BakedBatch
    from weighstation.report.baked.figures import BakedFigures
    from weighstation.report.baked.lot import BakedLot

_HOT = (
    "Hot loaves, trays and oven doors burn: use dry cloths, and let a tray cool before it is lifted"
    " onto a scale."
)
_NO_PROOF = (
    "This is arithmetic of the house and no legal proof. What may be sold, when it is to be"
    " weighed, and on which verified scale, your local rules and authority say."
)
CAUTIONS = (_HOT, _NO_PROOF)
MOST_CONCLUDED = 2
"""Batches that the last sentence tells of; the tables tell of all."""


def baked_sheet(figures: BakedFigures, *, zone: tzinfo = UTC) -> Page:
    """Return the sheet of the baked loaves of a product.

    Parameters
    ----------
    figures : BakedFigures
    zone : tzinfo
        Whose clock times are told in.

    Returns
    -------
    Page
    """
    batches = [
        table
        for batch in figures.batches
        for table in (_loaves(figures, batch, zone), _quantity(figures, batch))
    ]
    return Page(
        title=f"Baked loaves: {figures.product}",
        parts=(*batches, _loss(figures), _spread(figures)),
        cautions=(*_impossible(figures), *CAUTIONS),
        as_of=figures.as_of,
        conclusion=_conclusion(figures),
        next_step=_next_step(figures),
    )


def _impossible(figures: BakedFigures) -> Iterator[str]:
    """Yield what cannot be as it was said: an auditor sees it too."""
    for batch in figures.batches:
        loaves = len(batch.out_before_cut)
        if loaves:
            yield (
                f"Batch {batch.batch}: {loaves} of {len(batch.loaves)} loaves are said to have left"
                " the oven before their dough was divided. Was --out-of-oven right, and is it the"
                " right batch?"
            )


def _conclusion(figures: BakedFigures) -> str:
    """Return what the rule says of the batches, in one sentence each; the worst comes last."""
    found = [(batch.batch, figures.lot(batch).figure) for batch in figures.batches]
    lots = [(batch, lot) for batch, lot in found if lot is not None]
    lots.sort(key=lambda each: each[1].passes is False)
    return " ".join(_said_of_lot(batch, lot) for batch, lot in lots[-MOST_CONCLUDED:])


def _said_of_lot(batch: str, lot: BakedLot) -> str:
    if lot.verdict is not LotVerdict.INDICATIVE:
        return f"Batch {batch} is {lot.verdict.value} by {lot.rule}."
    return f"Batch {batch} by {lot.rule}: {_numbers_say(lot)}, a hint and no verdict."


def _next_step(figures: BakedFigures) -> str:
    """Return the command that makes a scaling weight of a loss that is known well enough."""
    loss = figures.loss.figure
    if loss is None or not loss.is_enough or figures.declared_g is None:
        return ""
    return f'weighstation plan target "{figures.product}"'


def _loaves(figures: BakedFigures, batch: BakedBatch, zone: tzinfo) -> SheetTable:
    began = datetime.fromtimestamp(batch.began_utc_ms / 1000, zone)
    marked = sum(each.loaf.piece is not None for each in batch.loaves)
    rows = [
        SheetRow(
            "Loaves",
            f"{len(batch.loaves)} of {len(batch.raw_mg)}",
            f"{_weighed(batch, zone)}; {marked} marked",
        ),
        SheetRow("Since the oven", *_since(batch)),
        *_weights(figures, batch),
        *_scales(batch),
    ]
    if batch.struck_out:
        numbers = named(f"loaf {number} ({why})" for number, why in batch.struck_out)
        rows.append(SheetRow("Struck out", str(len(batch.struck_out)), numbers))
    if batch.doubtful:
        numbers = spans(sorted(batch.doubtful))
        said = f"loaf {numbers}: a check found the scale not fit; they teach nothing"
        rows.append(SheetRow("Doubtful", str(len(batch.doubtful)), said))
    return SheetTable(f"Batch {batch.batch}, divided {began:%Y-%m-%d %H:%M}", tuple(rows))


def _weighed(batch: BakedBatch, zone: tzinfo) -> str:
    first, last = (
        datetime.fromtimestamp(batch.loaves[place].t_utc_ms / 1000, zone) for place in (0, -1)
    )
    end = last.strftime("%H:%M" if first.date() == last.date() else "%Y-%m-%d %H:%M")
    return f"weighed {first:%Y-%m-%d %H:%M} to {end}"


def _since(batch: BakedBatch) -> tuple[str, str]:
    minutes = batch.minutes
    if minutes is None:
        return "not known", "of all of them: --out-of-oven says it"
    return f"{min(minutes):.0f} to {max(minutes):.0f} min", ""


def _weights(figures: BakedFigures, batch: BakedBatch) -> tuple[SheetRow, ...]:
    """Return mean and spread as they were weighed, and at one hour or why not."""
    declared_mg = batch.loaves[-1].loaf.declared_mg
    declared_g = None if declared_mg is None else declared_mg / 1000
    against = "no declared weight" if declared_g is None else f"declared {declared_g:g} g"
    found = figures.one_hour(batch)
    rows = [
        SheetRow("Mean", _mean(Moments.of(batch.weights_g), declared_g), f"{against}; as weighed"),
        SheetRow("Spread", _sd(batch.weights_g), "standard deviation"),
    ]
    if found.figure is None:
        return (*rows, SheetRow("At one hour", NONE, found.why_not))
    if found.figure == batch.weights_g:
        return (*rows, SheetRow("At one hour", "as weighed"))
    cooled = 100 * (figures.cooling_loss_per_h or 0)
    said = f"worked out with {cooled:g} % lost in the first hour"
    return (*rows, SheetRow("At one hour", _mean(Moments.of(found.figure), declared_g), said))


def _mean(weights: Moments, declared_g: float | None) -> str:
    off = "" if declared_g is None else f" ({signed(weights.mean - declared_g)})"
    return f"{weights.mean:.1f} g{off}"


def _sd(weights_g: tuple[float, ...]) -> str:
    return f"{Moments.of(weights_g).sd:.1f} g" if len(weights_g) > 1 else NONE


def _scales(batch: BakedBatch) -> list[SheetRow]:
    loaves = [each.loaf for each in batch.loaves]
    used = dict.fromkeys((loaf.scale, loaf.division_mg) for loaf in loaves)
    rows = []
    for scale, division_mg in used:
        known = "not known" if division_mg is None else f"{division_mg / 1000:g} g"
        is_simulated = scale.startswith("simulated:")
        said, more = ("simulated scale", f"{scale}, ") if is_simulated else (scale, "")
        rows.append(SheetRow("Scale", said, f"{more}division {known}"))
    return rows


def _quantity(figures: BakedFigures, batch: BakedBatch) -> SheetTable:
    title, found = f"Quantity of batch {batch.batch}", figures.lot(batch)
    if found.figure is None:
        return SheetTable(title, (SheetRow("Verdict", NONE, found.why_not),))
    lot = found.figure
    rows = (
        SheetRow("Verdict", lot.verdict.value, f"by {lot.rule}; {_numbers_say(lot)}"),
        SheetRow("Mean", f"{lot.mean_g:.2f} g", f"{lot.least_mean_g:.2f} g is the lowest"),
        SheetRow(
            "Short",
            f"{lot.count_t1} of {lot.weighed}",
            f"below {lot.nominal_g - lot.deficiency_g:g} g; {lot.allowed_t1} may be",
        ),
        SheetRow("Far too light", f"{lot.count_t2} of {lot.weighed}", "none may be"),
        *(SheetRow("" if place else "Why", reason) for place, reason in enumerate(lot.reasons)),
    )
    return SheetTable(title, rows)


def _numbers_say(lot: BakedLot) -> str:
    if lot.passes is None:
        return "the numbers ask for a second sample"
    return "the numbers pass" if lot.passes else "the numbers do NOT pass"


def _loss(figures: BakedFigures) -> SheetTable:
    title, found = "What the oven takes", figures.loss
    left_out = [SheetRow("Left out", said) for said in figures.taught.left_out]
    if found.figure is None:
        return SheetTable(title, (SheetRow("Loss", NONE, found.why_not), *left_out))
    loss = found.figure
    low, high = (100 * end for end in loss.ratio.interval)
    rows = [
        SheetRow(
            "Loss",
            f"{100 * loss.ratio.loss:.1f} %",
            f"of the dough; {100 * loss.ratio.confidence:g} % interval {low:.1f} to {high:.1f} %",
        ),
        SheetRow("Learned from", _learned_from(loss), _how_sure(loss)),
        SheetRow("Line", *_line(loss)),
        SheetRow("A gram of dough", _carry(loss), "of bread"),
        SheetRow("Scaling weight", *_scaling(figures)),
        *(SheetRow("Apart", _apart(each)) for each in loss.apart),
        *left_out,
    ]
    return SheetTable(title, tuple(rows))


def _learned_from(loss: OvenLoss) -> str:
    counts = ((loss.pairs, "marked loaf", "marked loaves"), (loss.batches, "batch", "batches"))
    return " and ".join(f"{n} {one if n == 1 else more}" for n, one, more in counts if n)


def _how_sure(loss: OvenLoss) -> str:
    if loss.is_enough:
        return "holds for this oven, load and product"
    return "too few yet to beat the percentages of the trade"


def _line(loss: OvenLoss) -> tuple[str, str]:
    """Return the line once it stands; before that only how badly its slope is known."""
    if loss.law is LossLaw.LINE and loss.line is not None:
        a_g, b = loss.line.dough_of_bread
        low, high = loss.raw_range_g
        return f"dough = {a_g:.1f} g + {b:.4f} bread", f"from {low:g} to {high:g} g of dough"
    if loss.line is None:
        return "none yet", "it takes marked loaves, scaled lighter and heavier on purpose"
    known = f"its slope is known to {loss.line.slope_half:.2f} either way, and {SURE_WITHIN:.2f}"
    return "none yet", f"{known} is asked for: mark pieces scaled lighter and heavier on purpose"


def _carry(loss: OvenLoss) -> str:
    low, high = loss.carry.interval
    if loss.law is LossLaw.LINE:
        return f"{loss.carry.per_g:.2f} g ({low:.2f} to {high:.2f})"
    return f"{low:.2f} to {high:.2f} g"


def _apart(loaf: Apart) -> str:
    way = "less" if loaf.off_g < 0 else "more"
    return (
        f"{loaf.raw_g:g} g raw, {loaf.baked_g:g} g baked: {abs(loaf.off_g):.0f} g {way} than the"
        " others foretell; find out what happened (torn, mixed up), it counts all the same"
    )


def _scaling(figures: BakedFigures) -> tuple[str, str]:
    found = figures.scaling
    if found.figure is None:
        return NONE, found.why_not
    low, high = found.figure.mean_g
    return (
        f"{found.figure.at_g:.1f} g",
        f"of dough for {figures.declared_g:g} g; between {low:.1f} and {high:.1f} g",
    )


def _spread(figures: BakedFigures) -> SheetTable:
    title, found = "Where the spread comes from", figures.split
    if found.figure is None:
        rows: tuple[SheetRow, ...] = (SheetRow("Parts", NONE, found.why_not),)
    else:
        rows = _parts(found.figure)
    if len(figures.batches) > 1 and figures.wander.figure is not None:
        rows = (*rows, SheetRow("From batch to batch", figures.wander.figure.text))
    return SheetTable(title, rows)


def _parts(split: BakedSplit) -> tuple[SheetRow, ...]:
    rows = []
    for label, part in (("Baked", split.whole), ("Scaling", split.scaling), ("Oven", split.oven)):
        low, high = part.sd_interval_g
        sd_g = part.sd_g
        said = "less than nothing" if sd_g is None else f"{sd_g:.1f} g"
        rows.append(SheetRow(label, said, f"{low:.1f} to {high:.1f} g"))
    return (*rows, SheetRow("Which first", split.text))
