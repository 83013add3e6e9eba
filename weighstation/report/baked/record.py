"""Figures of baked loaves -> plain keys and numbers, units in the names, for another program."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weighstation.monitor.moments import Moments
from weighstation.plan import LossLaw
from weighstation.quantities import grams
from weighstation.report.page.tables import utc_text

if TYPE_CHECKING:
    from weighstation.plan import Part
    from weighstation.report.baked.batch import BakedBatch
    from weighstation.report.baked.figures import BakedFigures


def baked_record(figures: BakedFigures) -> dict[str, Any]:
    """Return the baked loaves of a product as a dictionary that json can write.

    Parameters
    ----------
    figures : BakedFigures

    Returns
    -------
    dict
        Weights in grams, losses as fractions of the dough; null where there is no figure, with
        ``why_not`` beside it.
    """
    return {
        "product": figures.product,
        "declared_g": figures.declared_g,
        "fails": figures.fails,
        "batches": [_batch(figures, batch) for batch in figures.batches],
        "loss": _loss(figures),
        "scaling": _scaling(figures),
        "split": _split(figures),
        "as_of": {"line": figures.as_of_line, "head": figures.head},
    }


def _batch(figures: BakedFigures, batch: BakedBatch) -> dict[str, Any]:
    found, weights = figures.one_hour(batch), Moments.of(batch.weights_g)
    return {
        "batch": batch.batch,
        "began": utc_text(batch.began_utc_ms),
        "pieces": len(batch.raw_mg),
        "loaves": [
            {
                "line": each.line,
                "when": utc_text(each.t_utc_ms),
                "number": each.loaf.number,
                "grams": grams(each.loaf.baked_mg),
                "piece": each.loaf.piece,
                "raw_grams": _raw_g(batch, each.loaf.piece),
                "minutes": None
                if each.loaf.out_of_oven_ms is None
                else each.loaf.out_of_oven_ms / 60_000,
                "scale": each.loaf.scale,
                "doubtful": each.loaf.number in batch.doubtful,
            }
            for each in batch.loaves
        ],
        "struck_out": [{"number": number, "reason": why} for number, why in batch.struck_out],
        "mean_g": weights.mean,
        "sd_g": weights.sd if weights.n > 1 else None,
        "one_hour": {
            "grams": None if found.figure is None else list(found.figure),
            "mean_g": None if found.figure is None else Moments.of(found.figure).mean,
            "cooling_loss": figures.cooling_loss_per_h,
            "why_not": found.why_not or None,
        },
        "quantity": _quantity(figures, batch),
    }


def _raw_g(batch: BakedBatch, piece: int | None) -> float | None:
    raw_mg = None if piece is None else batch.raw_mg.get(piece)
    return None if raw_mg is None else grams(raw_mg)


def _quantity(figures: BakedFigures, batch: BakedBatch) -> dict[str, Any]:
    found = figures.lot(batch)
    lot = found.figure
    if lot is None:
        return {"verdict": None, "why_not": found.why_not}
    return {
        "rule": lot.rule,
        "verdict": lot.verdict.value,
        "passes": lot.passes,
        "lot_size": lot.lot_size,
        "to_weigh": lot.needed,
        "weighed": lot.weighed,
        "mean_g": lot.mean_g,
        "least_mean_g": lot.least_mean_g,
        "deficiency_g": lot.deficiency_g,
        "count_t1": lot.count_t1,
        "allowed_t1": lot.allowed_t1,
        "count_t2": lot.count_t2,
        "reasons": list(lot.reasons),
    }


def _loss(figures: BakedFigures) -> dict[str, Any]:
    found, left_out = figures.loss, list(figures.taught.left_out)
    loss = found.figure
    if loss is None:
        return {"loss": None, "why_not": found.why_not, "left_out": left_out}
    line = loss.line if loss.law is LossLaw.LINE else None
    return {
        "loss": loss.ratio.loss,
        "interval": list(loss.ratio.interval),
        "confidence": loss.ratio.confidence,
        "pairs": loss.pairs,
        "batches": loss.batches,
        "law": loss.law.value,
        "enough": loss.is_enough,
        "slope": None if line is None else line.slope,
        "slope_interval": None if line is None else list(line.slope_interval),
        "dough_of_bread": None if line is None else list(line.dough_of_bread),
        "raw_range_g": list(loss.raw_range_g),
        "carry": loss.carry.per_g,
        "carry_interval": list(loss.carry.interval),
        "apart": [each.text for each in loss.apart],
        "left_out": left_out,
    }


def _scaling(figures: BakedFigures) -> dict[str, Any]:
    found = figures.scaling
    if found.figure is None:
        return {"scaling_g": None, "why_not": found.why_not}
    return {"scaling_g": found.figure.at_g, "interval_g": list(found.figure.mean_g)}


def _split(figures: BakedFigures) -> dict[str, Any]:
    found = figures.split
    split = found.figure
    if split is None:
        return {"whole": None, "why_not": found.why_not}
    return {
        "whole": _part(split.whole),
        "scaling": _part(split.scaling),
        "oven": _part(split.oven),
        "scaling_sd_g": split.scaling_sd_g,
        "carry": split.carry,
        "lever": split.lever.value,
        "certain": split.is_certain,
        "text": split.text,
    }


def _part(part: Part) -> dict[str, Any]:
    return {"var_g2": part.var_g2, "sd_g": part.sd_g, "sd_interval_g": list(part.sd_interval_g)}
