"""The book of loads: levels in, what is said of a load out."""

from __future__ import annotations

import pytest
from pan_scripts import Said, said

from weighstation.detect.loads import Loads
from weighstation.detect.settling import Settler


class Book:
    """A book whose motions are given as text, in grams at ten readings a second."""

    def __init__(self, *, base_g: float = 0.0) -> None:
        self.settler = Settler()
        self.loads = Loads(self.settler)
        self.loads.base_mg = base_g * 1000
        self.t_s = 0.0

    def move(self, script: str) -> None:
        """Show a motion; its first word is the level that was left."""
        first, *rest = (float(word) * 1000 for word in script.split())
        self.settler.start(self.t_s, first)
        for y_mg in rest:
            self.t_s += 0.1
            self.settler.motion.add(self.t_s, y_mg)

    def arrive(self, grams: float) -> list[Said]:
        self.t_s += 1.0
        self.loads.arrive(self.t_s)
        return [said(item) for item in self.loads.settle(grams * 1000, self.t_s)]

    def rest(self, script: str) -> list[Said]:
        """Come to rest at the last reading of a motion."""
        self.move(script)
        level_mg = float(script.rsplit(maxsplit=1)[-1]) * 1000
        return [said(item) for item in self.loads.settle_again(level_mg, self.t_s)]

    def leave(self) -> Said:
        return said(self.loads.leave(self.t_s + 0.5))


def test_a_net_weight_is_a_difference_of_two_levels() -> None:
    book = Book(base_g=3.0)

    assert [("firm", 1, 0, 752.0)] == book.arrive(755.0)
    assert ("left", 1, 752.0, 752.0, 0) == book.leave()


def test_net_weights_stand_on_the_division() -> None:
    """A level is a mean of readings; what is said is what a scale could show."""
    book = Book(base_g=0.4)

    assert [("firm", 1, 0, 752.0)] == book.arrive(752.6)


@pytest.mark.parametrize(
    ("motion", "events"),
    [
        ("752 900 760 741 741", [("firm", 1, 1, 741.0)]),  # trimmed
        ("752 600 800 763 763", [("firm", 1, 1, 763.0)]),  # a bit was added
        ("752 757 751 752 752", []),  # a knock
        ("752 754 753 753", []),  # flicker, though a division away
        ("752 900 700 752 752", []),  # pressed and let go
        ("752 900 760 751 751", [("firm", 1, 1, 751.0)]),  # a crumb, with a hand on it
    ],
)
def test_a_changed_level_is_a_touch(motion: str, events: list[Said]) -> None:
    book = Book()
    book.arrive(752.0)
    book.t_s += 5.0  # long after any hand that came with it

    assert events == book.rest(motion)


def test_a_hand_that_came_with_the_piece_and_goes_soon_was_no_touch() -> None:
    book = Book()
    book.arrive(790.0)

    assert [("firm", 1, 0, 752.0)] == book.rest("790 770 755 752 752")
    assert book.settler.patience.extra == 1
    assert ("left", 1, 752.0, 752.0, 0) == book.leave()


def test_the_same_fall_much_later_is_a_touch() -> None:
    book = Book()
    book.arrive(790.0)
    book.t_s += 2.0

    assert [("firm", 1, 1, 752.0)] == book.rest("790 770 755 752 752")
    assert book.settler.patience.extra == 0
    assert ("left", 1, 790.0, 752.0, 1) == book.leave()


def test_a_hand_that_goes_after_a_touch_corrects_the_touch_and_not_the_first_weight() -> None:
    book = Book()
    book.arrive(752.0)
    book.t_s += 5.0
    book.rest("752 900 800 771 771")

    assert [("firm", 1, 1, 741.0)] == book.rest("771 760 743 741 741")
    assert ("left", 1, 752.0, 741.0, 1) == book.leave()


def test_nothing_is_said_twice() -> None:
    book = Book()
    book.arrive(752.0)

    assert book.loads.say(9.0, 0, 752_300.0, firm=True) == ()
    assert len(book.loads.say(9.0, 0, 752_300.0, firm=False)) == 1
    assert len(book.loads.say(9.1, 0, 753_300.0, firm=False)) == 1


def test_a_tare_moves_levels_and_no_weight() -> None:
    book = Book()
    book.arrive(752.0)
    book.loads.shift(-752_000.0)

    assert book.loads.net_mg == 752_000.0
    assert ("left", 1, 752.0, 752.0, 0) == book.leave()


def test_loads_are_numbered_from_1_and_one_that_was_none_gives_its_number_back() -> None:
    book = Book()
    book.loads.arrive(1.0)
    book.loads.cancel()

    assert [("firm", 1, 0, 300.0)] == book.arrive(300.0)

    book.leave()

    assert [("firm", 2, 0, 310.0)] == book.arrive(310.0)


def test_a_glimpse_counts_as_the_weight_and_as_a_touch() -> None:
    book = Book()
    book.arrive(752.0)
    book.loads.take_glimpse(741_000.0)

    assert ("left", 1, 752.0, 741.0, 1) == book.leave()


def test_times_of_a_load() -> None:
    book = Book()
    book.arrive(752.0)
    left = book.loads.leave(4.5)

    assert (1.0, 4.5) == (left.placed_s, left.t_s)
