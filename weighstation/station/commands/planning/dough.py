"""``plan dough``: dough on hand -> pieces, the weight that uses it all, and what is left over."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import (
    Choice,
    Room,
    Short,
    Wanted,
    formula,
    given,
    share_out,
    split,
)
from weighstation.quantities import grams
from weighstation.report.plans.dough import Cut, Dividing, DoughPlan, dough_page, dough_record
from weighstation.station.commands.planning.aiming import floor_g
from weighstation.station.commands.planning.history import history_of
from weighstation.station.commands.planning.leftovers import Leftovers, smaller_goods
from weighstation.station.commands.planning.shop import (
    bakes_to_g,
    by_dough,
    changeovers,
    declared_g,
    refuse_too_much,
)
from weighstation.station.commands.planning.words import asked_from
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.answering import ON_SCREEN, Answering
from weighstation.station.commands.terminal.options import refuse_too_little

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from weighstation.plan import KnownLoss
    from weighstation.specification import Catalogue, Product
    from weighstation.station.commands.planning.words import Asked


@dataclass(frozen=True, slots=True)
class DoughAsked:
    """The words of ``plan dough``.

    Parameters
    ----------
    dough_mg : int, milligrams
        On the bench.
    products : tuple of str
        Each ``NAME`` or ``NAME=PIECES``.
    next_flour_mg : int, milligrams, or None
        Flour of the next mix of this dough; None takes it to be as large as this one.
    answering : Answering
    home : Path or None
    """

    dough_mg: int
    products: tuple[str, ...]
    next_flour_mg: int | None = None
    answering: Answering = ON_SCREEN
    home: Path | None = None


@dataclass(frozen=True, slots=True)
class Kind:
    """A product that is to be cut, how far its weight may be moved, and what it loses.

    Parameters
    ----------
    asked : Asked
    room : Room
    floor_g : float, grams
    loss : KnownLoss
    """

    asked: Asked
    room: Room
    floor_g: float
    loss: KnownLoss

    @property
    def product(self) -> Product:
        """The product."""
        return self.asked.product


@dataclass(frozen=True, slots=True)
class _Found:
    """Ways to divide a dough, each with what it leaves, and the count that is out of reach."""

    ways: tuple[tuple[tuple[Cut, ...], Choice], ...]
    short: Short | None = None
    is_proven: bool = True


def run_dough(asked: DoughAsked) -> int:
    """Print what a dough makes.

    Parameters
    ----------
    asked : DoughAsked

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If products.toml or what was typed makes no sense, the products share no dough, or it is
        too little.
    JournalError
        If there is a journal that cannot be read.
    """
    home = Home.find(asked.home)
    catalogue = home.catalogue()
    group = _of_one_dough(asked_from(asked.products, catalogue))
    least_mg = min(each.product.limits.target_mg for each in group)
    refuse_too_little(asked.dough_mg, least_mg, "The dough")
    refuse_too_much(grams(asked.dough_mg), catalogue, "The dough")
    kinds = [_kind(each, home) for each in group]
    plan = _plan(asked, kinds, catalogue)
    asked.answering.give(lambda: dough_page(plan), lambda: dough_record(plan))
    return 0


def _of_one_dough(asked: Sequence[Asked]) -> tuple[Asked, ...]:
    groups = by_dough(asked)
    if len(groups) > 1:
        first, second = (group[0].product.name for group in groups[:2])
        raise SpecificationError(
            f"'{first}' and '{second}' are not of one dough.",
            hint="Give both the same dough in products.toml, or plan each by itself.",
        )
    return groups[0]


def _kind(asked: Asked, home: Home) -> Kind:
    product = asked.product
    history = history_of(home, product, now_utc_ms=time.time_ns() // 1_000_000)
    floor = floor_g(product, home, history)
    return Kind(asked, room_of(product, floor), floor, history.loss)


def room_of(product: Product, floor_g: float) -> Room:
    """Return how far the scaling weight of a product may be moved.

    Parameters
    ----------
    product : Product
    floor_g : float, grams
        What its declared weight asks for; where that is more than what is set, it stands for it.

    Returns
    -------
    Room
        Its ends are those of the band, the lower one not below the floor.

    Raises
    ------
    SpecificationError
        If no weight in the band is enough.
    """
    limits = product.limits
    set_g, under_g, over_g = map(grams, (limits.target_mg, limits.under_mg, limits.over_mg))
    if floor_g <= set_g:
        return Room(set_g, under_g, over_g, floor_g)
    if floor_g > set_g + over_g:
        raise SpecificationError(
            f"The band of '{product.name}' ends at {given.plain(set_g + over_g)} g, and its"
            f" declared weight takes {given.plain(floor_g)} g.",
            hint="See 'weighstation plan target', and set another scaling weight.",
        )
    return Room(floor_g, 0.0, set_g + over_g - floor_g, floor_g)


def _plan(asked: DoughAsked, kinds: Sequence[Kind], catalogue: Catalogue) -> DoughPlan:
    dough_g = grams(asked.dough_mg)
    found = _one(dough_g, kinds[0]) if len(kinds) == 1 else _several(dough_g, kinds)
    rest = Leftovers(
        product=kinds[0].product,
        smaller=smaller_goods(catalogue, [kind.product for kind in kinds]),
        next_flour_g=_next_flour_g(asked, kinds[0].product),
    )
    over_g = kinds[0].room.over_g if len(kinds) == 1 else 0.0  # moved as far as it goes already
    ways = tuple(
        Dividing(
            cuts=each,
            left_g=choice.rest_g,
            spread_g=choice.spread_g,
            uses=rest.uses(choice, over_g=over_g),
            smaller=rest.smaller_of(choice),
        )
        for each, choice in found.ways
    )
    return DoughPlan(
        dough_g=dough_g,
        ways=ways,
        best=_best(kinds, [choice for _, choice in found.ways]),
        short=found.short,
        currency=catalogue.currency,
        cautions=tuple(_cautions(kinds, found)),
    )


def _one(dough_g: float, kind: Kind) -> _Found:
    room = kind.room
    found = split(
        dough_g,
        room.scaling_g,
        under_g=room.under_g,
        over_g=room.over_g,
        floor_g=kind.floor_g,
    )
    ways = [((_cut(kind, each.pieces, each.scaling_g),), each) for each in found.choices]
    return _Found(tuple(ways), found.short)


def _several(dough_g: float, kinds: Sequence[Kind]) -> _Found:
    by_name = {kind.product.name: kind for kind in kinds}
    shares = share_out(
        dough_g, (Wanted(kind.product.name, kind.room, kind.asked.pieces or 0) for kind in kinds)
    )
    cuts = tuple(
        _cut(by_name[portion.name], portion.pieces, portion.scaling_g)
        for portion in shares.portions
        if portion.pieces
    )
    if not cuts:
        raise SpecificationError(
            f"{given.plain(dough_g)} g of dough make no piece of these.",
            hint="Weigh the dough again, or choose smaller goods.",
        )
    pieces = sum(cut.pieces for cut in cuts)
    choice = Choice(pieces, cuts[-1].scaling_g, shares.rest_g, dough_g / pieces)
    return _Found(((cuts, choice),), is_proven=shares.is_proven)


def _cut(kind: Kind, pieces: int, scaling_g: float) -> Cut:
    product, limits = kind.product, kind.product.limits
    return Cut(
        name=product.name,
        pieces=pieces,
        ordered=kind.asked.pieces,
        scaling_g=scaling_g,
        set_g=grams(limits.target_mg),
        band_g=(
            grams(limits.target_mg - limits.under_mg),
            grams(limits.target_mg + limits.over_mg),
        ),
        baked_g=bakes_to_g(kind.loss, scaling_g),
        declared_g=declared_g(product),
    )


def _next_flour_g(asked: DoughAsked, product: Product) -> float | None:
    """Return the flour of the next mix, which is as large as this one where nobody says."""
    if asked.next_flour_mg is not None:
        return grams(asked.next_flour_mg)
    if product.formula is None:
        return None
    made = formula(
        product.formula.percentages, grams(asked.dough_mg), flours=product.formula.flours
    )
    return made.flour_g


def _best(kinds: Sequence[Kind], choices: Sequence[Choice]) -> int:
    """Return the choice that meets the order and leaves the least, moved the least."""
    ordered, set_g = kinds[0].asked.pieces or 0, kinds[0].room.scaling_g
    meeting = [place for place, choice in enumerate(choices) if choice.pieces >= ordered]
    if len(kinds) == 1 and not meeting:
        raise SpecificationError(
            f"{ordered} of '{kinds[0].product.name}' are ordered, and the dough makes"
            f" {choices[-1].pieces}.",
            hint="Make more dough, or fewer pieces.",
        )
    places = meeting or [0]
    return min(places, key=lambda at: (choices[at].rest_g, abs(choices[at].scaling_g - set_g)))


def _cautions(kinds: Sequence[Kind], found: _Found) -> Iterator[str]:
    if not found.is_proven:
        yield "The search was cut short: other counts may leave less."
    for kind in kinds:
        limits, product = kind.product.limits, kind.product
        set_g = grams(limits.target_mg)
        if kind.floor_g > set_g:
            yield (
                f"'{product.name}' is set to {given.plain(set_g)} g, and its declared weight takes"
                f" {given.plain(kind.floor_g)} g: nothing lighter is planned. See 'weighstation"
                " plan target'."
            )
        elif kind.floor_g > set_g - grams(limits.under_mg):
            yield (
                f"Nothing below {given.plain(kind.floor_g)} g is planned of '{product.name}', as"
                " its loaves would be short of what is declared."
            )
    yield from changeovers([kind.product for kind in kinds])
