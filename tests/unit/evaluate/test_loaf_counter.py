"""A load that leaves the pan counts as a loaf, unless it cannot be one; then it is asked about."""

from __future__ import annotations

import pytest

from weighstation.evaluate import LoafCounter, Marks
from weighstation.events import (
    Loaf,
    LoafNotCounted,
    LoafOutcome,
    LoafShown,
    LoafVoided,
    LoafWeighed,
    PanLeft,
    Weighing,
    WhyNot,
)

RAW_MG = {1: 735_000, 2: 741_000, 3: 748_000}


def counter(*order: int, before: tuple[Loaf, ...] = ()) -> LoafCounter:
    taken = {loaf.piece: loaf.number for loaf in before if loaf.piece is not None}
    return LoafCounter(RAW_MG, Marks(RAW_MG, taken, order), before, next_number=len(before) + 1)


class Hand:
    """Puts loads on and lifts them off."""

    def __init__(self, loaves: LoafCounter) -> None:
        self.loaves = loaves
        self.visit = 0

    def weigh(self, *levels_g: float, division_mg: int = 1000) -> list[LoafOutcome]:
        self.visit += 1
        found: list[LoafOutcome] = []
        levels_mg = [round(level_g * 1000) for level_g in levels_g]
        for touch, level_mg in enumerate(levels_mg):
            seen = Weighing(self.visit + touch / 10, self.visit, touch, level_mg, firm=True)
            found += self.loaves.feed(seen, division_mg=division_mg)
        touches = len(levels_g) - 1
        left = PanLeft(
            self.visit + 0.9, self.visit, self.visit, levels_mg[0], levels_mg[-1], touches
        )
        return [*found, *self.loaves.feed(left, division_mg=division_mg)]

    def last(self, *levels_g: float) -> LoafOutcome:
        return self.weigh(*levels_g)[-1]


def test_each_load_that_leaves_is_a_loaf() -> None:
    hand = Hand(counter())

    assert [
        LoafShown(1.0, 1, 652_000, firm=True),
        LoafWeighed(Loaf(1, 1.9, 652_000)),
    ] == hand.weigh(652)
    assert LoafWeighed(Loaf(2, 2.9, 648_000)) == hand.last(648)


def test_marked_loaves_are_of_the_pieces_in_their_order() -> None:
    hand = Hand(counter(1, 3))
    shown, weighed = hand.weigh(652)

    assert isinstance(shown, LoafShown)
    assert 1 == shown.piece
    assert [LoafWeighed(Loaf(1, 1.9, 652_000, 1)), LoafWeighed(Loaf(2, 2.9, 655_000, 3))] == [
        weighed,
        hand.last(655),
    ]


@pytest.mark.parametrize(("order", "grams", "raw_g"), [((2,), 246.9, 741), ((), 244.9, 735)])
def test_a_load_below_a_third_of_its_piece_is_asked_about(
    order: tuple[int, ...], grams: float, raw_g: int
) -> None:
    """Of 741 g that is 247 g; without a mark the lightest piece decides, 735 g: 245 g."""
    found = Hand(counter(*order)).last(grams)
    counts = Hand(counter(*order)).last(grams + 0.1)

    assert isinstance(found, LoafNotCounted)
    assert (WhyNot.LIGHT, raw_g * 1000) == (found.why, found.raw_mg)
    assert isinstance(counts, LoafWeighed)


def test_put_on_again_it_counts() -> None:
    hand = Hand(counter(2))
    asked, shown_and_counted = hand.last(200), hand.weigh(201)

    assert isinstance(asked, LoafNotCounted)
    assert LoafShown(2.0, 1, 201_000, firm=True, piece=2) == shown_and_counted[0]
    assert LoafWeighed(Loaf(1, 2.9, 201_000, 2)) == shown_and_counted[1]


def test_another_light_load_is_asked_about_anew() -> None:
    hand = Hand(counter())
    found = [hand.last(grams) for grams in (200, 150, 200, 652, 200)]

    assert [True, True, True, False, True] == [isinstance(one, LoafNotCounted) for one in found]


@pytest.mark.parametrize(
    ("order", "grams", "raw_g"), [((1,), 735, 735), ((), 748, 748), ((), 1304, 748)]
)
def test_what_is_not_less_than_its_dough_is_never_a_loaf(
    order: tuple[int, ...], grams: float, raw_g: int
) -> None:
    hand = Hand(counter(*order))
    found = [hand.last(grams), hand.last(grams)]

    assert [(WhyNot.HEAVY, raw_g * 1000)] * 2 == [
        (one.why, one.raw_mg) for one in found if isinstance(one, LoafNotCounted)
    ]


def test_a_loaf_that_another_was_laid_beside_is_not_counted() -> None:
    """The first lifted off from beside the second once left nothing but the second's weight."""
    hand = Hand(counter())

    for levels in ((652, 1304, 652), (652, 1304, 650), (652, 635), (400, 652)):
        found = hand.last(*levels)
        assert isinstance(found, LoafNotCounted)
        assert found.why is WhyNot.CHANGED


def test_a_loaf_that_a_hand_has_touched_counts() -> None:
    assert isinstance(Hand(counter()).last(652, 653), LoafWeighed)
    assert isinstance(Hand(counter()).last(652, 665), LoafWeighed)
    roll = LoafCounter({1: 62_000}, Marks([1]))
    assert isinstance(Hand(roll).last(52, 55), LoafWeighed)
    assert isinstance(Hand(roll).last(52, 56), LoafNotCounted)


def test_a_hand_that_rested_on_a_loaf_is_no_change() -> None:
    """Its firm weight is said again within the touch; and a touch may prove to be none."""
    loaves = counter()
    for t_s, touch, net_mg in ((1.0, 0, 731_000), (1.5, 0, 653_000), (2.0, 1, 700_000)):
        loaves.feed(Weighing(t_s, 1, touch, net_mg, firm=True))

    assert [LoafWeighed(Loaf(1, 3.0, 653_000))] == loaves.feed(
        PanLeft(3.0, 1, 0.5, 653_000, 653_000, 0)
    )


def test_what_was_seen_of_a_load_is_forgotten_with_it() -> None:
    loaves = counter()
    hand = Hand(loaves)
    loaves.feed(Weighing(0.5, 1, 0, 1_304_000, firm=True))
    loaves.forget_load()

    assert isinstance(hand.last(652), LoafWeighed)


def test_the_same_is_not_told_twice() -> None:
    loaves = counter()
    tellings = [
        loaves.feed(Weighing(t_s, 1, 0, net_mg, firm=firm))
        for t_s, net_mg, firm in (
            (0.1, 600_000, False),
            (0.2, 600_400, False),
            (0.3, 652_000, False),
            (0.4, 652_000, True),
            (0.5, 652_000, True),
        )
    ]

    assert [1, 0, 1, 1, 0] == [len(told) for told in tellings]


def test_what_will_not_count_is_told_while_it_lies_there() -> None:
    shown, _ = Hand(counter()).weigh(1304)

    assert isinstance(shown, LoafShown)
    assert shown.why_not is WhyNot.HEAVY


def test_the_last_loaf_is_struck_out_and_its_piece_is_free_again() -> None:
    hand = Hand(counter(1, 2))
    hand.weigh(652)
    hand.weigh(655)
    gone = hand.loaves.strike_out(9.0, "so")

    assert LoafVoided(9.0, Loaf(2, 2.9, 655_000, 2), "so") == gone
    assert Loaf(1, 1.9, 652_000, 1) == hand.loaves.last
    assert LoafWeighed(Loaf(3, 3.9, 656_000, 2)) == hand.last(656)


def test_loaves_that_were_weighed_before_can_be_struck_out_too() -> None:
    before = (Loaf(1, 0.0, 652_000, 2),)
    loaves = counter(2, before=before)
    marked = loaves.marks.next
    gone = loaves.strike_out(9.0, "so")

    assert marked is None
    assert LoafVoided(9.0, before[0], "so") == gone
    assert loaves.strike_out(9.0, "so") is None
    assert LoafWeighed(Loaf(2, 1.9, 650_000, 2)) == Hand(loaves).last(650)
