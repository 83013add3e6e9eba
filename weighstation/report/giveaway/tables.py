"""A statement -> its tables, for whoever works on with the figures; the only place that makes them.

Every export is written from these tables: one row a group, a cause or a run, units in the names of
the columns, numbers as numbers.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.giveaway.groups import By, day_of
from weighstation.report.giveaway.parts import BENCH_PARTS, LABEL_PARTS, Part, given_away
from weighstation.report.page.local import rounded

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from decimal import Decimal

    import pandas as pd

    from weighstation.report.giveaway.parts import Amount, Given
    from weighstation.report.giveaway.rows import RunRow
    from weighstation.report.giveaway.statement import Statement
    from weighstation.report.giveaway.what_if import Outcome

WHOLE = "all"
"""The level, and the name, of all pieces together."""
_PLACES = 4
"""Decimals of grams, percent and money that were divided or multiplied."""

DEFINITIONS = {
    "from": "first day of the span",
    "to": "last day of the span",
    "level": "what the pieces of the row have in common: all, product, dough, ...",
    "name": "which product, dough, ...",
    "pieces": "counted pieces",
    "mean_g": "mean weight of a piece of dough; empty where products are of different weights",
    "sd_g": "standard deviation of net minus scaling weight, with n - 1; empty as the mean is",
    "light": "pieces boarded below the band",
    "heavy": "pieces boarded above the band",
    "dough_g": "dough of all pieces",
    "over_sum_g": "what the pieces above the scaling weight lie above it",
    "over_sum_at_cost": "the same, at the cost of dough",
    "giveaway_g": "mean minus scaling weight, times pieces",
    "giveaway_pct": "the same, in percent of the scaling weights",
    "giveaway_at_cost": "the same, at the cost of dough",
    "giveaway_at_price": "the same, as bread that could have been sold",
    "over_label_g": "dough beyond what bakes to just the declared weight",
    "over_label_pct": "the same, in percent of that dough",
    "oven_spread_g": "dough above the label that uneven baking takes, by the rule",
    "bench_spread_g": "what uneven scaling takes above that",
    "aim_above_lawful_g": "scaling weight minus the least lawful one, times pieces",
    "mean_off_aim_g": "net minus scaling weight of the pieces in the band",
    "heavy_out_of_band_g": "the same, of those boarded above the band",
    "light_out_of_band_g": "the same, of those boarded below the band",
    "currency": "of the money in the row",
    "costed": "pieces with a cost of dough",
    "priced": "pieces with a selling price",
    "labelled": "pieces with a declared weight and a known loss",
    "as_of_line": "last line of the journal that was read",
    "as_of_head": "digest of that line",
}
"""What stands in each column of the levels."""

for _part in Part:
    DEFINITIONS[f"{_part.value}_at_cost"] = "the same, at the cost of dough"
    DEFINITIONS[f"{_part.value}_at_price"] = "the same, as bread that could have been sold"


def level_table(found: Statement) -> pd.DataFrame:
    """Return a row for all pieces and one for each group of them.

    Parameters
    ----------
    found : Statement

    Returns
    -------
    DataFrame
    """
    rows = [(WHOLE, WHOLE, found.whole)]
    rows += [(group.by.value, group.name, group.given) for group in found.groups]
    span = {"from": found.span.first.isoformat(), "to": found.span.last.isoformat()}
    return _frame(
        {**span, "level": level, "name": name, **_figures(given), **_last(found, given)}
        for level, name, given in rows
    )


def cause_table(found: Statement) -> pd.DataFrame:
    """Return the causes of all pieces and of each product, from the label up.

    Parameters
    ----------
    found : Statement

    Returns
    -------
    DataFrame
        The parts from the label on are there only where all pieces of the row have one.
    """
    rows = [(WHOLE, found.whole)]
    rows += [(group.name, group.given) for group in found.by(By.PRODUCT)]
    return _frame(
        {
            "product": name,
            "cause": part.value,
            "dough_g": grams(given.part(part).mg),
            "dough_g_per_piece": _per_piece_g(given, part),
            **_money(given, given.part(part)),
            "currency": found.currency,
        }
        for name, given in rows
        for part in _parts_of(given)
    )


def run_table(found: Statement) -> pd.DataFrame:
    """Return a row for each run, in the order in which they began; nobody is named.

    Parameters
    ----------
    found : Statement

    Returns
    -------
    DataFrame
    """
    return _frame(
        {
            "began": day_of(row, found.span.zone).replace(tzinfo=None, microsecond=0),
            "product": row.product.name,
            "dough": row.product.dough or "",
            **_promised(row),
            **_figures(given_away(row)),
            "currency": found.currency,
            "run": row.state.run,
        }
        for row in found.rows
    )


def outcome_table(named: Mapping[str, Outcome]) -> pd.DataFrame:
    """Return a row for each way in which days were reckoned anew.

    Parameters
    ----------
    named : mapping of str to Outcome

    Returns
    -------
    DataFrame
    """
    return _frame(
        {
            "name": name,
            "scaling_weight_g": grams(each.limits.target_mg),
            "under_g": grams(each.limits.under_mg),
            "over_g": grams(each.limits.over_mg),
            "lawful_scaling_g": None if each.lawful_mg is None else grams(each.lawful_mg),
            "touched_pct": round(100 * each.bench.touched_share, _PLACES),
            "mean_off_g": round(each.bench.mean_g, _PLACES),
            "sd_g": round(each.bench.sd_g, _PLACES),
            "dough_g": grams(each.dough_mg),
            "labour_s": None if each.labour_s is None else round(each.labour_s, 1),
            "dough_a_kg_at_cost": _four(_fraction(each.cost_per_kg)),
            "dough_at_cost": _four(each.dough_money),
            "labour_at_cost": _four(each.labour_money),
        }
        for name, each in named.items()
    )


def _frame(rows: Iterable[dict[str, object]]) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - never for a terminal

    return pd.DataFrame(list(rows))


def _figures(given: Given) -> dict[str, object]:
    n, giveaway, over_mg = given.kept.n, given.giveaway, given.over_label_mg
    return {
        "pieces": n,
        "mean_g": None if given.mean_mg is None else _four(given.mean_mg / 1000),
        "sd_g": None if given.sd_mg is None else round(given.sd_mg / 1000, _PLACES),
        "light": given.light,
        "heavy": given.heavy,
        "dough_g": grams(given.net_mg),
        "over_sum_g": grams(given.overs.mg),
        "over_sum_at_cost": _money(given, given.overs)["at_cost"],
        "giveaway_g": grams(giveaway.mg),
        "giveaway_pct": _four(Fraction(100 * giveaway.mg, given.target_mg)),
        **_money(given, giveaway, "giveaway_"),
        "over_label_g": None if over_mg is None else grams(over_mg),
        "over_label_pct": None
        if over_mg is None
        else _four(Fraction(100 * over_mg, given.net_mg - over_mg)),
        **_parts(given),
    }


def _parts(given: Given) -> dict[str, object]:
    cells: dict[str, object] = {}
    known = _parts_of(given)
    for part in Part:
        amount = given.part(part)
        cells[f"{part.value}_g"] = grams(amount.mg) if part in known else None
        for key, money in _money(given, amount, f"{part.value}_").items():
            cells[key] = money if part in known else None
    return cells


def _parts_of(given: Given) -> tuple[Part, ...]:
    """Return the causes that are known of all pieces."""
    return BENCH_PARTS if given.over_label_mg is None else (*LABEL_PARTS, *BENCH_PARTS)


def _per_piece_g(given: Given, part: Part) -> float | None:
    """Return what a cause comes to for a piece; None for pieces of several sizes."""
    if not given.is_alike:
        return None
    return _four(Fraction(given.part(part).mg, 1000 * given.kept.n))


def _money(given: Given, amount: Amount, what: str = "") -> dict[str, float | None]:
    return {
        f"{what}at_cost": _four(amount.at_cost) if given.costed else None,
        f"{what}at_price": _four(amount.at_price) if given.priced else None,
    }


def _last(found: Statement, given: Given) -> dict[str, object]:
    return {
        "currency": found.currency,
        "costed": given.costed,
        "priced": given.priced,
        "labelled": given.labelled,
        "as_of_line": found.as_of.line,
        "as_of_head": found.as_of.head,
    }


def _promised(row: RunRow) -> dict[str, object]:
    limits, declared_mg, basis = row.product.limits, row.product.declared_mg, row.basis
    return {
        "scaling_weight_g": grams(limits.target_mg),
        "under_g": grams(limits.under_mg),
        "over_g": grams(limits.over_mg),
        "declared_g": None if declared_mg is None else grams(declared_mg),
        "label_dough_g": None if basis is None else grams(basis.label_mg),
        "lawful_scaling_g": None if basis is None else grams(basis.lawful_mg),
    }


def _fraction(value: Decimal | None) -> Fraction | None:
    return None if value is None else Fraction(value)


def _four(value: Fraction | None) -> float | None:
    return None if value is None else float(rounded(value, _PLACES))
