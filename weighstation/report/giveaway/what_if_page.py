"""Days as they were and as they would have been -> tables that stand side by side."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.quantities import grams, mg_from_grams
from weighstation.report.giveaway.what_if import alike, cost_of, widths_mg
from weighstation.report.page.page import Grid
from weighstation.report.page.tables import NONE
from weighstation.specification import money_decimals

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.report.giveaway.what_if import Alike, Days, Outcome
    from weighstation.report.page.local import Local
    from weighstation.specification import Limits

_NOTHING = (
    "What other bands would do is not known: nobody touched a piece in these days, or there is no"
    " lawful scaling weight."
)
_REMARK = (
    "Both columns are worked out from the first cuts of these days: a cut within the band stays as"
    " it is, the others end where pieces ended that were added to or trimmed."
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
        ("pieces to add to or trim", *(_percent(each, local) for each in (was, would))),
        ("mean above the scaling weight", *(_off(each, local) for each in (was, would))),
        ("pieces vary by", *(_spread(each, local) for each in (was, would))),
        ("dough", *(local.grams(each.dough_mg) for each in (was, would))),
        ("time on the scale", *(_minutes(each.labour_s, local) for each in (was, would))),
    ]
    for label, amounts in (
        ("a kilogram of dough", [_price(each) for each in (was, would)]),
        ("cost of dough", [each.dough_money for each in (was, would)]),
        ("wage for that time", [each.labour_money for each in (was, would)]),
    ):
        if any(amount is not None for amount in amounts):
            rows.append((label, *(_money(amount, local, currency) for amount in amounts)))
    return Grid(
        title=_title("What if", days, name, local),
        heads=("", "as it is", "as asked"),
        rows=tuple(rows),
        remark=_joined(
            _REMARK, days.left_out, _no_time(days), _conclusion(was, would, local, currency)
        ),
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
    found = alike(days, outcomes)
    rows = tuple(
        (
            _half(each, local),
            _g(each.limits.target_mg, local),
            _percent(each, local),
            local.grams(each.dough_mg),
            _minutes(each.labour_s, local),
            *(() if each.money is None else (local.number(each.money, money_decimals(currency)),)),
        )
        for each in outcomes
    )
    said = _NOTHING
    if found is not None:
        said = _joined(_cheapest(found, local, currency), _no_wage(days))
    elif outcomes:
        said = "Dough has no price here: give --dough-cost to see which band is cheapest."
    cost = () if found is None else (f"cost, {currency}",)
    return Grid(
        title=_title("How tight a band pays", days, name, local),
        heads=("band", "lawful weight", "add or trim", "dough", "on the scale", *cost),
        rows=rows,
        remark=_joined(said, _narrower(days, outcomes, local), _no_time(days), days.left_out),
    )


def _title(what: str, days: Days, name: str, local: Local) -> str:
    return f"{what}: {name}, {local.number(days.pieces)} pieces"


def _joined(*sentences: str) -> str:
    return " ".join(filter(None, sentences))


def _no_wage(days: Days) -> str:
    return "" if days.wage_per_h is not None else "Labour has no price here: give --wage."


def _no_time(days: Days) -> str:
    if days.wage_per_h is None or days.model.time is not None:
        return ""
    return "How long a touch takes is not known of these days, so no wage is counted."


def _narrower(days: Days, outcomes: Sequence[Outcome], local: Local) -> str:
    """Return that narrower bands are not told, and why; empty where all are."""
    if not outcomes or len(outcomes) == len(widths_mg(days)):
        return ""
    return (
        f"Bands narrower than {_half(outcomes[0], local)} are left out: no piece that was added to"
        " or trimmed lay in one, so nothing says what they would take."
    )


def _cheapest(found: Alike, local: Local, currency: str) -> str:
    """Return the cheapest band, and which others cost about as much."""
    cheapest = f"The cheapest of these is {_half(found.best, local)}"
    step = f"{local.money(found.step, currency)}, a step of the scale on every piece"
    if found.narrowest is found.widest:
        return f"{cheapest}: the bands beside it cost more by over {step}."
    all_ = f"all from {_half(found.narrowest, local)} to {_half(found.widest, local)}"
    if not round(found.more, money_decimals(currency)):
        return f"{cheapest}, and {all_} cost the same."
    more, best = local.money(found.more, currency), found.best.money
    share = f" ({local.number(100 * found.more / best, 2)} %)" if best else ""
    return (
        f"{cheapest}, but {all_} cost at most {more}{share} more, which is less than {step}: take"
        " the one that is easiest to keep."
    )


def _conclusion(was: Outcome, would: Outcome, local: Local, currency: str) -> str:
    if would.is_lawful is False:
        return "The scaling weight asked for is below the least lawful one."
    if was.money is None or would.money is None:
        less_mg = was.dough_mg - would.dough_mg
        return f"It would have {_saved_or_cost(less_mg)} {local.grams(abs(less_mg))} of dough."
    less = was.money - would.money
    counted = "dough and labour" if would.labour_money is not None else "dough alone"
    told = f"It would have {_saved_or_cost(less)} {local.money(abs(less), currency)}, {counted}."
    return _joined(told, _price_alone(was, would, local, currency))


def _price_alone(was: Outcome, would: Outcome, local: Local, currency: str) -> str:
    """Return what another price of dough does by itself; empty where it is all, or is none."""
    if was.cost_per_kg == would.cost_per_kg or was.cost_per_kg is None or not would.cost_per_kg:
        return ""
    less = cost_of(was.dough_mg, was.cost_per_kg) - cost_of(was.dough_mg, would.cost_per_kg)
    if (was.dough_mg, was.labour_s) == (would.dough_mg, would.labour_s):
        return ""
    return (
        f"The other price of dough alone would have {_saved_or_cost(less)}"
        f" {local.money(abs(less), currency)}."
    )


def _price(each: Outcome) -> Fraction | None:
    return None if each.cost_per_kg is None else Fraction(each.cost_per_kg)


def _money(amount: Fraction | None, local: Local, currency: str) -> str:
    return NONE if amount is None else local.money(amount, currency)


def _half(each: Outcome, local: Local) -> str:
    return f"± {local.number(grams(each.limits.under_mg), 1)} g"


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
