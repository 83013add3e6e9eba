"""How far weights are moved, and what becomes of the rest."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from weighstation.errors import SpecificationError
from weighstation.plan import Choice, Room, Use
from weighstation.specification import Catalogue, Limits, Product
from weighstation.station.commands.planning.dough import room_of
from weighstation.station.commands.planning.leftovers import Leftovers, smaller_goods

LOAF = Product("Loaf", Limits(909_000, 9_000, 9_000), dough="white")
ROLL = Product("Roll", Limits(60_000, 2_000, 2_000), dough="White")
BUN = Product("Bun", Limits(90_000, 2_000, 2_000), dough="white")
RYE = Product("Rye roll", Limits(50_000, 2_000, 2_000), dough="rye")
SHOP = Catalogue("EUR", (LOAF, ROLL, BUN, RYE))


def test_the_band_is_the_room_and_the_floor_its_lower_end() -> None:
    assert Room(909, 9, 9, 0) == room_of(LOAF, 0)
    assert 905 == room_of(LOAF, 905).lowest_g


def test_a_floor_above_what_is_set_stands_for_it_and_the_band_ends_where_it_did() -> None:
    room = room_of(LOAF, 912)

    assert (912, 912, 918) == (room.scaling_g, room.lowest_g, room.highest_g)


def test_a_floor_beyond_the_band_is_refused() -> None:
    with pytest.raises(SpecificationError, match="The band of 'Loaf' ends at 918 g"):
        room_of(LOAF, 918.5)


def test_smaller_goods_are_of_the_same_dough() -> None:
    assert (ROLL, BUN) == smaller_goods(SHOP, [LOAF])
    assert () == smaller_goods(SHOP, [LOAF, ROLL])
    assert () == smaller_goods(SHOP, [replace(LOAF, dough=None)])


@pytest.mark.parametrize(
    ("rest_g", "name"), [(548, "Bun"), (450, "Bun"), (180, "Bun"), (59, ""), (75, "Roll")]
)
def test_the_goods_that_leave_the_least_are_made_of_the_rest(rest_g: float, name: str) -> None:
    rest = Leftovers(LOAF, (ROLL, BUN), None)

    assert name == rest.smaller_of(Choice(1, 909, rest_g, 909))


def test_without_a_next_mix_nothing_is_held_back_and_without_a_price_nothing_is_priced() -> None:
    choice = Choice(48, 909, 548, 920.4)
    bare = Leftovers(LOAF, (), None).uses(choice, over_g=9)
    priced = Leftovers(replace(LOAF, dough_cost_per_kg=Decimal("0.5")), (ROLL,), 5000).uses(
        choice, over_g=0
    )

    assert [(Use.SPREAD, None), (Use.TEST, None)] == [(use.use, use.money) for use in bare]
    assert [Use.SMALLER, Use.HELD, Use.TEST] == [use.use for use in priced]
    assert [0.27, 0.25, 0.274] == [round(use.money or 0, 6) for use in priced]
