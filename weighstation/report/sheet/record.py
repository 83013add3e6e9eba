"""Figures of a batch -> plain keys and numbers, units in the names, for another program."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.page.local import rounded
from weighstation.report.page.tables import utc_text
from weighstation.report.sheet.boards import board_records
from weighstation.report.sheet.dough import dough_found, dough_remark, scale_of_sum_mg
from weighstation.report.sheet.happenings import happening_records
from weighstation.report.sheet.sheet import first_cuts
from weighstation.report.sheet.trace import trace_records
from weighstation.specification import money_decimals

if TYPE_CHECKING:
    from decimal import Decimal
    from fractions import Fraction

    from weighstation.report.sheet.figures import BatchFigures


def batch_record(figures: BatchFigures) -> dict[str, object]:
    """Return a batch as a dictionary that json can write.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    dict
        Weights in grams, ``money`` as decimal text; null where there is no figure.
    """
    product, limits = figures.product, figures.product.limits
    return {
        "product": product.name,
        "scaling_weight_g": grams(limits.target_mg),
        "under_g": grams(limits.under_mg),
        "over_g": grams(limits.over_mg),
        "guard": None
        if figures.guard is None
        else {"width_g": grams(figures.guard.width_mg), "check_line": figures.guard.check_line},
        "batch": figures.batch or None,
        "started": utc_text(figures.started_utc_ms),
        "last": utc_text(figures.last_utc_ms),
        "entered": [utc_text(entered_ms) for entered_ms in figures.entered_utc_ms],
        "scales": [
            {
                "scale": bench.scale,
                "simulated": bench.is_simulated,
                "imported_from": bench.imported_from,
                "division_g": None if bench.division_mg is None else grams(bench.division_mg),
                "software": bench.software,
            }
            for bench in figures.benches
        ],
        "scale_check": _scale_check(figures),
        "doubtful": list(figures.doubtful),
        "doubt_settled": [
            {
                "pieces": list(settled.pieces),
                "line": settled.line,
                "person": settled.said.person,
                "reason": settled.said.text,
                "failed_line": settled.said.about,
                "good_line": settled.said.settled_by,
            }
            for settled in figures.settled
        ],
        "gaps": len(figures.gaps_ms),
        "gaps_s": sum(figures.gaps_ms) / 1000,
        "runs": [
            {"run": run.run, "pieces": run.kept.n, "ended": run.ended or None}
            for run in figures.runs
        ],
        **_kept(figures),
        "dough": _dough(figures),
        "mixed": None if figures.mixed_utc_ms is None else utc_text(figures.mixed_utc_ms),
        "boards": board_records(figures.boards),
        "traced": trace_records(figures),
        **_giveaway(figures),
        **_first(figures),
        "happenings": happening_records(figures.happenings),
        "as_of": {"line": figures.as_of_line, "head": figures.head},
    }


def _scale_check(figures: BatchFigures) -> dict[str, object] | None:
    """Return the last check of the scale before the batch; None where none is on record."""
    check = figures.scale_check
    if check is None:
        return None
    return {
        "line": check.line,
        "when": utc_text(check.t_utc_ms),
        "verdict": "fit" if check.is_fit else "unfit",
        "held_against": check.held_against or None,
    }


def _kept(figures: BatchFigures) -> dict[str, object]:
    kept, light = figures.kept, figures.light_mg
    return {
        "pieces": kept.n,
        "mean_g": _mean_g(kept.mean_d_mg, figures.product.limits.target_mg),
        "out_of_band": figures.out_of_band,
        "out_of_band_pieces": [piece.number for piece in figures.boarded],
        "out_of_band_pct": 100 * figures.out_of_band / kept.n if kept.n else None,
        "light": len(light),
        "light_short_g": grams(sum(light)),
        "lifted_unresolved": list(figures.unresolved),
        "taken_for_come_back": list(figures.lifts.came_back),
        "taken_for_boarded": list(figures.lifts.boarded),
        "two_at_once": figures.lifts.two_at_once,
        "voided": figures.voided,
        "struck_out": [
            {"piece": piece.number, "reason": piece.reason} for piece in figures.lifts.struck_out
        ],
    }


def _dough(figures: BatchFigures) -> dict[str, object] | None:
    """Return where the dough went; None where it was not weighed."""
    dough, found, sums = figures.dough, dough_found(figures), figures.dough_sum
    if dough is None or found is None or sums is None:
        return None
    return {
        "on_hand_g": grams(dough.on_hand_mg),
        "counted_g": grams(sums.counted_mg),
        "left_g": None if dough.left_mg is None else grams(dough.left_mg),
        "loss_g": None if dough.loss_mg is None else grams(dough.loss_mg),
        "unaccounted_g": grams(found.unaccounted_mg),
        "scale_g": grams(scale_of_sum_mg(figures)),
        "balance": found.balance.value,
        "pieces": found.pieces,
        "remark": dough_remark(figures) or None,
    }


def _giveaway(figures: BatchFigures) -> dict[str, object]:
    kept, target_mg = figures.kept, figures.product.limits.target_mg
    money, over_money = figures.money, figures.over_money
    return {
        "giveaway_g": grams(kept.sum_d_mg),
        "giveaway_pct": 100 * kept.sum_d_mg / (kept.n * target_mg) if kept.n else None,
        "money": _coins(money, figures.currency),
        "currency": figures.currency or None,
        "over_sum_g": grams(kept.sum_over_mg),
        "over_money": _coins(over_money, figures.currency),
    }


def _coins(money: Decimal | None, currency: str) -> str | None:
    return None if money is None else str(rounded(money, money_decimals(currency)) + 0)


def _first(figures: BatchFigures) -> dict[str, object]:
    first, chart, numbers = figures.first, first_cuts(figures), tuple(figures.first_cuts)
    ms_each = figures.ms_each
    return {
        "first_bias_g": None if first.mean_d_mg is None else float(first.mean_d_mg) / 1000,
        "first_sd_g": None if first.sd_mg is None else first.sd_mg / 1000,
        "first_cut_signals": []
        if chart is None
        else [
            {"piece": numbers[signal.index], "rule": str(signal.rule)} for signal in chart.signals
        ],
        "touches_per_piece": figures.touches_each,
        "seconds_per_piece": None if ms_each is None else ms_each / 1000,
    }


def _mean_g(mean_d_mg: Fraction | None, target_mg: int) -> float | None:
    return None if mean_d_mg is None else float(target_mg + mean_d_mg) / 1000
