"""Weeks of a simulated bakery, with a cause of give-away and with it taken out."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from decimal import Decimal
from functools import reduce
from typing import TYPE_CHECKING

from weighstation.journal import RunState, Sums, tally_of
from weighstation.report.giveaway import Part, RunRow, part_interval_mg
from weighstation.report.giveaway.parts import given_away
from weighstation.simulate.year import (
    Bakery,
    PieceWeighed,
    RunBegan,
    RunClosed,
    Year,
    YearCauses,
    invented_bakery,
)
from weighstation.specification import Limits

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.journal import PieceFacts

Key = tuple[int, str]
"""A week, from Monday, and a product."""

PLAIN = YearCauses().without(
    "weights_are_typed", "scale_goes_off", "pieces_struck_out", "struck_out_late", "hand_drifts"
)


@dataclass(frozen=True)
class World:
    """A bakery and what is at work in it."""

    bakery: Bakery
    causes: YearCauses

    def weeks(self, seed: int) -> dict[Key, list[RunRow]]:
        """Return the runs of a year by week and product, as a statement reads them."""
        found: defaultdict[Key, list[RunRow]] = defaultdict(list)
        for began, pieces in runs(Year(self.bakery, self.causes, seed=seed)):
            day = datetime.fromtimestamp(began.t_utc_ms / 1000, tz=UTC).toordinal()
            found[(day - 1) // 7, began.product.name].append(row(began, pieces))
        return found


def runs(year: Year) -> Iterator[tuple[RunBegan, list[PieceFacts]]]:
    """Yield each run with its pieces as it closes."""
    going: dict[str, tuple[RunBegan, list[PieceFacts]]] = {}
    for fact in year.facts():
        if isinstance(fact, RunBegan):
            going[fact.run] = fact, []
        elif isinstance(fact, PieceWeighed):
            going[fact.run][1].append(fact.piece)
        elif isinstance(fact, RunClosed):
            yield going.pop(fact.run)


def row(began: RunBegan, pieces: list[PieceFacts]) -> RunRow:
    """Return a run as a statement reads it."""
    target_mg = began.product.limits.target_mg
    state = RunState(began.run, 1, began.product.name, target_mg, began.division_mg, began.t_utc_ms)
    kept = reduce(lambda sums, piece: sums.counted(piece.final_mg - target_mg, 1), pieces, Sums())
    product = replace(began.product, dough_cost_per_kg=Decimal(1))
    return RunRow(replace(state, kept=kept), tally_of(state, pieces), product, "EUR", began.person)


def even_bakery(**habits: float) -> Bakery:
    """Return a bakery whose bands are as wide above as below, and whose people share habits."""
    bakery = invented_bakery()
    people = tuple(replace(each, aims_inside=0.0, **habits) for each in bakery.people)  # type: ignore[arg-type]
    bands = ((920_000, 18_000), (1_195_000, 24_000), (70_000, 4_000))
    products = tuple(
        replace(one, product=replace(one.product, limits=Limits(target, side, side)))
        for one, (target, side) in zip(bakery.products, bands, strict=True)
    )
    return replace(bakery, products=products, people=people)


@dataclass(frozen=True)
class Saved:
    """What a week and a product saved when a cause was taken out, and what its part had said."""

    key: Key
    saved_mg: int
    said_mg: int
    interval_mg: tuple[int, int]

    @property
    def is_covered(self) -> bool:
        """Whether the interval holds what was saved."""
        low, high = self.interval_mg
        return low <= self.saved_mg <= high


def saved(part: Part, with_it: World, without: World, seed: int) -> list[Saved]:
    """Return what each whole week and product saved when a cause was taken out."""
    after = without.weeks(seed)
    found = []
    for key, rows in with_it.weeks(seed).items():
        interval = part_interval_mg(rows, part)
        if interval is None or len(rows) < 6 * len(with_it.bakery.people):
            continue
        said = sum(given_away(each).part(part).mg for each in rows)
        found.append(Saved(key, cost_mg(rows) - cost_mg(after[key]), said, interval))
    return found


def cost_mg(rows: list[RunRow]) -> int:
    """Return what a week gave away in all; at one price a kilogram, that is its cost."""
    return sum(given_away(each).giveaway.mg for each in rows)


BIASED = World(even_bakery(bias=0.006), PLAIN.without("people_differ", "doughs_age"))
UNBIASED = World(even_bakery(bias=0.0), PLAIN.without("people_differ", "doughs_age"))
PEOPLE_BIASED = World(even_bakery(), PLAIN.without("doughs_age"))
PEOPLE_UNBIASED = World(even_bakery(bias=0.0), PLAIN.without("doughs_age"))
BOARDED = World(even_bakery(), PLAIN)
TRIMMED = World(even_bakery(), PLAIN.without("heavy_are_boarded"))

CAUSES = {
    "one bias of all hands": (Part.MEAN_OFF_AIM, BIASED, UNBIASED),
    "a bias of each hand": (Part.MEAN_OFF_AIM, PEOPLE_BIASED, PEOPLE_UNBIASED),
    "heavy pieces boarded": (Part.HEAVY_OUT_OF_BAND, BOARDED, TRIMMED),
}


def resized(world: World, pieces: int) -> World:
    """Return a world in which fewer pieces are divided of each dough."""
    return World(replace(world.bakery, pieces=pieces), world.causes)
