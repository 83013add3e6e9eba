"""Days as they were and as they would have been -> tables that stand side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.quantities import grams, mg_from_grams
from weighstation.report.giveaway.what_if import best
from weighstation.report.page.page import Grid
from weighstation.report.page.tables import NONE
from weighstation.specification import money_decimals

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from weighstation.report.giveaway.what_if import Days, Outcome
    from weighstation.report.page.local import Local
    from weighstation.specification import Limits

_NOTHING = (
    "Nothing says what other bands would do: no piece was touched in these days, or no lawful"
    " scaling weight is known."
)
_REMARK = (
    "Both columns are reckoned from the first cuts of these days: a cut in the band stays as it is,"
    " others end where touches ended in these days."
)


def what_if_grid(
    days: Days, was: Outcome, would: Outcome, *, local: Local, currency: str, name: str
) -> Grid:
    """Return what was reckoned of days, beside what they would have been.

    Parameters
    ----------
    days : Days
    was, would : Outcome
        Without and with the change.
    local : Local
    currency : str
    name : str
        Of the product.

    Returns
    -------
    Grid
    """
    rows = [
        ("scaling weight", *(_g(each.limits.target_mg, local) for each in (was, would))),
        ("band", *(_band(each.limits, local) for each in (was, would))),
        ("least lawful scaling weight", *(_g(each.lawful_mg, local) for each in (was, would))),
        ("pieces that want a touch", *(_percent(each, local) for each in (was, would))),
        ("mean off the scaling weight", *(_off(each, local) for each in (was, would))),
        ("spread of what leaves the bench", *(_spread(each, local) for each in (was, would))),
        ("dough", *(local.grams(each.dough_mg) for each in (was, would))),
        ("time on the pan", *(_minutes(each.labour_s, local) for each in (was, would))),
    ]
    for label, before, after in (
        ("dough, at cost", was.dough_money, would.dough_money),
        ("labour on the pan", was.labour_money, would.labour_money),
    ):
        if before is not None and after is not None:
            rows.append((label, local.money(before, currency), local.money(after, currency)))
    return Grid(
        title=f"What if: {name}, {local.number(days.pieces)} pieces",
        heads=("", "as it is", "as asked"),
        rows=tuple(rows),
        remark=f"{_REMARK} {_conclusion(was, would, local, currency)}",
    )


def bands_grid(
    days: Days, outcomes: Sequence[Outcome], *, local: Local, currency: str, name: str
) -> Grid:
    """Return what bands from narrow to wide would do, each at its own lawful scaling weight.

    Parameters
    ----------
    days : Days
    outcomes : sequence of Outcome
    local : Local
    currency : str
    name : str

    Returns
    -------
    Grid
    """
    cheapest = best(outcomes)
    rows = tuple(
        (
            f"± {local.number(grams(each.limits.under_mg), 1)} g",
            _g(each.limits.target_mg, local),
            _percent(each, local),
            local.grams(each.dough_mg),
            _minutes(each.labour_s, local),
            *(() if each.money is None else (local.number(each.money, money_decimals(currency)),)),
        )
        for each in outcomes
    )
    money = ("together, " + currency,) if cheapest is not None else ()
    said = "" if outcomes else _NOTHING
    if cheapest is not None:
        width = local.number(grams(cheapest.limits.under_mg), 1)
        labour = "" if days.wage_per_h is not None else " Labour has no price here: give --wage."
        said = f"The cheapest of these is ± {width} g.{labour}"
    return Grid(
        title=f"How tight a band pays: {name}",
        heads=("band", "lawful aim", "touched", "dough", "on the pan", *money),
        rows=rows,
        remark=said,
    )


def _conclusion(was: Outcome, would: Outcome, local: Local, currency: str) -> str:
    if would.is_lawful is False:
        return "The scaling weight asked for is below the least lawful one."
    if was.money is None or would.money is None:
        less_mg = was.dough_mg - would.dough_mg
        return f"It would have {_saved_or_cost(less_mg)} {local.grams(abs(less_mg))} of dough."
    less = was.money - would.money
    counted = "dough and labour" if would.labour_money is not None else "dough alone"
    return f"It would have {_saved_or_cost(less)} {local.money(abs(less), currency)}, {counted}."


def _saved_or_cost(less: Fraction | int) -> str:
    return "saved" if less >= 0 else "cost another"


def _g(mg: int | None, local: Local) -> str:
    return NONE if mg is None else f"{local.number(grams(mg), 1)} g"


def _band(limits: Limits, local: Local) -> str:
    low, high = limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg
    return f"{local.number(grams(low), 1)} to {local.number(grams(high), 1)} g"


def _percent(each: Outcome, local: Local) -> str:
    return f"{local.number(100 * each.bench.touched_share, 1)} %"


def _off(each: Outcome, local: Local) -> str:
    return f"{local.signed(each.bench.mean_g, 1)} g"


def _spread(each: Outcome, local: Local) -> str:
    return _g(mg_from_grams(each.bench.sd_g), local)


def _minutes(seconds: float | None, local: Local) -> str:
    return NONE if seconds is None else f"{local.number(seconds / 60, 1)} min"
