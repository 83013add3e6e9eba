"""Weeks of a simulated bakery, with a cause of give-away and with it taken out."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from decimal import Decimal
from functools import lru_cache, reduce
from typing import TYPE_CHECKING, TypeAlias

from weighstation.journal import RunState, Sums, tally_of
from weighstation.report.giveaway import Part, RunRow, part_interval_mg
from weighstation.report.giveaway.parts import given_away
from weighstation.report.giveaway.ranges import bias_saving_mg, trim_saving_mg
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
    from collections.abc import Callable, Iterable, Iterator

    from weighstation.journal import PieceFacts

Key = tuple[int, str]
"""A week, from Monday, and a product."""
Said: TypeAlias = "tuple[float, tuple[int, int]]"
"""What would be saved, in milligrams, and where that lies."""
Says: TypeAlias = "Callable[[list[RunRow]], Said | None]"

PLAIN = YearCauses().without(
    "weights_are_typed", "scale_goes_off", "pieces_struck_out", "struck_out_late", "hand_drifts"
)


@dataclass(frozen=True)
class World:
    """A bakery and what is at work in it."""

    bakery: Bakery
    causes: YearCauses


@lru_cache(maxsize=2)
def weeks(world: World, seed: int) -> dict[Key, list[RunRow]]:
    """Return the runs of a year by week and product, as a statement reads them."""
    found: defaultdict[Key, list[RunRow]] = defaultdict(list)
    for began, pieces in runs(Year(world.bakery, world.causes, seed=seed)):
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
    kept = _sums(piece.final_mg - target_mg for piece in pieces)
    first = _sums(piece.first_mg - target_mg for piece in pieces if piece.first_mg is not None)
    product = replace(began.product, dough_cost_per_kg=Decimal(1))
    return RunRow(
        replace(state, kept=kept, first=first),
        tally_of(state, pieces),
        product,
        "EUR",
        began.person,
    )


def _sums(each_mg: Iterable[int]) -> Sums:
    return reduce(lambda sums, d_mg: sums.counted(d_mg, 1), each_mg, Sums())


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
    pieces: int
    saved_mg: int
    said_mg: float
    interval_mg: tuple[int, int]

    def holds(self, mg: float) -> bool:
        """Return whether the interval holds a saving."""
        low, high = self.interval_mg
        return low <= mg <= high


def share_covered(found: list[Saved]) -> tuple[float, float]:
    """Return how often intervals hold what their own week saved, and what such a week saves.

    The first is told by the same random numbers with and without the cause; the second by the
    mean of all weeks of that product, for as many pieces.
    """
    rate: dict[str, float] = {}
    for product in {each.key[1] for each in found}:
        of_it = [each for each in found if each.key[1] == product]
        rate[product] = sum(e.saved_mg for e in of_it) / sum(e.pieces for e in of_it)
    own = sum(each.holds(each.saved_mg) for each in found)
    usual = sum(each.holds(rate[each.key[1]] * each.pieces) for each in found)
    return own / len(found), usual / len(found)


def by_part(part: Part) -> Says:
    """Return what a part of the give-away says of a week and a product."""

    def says(rows: list[RunRow]) -> Said | None:
        interval = part_interval_mg(rows, part)
        said_mg = sum(given_away(each).part(part).mg for each in rows)
        return None if interval is None else (said_mg, interval)

    return says


def by_change(rows: list[RunRow]) -> Said | None:
    """Return what cutting on the scaling weight is said to save."""
    return bias_saving_mg(rows)


def by_trimming(rows: list[RunRow]) -> Said | None:
    """Return what trimming every heavy piece is said to save."""
    said_mg, interval = trim_saving_mg(rows)
    return None if interval is None else (said_mg, interval)


def saved(says: Says, with_it: World, without: World, seed: int) -> list[Saved]:
    """Return what each whole week and product saved when a cause was taken out."""
    after = weeks(without, seed)
    found = []
    for key, rows in weeks(with_it, seed).items():
        said = says(rows)
        if said is None or len(rows) < 6 * len(with_it.bakery.people):
            continue
        pieces = sum(each.state.kept.n for each in rows)
        found.append(Saved(key, pieces, cost_mg(rows) - cost_mg(after[key]), *said))
    return found


def cost_mg(rows: list[RunRow]) -> int:
    """Return what a week gave away in all; at one price a kilogram, that is its cost."""
    return sum(given_away(each).giveaway.mg for each in rows)


BIASED = World(even_bakery(bias=0.006), PLAIN.without("people_differ", "doughs_age"))
UNBIASED = World(even_bakery(bias=0.0), PLAIN.without("people_differ", "doughs_age"))
PEOPLE_BIASED = World(even_bakery(), PLAIN.without("doughs_age"))
PEOPLE_UNBIASED = World(even_bakery(bias=0.0), PLAIN.without("doughs_age"))
BOARDED = World(invented_bakery(), PLAIN)
TRIMMED = World(invented_bakery(), PLAIN.without("heavy_are_boarded"))

CAUSES: dict[str, tuple[Says, World, World]] = {
    "one bias of all hands, its part": (by_part(Part.MEAN_OFF_AIM), BIASED, UNBIASED),
    "one bias of all hands": (by_change, BIASED, UNBIASED),
    "a bias of each hand, its part": (by_part(Part.MEAN_OFF_AIM), PEOPLE_BIASED, PEOPLE_UNBIASED),
    "a bias of each hand": (by_change, PEOPLE_BIASED, PEOPLE_UNBIASED),
    "heavy pieces boarded, their part": (by_part(Part.HEAVY_OUT_OF_BAND), BOARDED, TRIMMED),
    "heavy pieces boarded": (by_trimming, BOARDED, TRIMMED),
}


def resized(world: World, pieces: int, boarded: float) -> World:
    """Return a world in which other numbers of pieces are divided of each dough, and boarded."""
    return World(replace(world.bakery, pieces=pieces, boarded_anyway=boarded), world.causes)


def of_size(name: str, pieces: int, *, boarded: float = 0.01) -> tuple[Says, World, World]:
    """Return what says a cause's saving, and its worlds, with so many pieces to a dough.

    Of those out of the band a share is boarded: of few pieces many weeks have none.
    """
    says, with_it, without = CAUSES[name]
    return says, resized(with_it, pieces, boarded), resized(without, pieces, boarded)
