"""``plan target``: the scaling weight whose loaves keep what is declared."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import Week, stages_of
from weighstation.quantities import grams
from weighstation.report.plans.target import TargetPlan, target_page, target_record
from weighstation.station.commands.planning.aiming import RISK, Aiming
from weighstation.station.commands.planning.history import history_of
from weighstation.station.commands.planning.shop import declared_g, require_losses
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.shop.quantity_rules import rule_for
from weighstation.station.commands.terminal.answering import ON_SCREEN, Answering

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.specification import Product
    from weighstation.station.commands.planning.history import History

BAD_NEWS = 1
PER_THOUSAND = 1000
"""Where no week is known: what a gram more of so many costs can be held against any."""


@dataclass(frozen=True, slots=True)
class TargetAsked:
    """The words of ``plan target``.

    Parameters
    ----------
    product : str
    declared_mg : int, milligrams, or None
        In the place of what products.toml says.
    rule : str or None
        Name of a rule, in the same way.
    risk : float
    oven_sd_mg : int, milligrams, or None
        What the oven adds to the spread of loaves.
    batch_size : int or None
    week_pieces : int or None
    answering : Answering
    home : Path or None
    """

    product: str
    declared_mg: int | None = None
    rule: str | None = None
    risk: float = RISK
    oven_sd_mg: int | None = None
    batch_size: int | None = None
    week_pieces: int | None = None
    answering: Answering = ON_SCREEN
    home: Path | None = None


def run_target(asked: TargetAsked) -> int:
    """Print the scaling weight for a declared weight.

    Parameters
    ----------
    asked : TargetAsked

    Returns
    -------
    int
        Exit code: 1 where what is set is too light.

    Raises
    ------
    SpecificationError
        If products.toml or what was typed makes no sense, or too little is known.
    JournalError
        If there is a journal that cannot be read.
    """
    home = Home.find(asked.home)
    catalogue = home.catalogue()
    product = catalogue.product(asked.product)
    history = history_of(home, product, now_utc_ms=time.time_ns() // 1_000_000)
    plan = _plan(asked, home, product, history, catalogue.currency)
    asked.answering.give(lambda: target_page(plan), lambda: target_record(plan))
    return 0 if plan.is_enough else BAD_NEWS


def _plan(
    asked: TargetAsked, home: Home, product: Product, history: History, currency: str
) -> TargetPlan:
    require_losses(product, history.loss)
    aiming = Aiming(
        product,
        _weight_g(asked, product),
        rule_for(product, home, asked.rule),
        history,
        risk=asked.risk,
        oven_sd_g=None if asked.oven_sd_mg is None else grams(asked.oven_sd_mg),
        batch_size=asked.batch_size,
    )
    week, week_from = _week(asked, product, history, aiming.weight_g)
    return TargetPlan(
        product=product.name,
        set_g=grams(product.limits.target_mg),
        target=aiming.target(week),
        rule=aiming.rule,
        losses=stages_of(product).loaf,
        own=history.loss.own,
        bench=history.bench,
        evenness=aiming.evenness,
        loaves=history.loaf_spread if aiming.oven_sd_g is None else None,
        oven_sd_g=aiming.oven_sd_g,
        week=week,
        week_from=week_from,
        currency=currency,
        stand_ins=history.stand_ins,
        as_of=history.as_of,
    )


def _weight_g(asked: TargetAsked, product: Product) -> float:
    weight_g = declared_g(product) if asked.declared_mg is None else grams(asked.declared_mg)
    if weight_g is None:
        raise SpecificationError(
            f"'{product.name}' has no declared weight.",
            hint="Give --declared GRAMS, or declared_g in products.toml.",
        )
    return weight_g


def _week(
    asked: TargetAsked, product: Product, history: History, weight_g: float
) -> tuple[Week | None, str]:
    """Return what a week makes of a gram, and where its number comes from."""
    cost, each = product.dough_cost_per_kg, product.sale_price_each
    if cost is None:
        return None, ""
    if asked.week_pieces is not None:
        pieces, said = asked.week_pieces, "as you say"
    elif history.week_pieces:
        pieces, said = history.week_pieces, "counted in the last seven days"
    else:
        pieces, said = PER_THOUSAND, "as an example: give --week PIECES"
    bread = None if each is None else float(each) / weight_g * 1000
    return Week(pieces, float(cost), bread), said
