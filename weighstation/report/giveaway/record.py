"""A statement of give-away -> plain keys and numbers, units in the names, for another program."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.giveaway.groups import By
from weighstation.report.giveaway.lawful_range import CONFIDENCE
from weighstation.report.giveaway.parts import BENCH_PARTS, LABEL_PARTS, Part, expected_overs_mg
from weighstation.report.giveaway.savings import savings
from weighstation.report.giveaway.too_light import too_light
from weighstation.report.giveaway.what_if import Change, alike, bands, what_if
from weighstation.report.page.local import rounded

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.report.giveaway.parts import Amount, Given
    from weighstation.report.giveaway.rows import LabelBasis
    from weighstation.report.giveaway.savings import Saving
    from weighstation.report.giveaway.statement import Statement
    from weighstation.report.giveaway.too_light import TooLight
    from weighstation.report.giveaway.what_if import Days, Outcome

_PLACES = 4
"""Decimals of money that is not for printing: a hundredth of a cent."""


def statement_record(found: Statement) -> dict[str, object]:
    """Return a statement as a dictionary that json can write.

    Parameters
    ----------
    found : Statement

    Returns
    -------
    dict
        Weights in grams, money as decimal text; null where there is no figure. ``parts`` adds up
        to ``giveaway_g``; ``over_label.parts`` to ``over_label.giveaway_g``.
    """
    return {
        "from": found.span.first.isoformat(),
        "to": found.span.last.isoformat(),
        **_figures(found, found.whole),
        "runs": len(found.rows),
        "why": {part.value: grams(found.whole.part(part).mg) for part in found.whole.causes},
        "bases": [
            {"product": name, **_basis(basis)}
            for name, basis in dict.fromkeys((row.product.name, row.basis) for row in found.rows)
            if basis is not None
        ],
        "remarks": list(found.remarks),
        "too_light": [_too_light(each) for each in too_light(found)],
        "products": [
            {"name": group.name, **_figures(found, group.given)} for group in found.by(By.PRODUCT)
        ],
        "by": {
            by.value: [
                {"name": group.name, **_figures(found, group.given)} for group in found.by(by)
            ]
            for by in By
            if by is not By.PRODUCT and found.by(by)
        },
        "savings": [_saving(found, saving) for saving in savings(found)],
        "mind": list(found.minded),
        "as_of": {"line": found.as_of.line, "head": found.as_of.head},
    }


def _figures(found: Statement, given: Given) -> dict[str, object]:
    kept, giveaway = given.kept, given.giveaway
    return {
        "pieces": kept.n,
        "mean_g": None if given.mean_mg is None else float(given.mean_mg / 1000),
        "sd_g": None if given.sd_mg is None else given.sd_mg / 1000,
        "light": given.light,
        "heavy": given.heavy,
        "dough_g": grams(given.net_mg),
        "over_sum_g": grams(given.overs.mg),
        "over_sum_expected_g": _expected_g(given),
        "over_money": _money(given.overs.at_cost, given.costed),
        "giveaway_g": grams(giveaway.mg),
        "giveaway_pct": float(Fraction(100 * giveaway.mg, given.target_mg)),
        "currency": found.currency or None,
        "money": _money(giveaway.at_cost, given.costed),
        "money_at_price": _money(giveaway.at_price, given.priced),
        "costed": given.costed,
        "priced": given.priced,
        "parts": _parts(given, BENCH_PARTS),
        "parts_money": _worth(given, BENCH_PARTS),
        "over_label": _over_label(given),
    }


def _expected_g(given: Given) -> float | None:
    """Return the overs of a normal law with this mean and spread; of products of one size."""
    expected_mg = expected_overs_mg(given.kept) if given.is_alike else None
    return None if expected_mg is None else expected_mg / 1000


def _over_label(given: Given) -> dict[str, object] | None:
    """Return the give-away from the label up; None where that is not known of every piece."""
    over_mg, parts = given.over_label_mg, (*LABEL_PARTS, *BENCH_PARTS)
    if over_mg is None:
        return None
    return {
        "giveaway_g": grams(over_mg),
        "giveaway_pct": float(Fraction(100 * over_mg, given.net_mg - over_mg)),
        "parts": _parts(given, parts),
        "parts_money": _worth(given, parts),
    }


def _parts(given: Given, parts: Iterable[Part]) -> dict[str, float]:
    return {part.value: grams(given.part(part).mg) for part in parts}


def _worth(given: Given, parts: Iterable[Part]) -> dict[str, object]:
    return {part.value: _amount(given, given.part(part)) for part in parts}


def _amount(given: Given, amount: Amount) -> dict[str, str | None]:
    return {
        "at_cost": _money(amount.at_cost, given.costed),
        "at_price": _money(amount.at_price, given.priced),
    }


def _money(amount: Fraction, known: int) -> str | None:
    """Return money as decimal text; None where no piece has a price."""
    return str(rounded(amount, _PLACES)) if known else None


def _costed(found: Statement, product: str) -> int:
    return sum(group.given.costed for group in found.by(By.PRODUCT) if group.name == product)


def _saving(found: Statement, saving: Saving) -> dict[str, object]:
    known = _costed(found, saving.product)
    ends = saving.at_ends()
    return {
        "product": saving.product,
        "part": saving.part.value,
        "change": saving.change,
        "saved_g": grams(saving.amount.mg),
        "interval_g": None if ends is None else [grams(end.mg) for end in ends],
        "money": _money(saving.amount.at_cost, known),
        "money_interval": None if ends is None else [_money(end.at_cost, known) for end in ends],
        "is_most": saving.is_most,
        "confidence": None if ends is None or saving.is_most else CONFIDENCE,
        "no_interval": saving.no_range or None,
        "waits": saving.waits,
    }


def _too_light(light: TooLight) -> dict[str, object]:
    return {
        "product": light.product,
        "scaling_weight_g": grams(light.target_mg),
        "lawful_scaling_g": grams(light.lawful_mg),
        "is_sure": light.is_sure,
        "text": light.said(),
    }


def _basis(basis: LabelBasis) -> dict[str, object]:
    ends = basis.lawful_interval_mg
    low_g, high_g = (None, None) if ends is None else map(grams, ends)
    return {
        "label_dough_g": grams(basis.label_mg),
        "oven_alone_g": grams(basis.oven_mg),
        "lawful_scaling_g": grams(basis.lawful_mg),
        "lawful_scaling_low_g": low_g,
        "lawful_scaling_high_g": high_g,
        "confidence": None if ends is None else CONFIDENCE,
        "no_interval": basis.no_range or None,
        "kept_share": float(basis.kept_share),
        "text": basis.said_by,
    }


def what_if_record(days: Days, change: Change) -> dict[str, object]:
    """Return what days would have been, as a dictionary that json can write.

    Parameters
    ----------
    days : Days
    change : Change

    Returns
    -------
    dict
        ``as_it_is`` and ``as_asked``, both reckoned; ``bands``, each at its lawful aim; and
        ``bands_alike``, which of them cost about what the cheapest costs.

    Raises
    ------
    SpecificationError
        As `weighstation.report.giveaway.what_if.what_if`.
    """
    time = days.model.time
    return {
        "pieces": days.pieces,
        "left_out": {
            "scaled_otherwise": days.otherwise,
            "first_cut_unknown": days.model.unknown,
            "text": days.left_out or None,
        },
        "touch_s": None if time is None else time.touch_s,
        "touch_interval_s": None if time is None else list(time.interval_s),
        "as_it_is": _outcome(what_if(days, Change())),
        "as_asked": _outcome(what_if(days, change)),
        **_bands(days, change),
    }


def _bands(days: Days, change: Change) -> dict[str, object]:
    swept = bands(days, change)
    found = alike(days, swept)
    near = None
    if found is not None:
        near = {
            "cheapest_g": grams(found.best.limits.under_mg),
            "from_g": grams(found.narrowest.limits.under_mg),
            "to_g": grams(found.widest.limits.under_mg),
            "more_money": _money_or_none(found.more),
            "step_money": _money_or_none(found.step),
        }
    return {"bands": [_outcome(each) for each in swept], "bands_alike": near}


def _outcome(found: Outcome) -> dict[str, object]:
    limits = found.limits
    return {
        "scaling_weight_g": grams(limits.target_mg),
        "under_g": grams(limits.under_mg),
        "over_g": grams(limits.over_mg),
        "lawful_scaling_g": None if found.lawful_mg is None else grams(found.lawful_mg),
        "is_lawful": found.is_lawful,
        "touched_share": found.bench.touched_share,
        "touches_per_piece": found.bench.touches,
        "mean_off_g": found.bench.mean_g,
        "sd_g": found.bench.sd_g,
        "dough_g": grams(found.dough_mg),
        "labour_s": found.labour_s,
        "dough_cost_per_kg": None if found.cost_per_kg is None else str(found.cost_per_kg),
        "dough_money": _money_or_none(found.dough_money),
        "labour_money": _money_or_none(found.labour_money),
    }


def _money_or_none(amount: Fraction | None) -> str | None:
    return None if amount is None else str(rounded(amount, _PLACES))
