"""Of a pair on the pan only the one piece that stays counts, with its own facts."""

from __future__ import annotations

import pytest

from weighstation.evaluate.load import Load, Rest, arrived, left, stay_of, weighed
from weighstation.events import PanLeft, Weighing
from weighstation.specification import Limits

LIMITS = Limits(740_000, 8_000, 8_000)


def lying(*weights_g: int) -> Load:
    rests = tuple(Rest(touch, 10.0 + touch, grams * 1000) for touch, grams in enumerate(weights_g))
    return Load(1, 10.0, rests)


@pytest.mark.parametrize(
    ("weights_g", "first_g", "last_g", "touches", "bits"),
    [
        ((745,), 745, 745, 0, 0),
        ((760, 742), 760, 742, 1, 0),
        ((700, 720, 735), 700, 735, 2, 2),
        ((700, 760, 741), 700, 741, 2, 1),
        # two laid down together, one taken off
        ((1480, 745), 745, 745, 0, 0),
        ((1480, 760, 741), 760, 741, 1, 0),
        # a second one laid beside it and taken off again
        ((745, 1482, 745), 745, 745, 0, 0),
        ((760, 1500, 760, 742), 760, 742, 1, 0),
        ((760, 1500, 761), 760, 761, 0, 0),
        # the second one stays and the first one goes
        ((745, 1500, 755), 755, 755, 0, 0),
        ((745, 1500, 755, 741), 755, 741, 1, 0),
    ],
)
def test_the_piece_that_stays_has_its_own_facts(
    weights_g: tuple[int, ...], first_g: int, last_g: int, touches: int, bits: int
) -> None:
    stay = stay_of(lying(*weights_g), LIMITS, division_mg=1000)

    assert stay.alone
    assert (first_g * 1000, last_g * 1000) == (stay.first_mg, stay.last_mg)
    assert (touches, bits) == (stay.touches, stay.bits)


@pytest.mark.parametrize(
    ("weights_g", "known"), [((1480,), False), ((745, 1480), True), ((1480, 745, 1490), True)]
)
def test_a_pair_is_not_one_piece(weights_g: tuple[int, ...], known: bool) -> None:
    stay = stay_of(lying(*weights_g), LIMITS, division_mg=1000)

    assert (False, known) == (stay.alone, stay.known)


def test_a_piece_taken_off_from_beside_another_is_not_forgotten() -> None:
    stay = stay_of(lying(760, 742, 1500, 758), LIMITS, division_mg=1000)

    (gone,) = stay.departed

    assert (gone.first_mg, gone.last_mg, gone.touches) == (760_000, 742_000, 1)
    assert (gone.came_s, gone.left_s) == (10.0, 13.0)
    assert stay.came_s == 12.0


def test_pieces_swapped_one_after_the_other_are_all_remembered() -> None:
    stay = stay_of(lying(742, 1500, 758, 1490, 732), LIMITS, division_mg=1000)

    assert [gone.last_mg for gone in stay.departed] == [742_000, 758_000]
    assert stay.first_mg == 732_000


def test_when_both_fit_the_piece_that_lay_there_is_taken_to_stay() -> None:
    stay = stay_of(lying(741, 1482, 740), LIMITS, division_mg=1000)

    assert stay.departed == ()
    assert stay.first_mg == 741_000


def test_a_later_weighing_of_the_same_touch_replaces_the_earlier_one() -> None:
    load = arrived(Weighing(1.0, 1, 0, 752_000, firm=False))

    load = weighed(load, Weighing(1.3, 1, 0, 750_000, firm=True))
    load = weighed(load, Weighing(2.0, 1, 1, 741_000, firm=False))

    assert load.rests == (Rest(0, 1.0, 750_000), Rest(1, 2.0, 741_000))


def test_a_touch_that_turns_out_to_be_none_is_forgotten() -> None:
    load = arrived(Weighing(1.0, 1, 0, 742_000, firm=False))
    load = weighed(load, Weighing(2.0, 1, 1, 900_000, firm=False))

    load = weighed(load, Weighing(2.5, 1, 0, 742_000, firm=True))

    assert load.rests == (Rest(0, 1.0, 742_000),)


def test_the_leaving_is_believed_more_than_the_weighings() -> None:
    load = arrived(Weighing(1.0, 1, 0, 752_000, firm=False))
    load = weighed(load, Weighing(2.0, 1, 1, 745_000, firm=False))
    load = weighed(load, Weighing(3.0, 1, 2, 700_000, firm=False))

    load = left(load, PanLeft(4.0, 1, 0.6, 751_000, 744_000, 1))

    assert load.rests == (Rest(0, 0.6, 751_000), Rest(1, 2.0, 744_000))


def test_a_load_that_was_never_weighed_is_known_by_its_leaving() -> None:
    load = left(None, PanLeft(4.0, 3, 0.6, 751_000, 744_000, 2))

    stay = stay_of(load, LIMITS, division_mg=1000)

    assert (stay.first_mg, stay.last_mg, stay.touches) == (751_000, 744_000, 2)


def test_creep_without_a_touch_is_no_extra_bit() -> None:
    load = left(None, PanLeft(4.0, 1, 0.6, 740_000, 741_000, 0))

    stay = stay_of(load, LIMITS, division_mg=1000)

    assert (stay.touches, stay.bits) == (0, 0)
    assert (stay.first_mg, stay.last_mg) == (740_000, 741_000)
