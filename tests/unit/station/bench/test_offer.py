"""What would use up the dough is offered after each piece, and the band stays as it is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.journal import RunState, Sums
from weighstation.specification import Limits
from weighstation.station.bench.offer import DoughToDivide, Offer, Offers

LIMITS = Limits(909_000, 9_090, 9_090)
NO_PIECE = RunState("r1", 1, "Country loaf", 909_000, 1000, 0)
DOUGH_MG = 44_180_000


def after(n: int, mean_g: int) -> RunState:
    off_mg = mean_g * 1000 - 909_000
    return replace(NO_PIECE, kept=Sums(n, n * off_mg, n * off_mg**2, 0))


def offered(n: int, mean_g: int, *, pieces: int = 48, floor_g: float = 0.0) -> Offer:
    found = Offers(LIMITS, DoughToDivide(DOUGH_MG, pieces, floor_g)).feed(after(n, mean_g), 1000)
    assert found is not None
    return found


def test_worked_retarget_comes_out() -> None:
    """44,180 g for 48: after 20 pieces of 924 g on average, 25,700 g for 28, which is 917.9 g. The
    rule is common practice, no source; own arithmetic.
    """
    found = offered(20, 924)

    assert 25_700_000 == found.dough_left_mg
    assert (28, 918_000, 0) == (
        found.planned.pieces,
        found.planned.target_mg,
        found.planned.left_mg,
    )
    assert "Offer: aim 918 g from here: the dough comes out even." == found.text(1000)


def test_dough_that_was_weighed_back_is_what_is_left() -> None:
    """24,948 g are left after 20 pieces, where 25,700 g should be: what went astray is not there
    to be shared out.
    """
    offers = Offers(LIMITS, DoughToDivide(DOUGH_MG, 48))
    offers.weighed_back(24_948_000, after(20, 924))
    found = offers.feed(after(21, 924), 1000)

    assert found is not None
    assert 24_948_000 - 924_000 == found.dough_left_mg
    assert (27, 900_000) == (found.planned.pieces, found.planned.target_mg)


def test_another_number_is_offered_where_it_leaves_less() -> None:
    found = offered(1, 909)

    assert found.instead is not None
    assert (48, 0) == (found.instead.pieces, found.instead.left_mg)
    assert "Offer: 49 pieces, not 48, and aim 901 g from here: the dough comes out even." == (
        found.text(1000)
    )


def test_no_offer_goes_below_the_floor() -> None:
    """At 909 g flat there are 48; the 49 of 901.6 g would be short of what the floor keeps."""
    found = offered(1, 909, floor_g=908.5)

    assert None is found.instead
    assert (47, 918_000) == (found.planned.pieces, found.planned.target_mg)
    assert found.text(1000).endswith("aim 918 g from here: 125 g left over.")


def test_the_offer_lies_on_the_division_and_in_the_band() -> None:
    """A band up to 918.09 g ends at 918 on a scale of 1 g, and at 915 on one of 5 g."""
    coarse = Offers(LIMITS, DoughToDivide(DOUGH_MG, 48, 908.5)).feed(after(1, 909), 5000)

    assert coarse is not None
    assert 915_000 == coarse.planned.target_mg


def test_dough_that_is_missing_is_said() -> None:
    found = offered(20, 915, pieces=49)
    short = offered(47, 939)

    assert found.instead is not None
    assert 28 == found.instead.pieces
    assert "Offer: stop at 47 pieces, not 48: 47 g left over." == short.text(1000)


def test_more_than_there_was_counts() -> None:
    found = offered(40, 1200)

    assert -3_820_000 == found.dough_left_mg
    assert "Offer: stop at 40 pieces, not 48: 0 g left over." == found.text(1000)


def test_on_course_nothing_is_offered() -> None:
    offers = Offers(LIMITS, DoughToDivide(48 * 909_000, 48))
    found = offers.feed(after(20, 909), 1000)

    assert found is not None
    assert found.is_on_course
    assert "" == offers.line


def test_that_one_piece_less_is_to_come_is_no_news() -> None:
    offers = Offers(LIMITS, DoughToDivide(48 * 912_000, 48))
    first, second = (offers.feed(after(n, 912), 1000) for n in (1, 2))
    third = offers.feed(after(3, 905), 1000)

    assert first is not None
    assert None is second
    assert "Offer: aim 912 g from here: the dough comes out even." == offers.line
    assert None is third


def test_the_last_piece_ends_the_offer() -> None:
    offers = Offers(LIMITS, DoughToDivide(DOUGH_MG, 2))
    offers.feed(after(1, 909), 1000)
    with_one_to_come = offers.line
    at_the_end = offers.feed(after(2, 909), 1000)

    assert with_one_to_come
    assert (None, "") == (at_the_end, offers.line)


@pytest.mark.parametrize("n", range(1, 48))
@pytest.mark.parametrize("mean_g", [890, 905, 917, 930])
def test_a_line_fits_the_panel(n: int, mean_g: int) -> None:
    for pieces in (48, 49):
        text = offered(n, mean_g, pieces=pieces).text(1000)

        assert len(text) <= 76


def test_a_few_grams_are_no_occasion_for_an_offer() -> None:
    offers = Offers(LIMITS, DoughToDivide(48 * 909_000 - 28_000, 48, 909.0))
    found = offers.feed(after(1, 909), 1000)

    assert found is not None
    assert (-28_000, True, "") == (found.planned.left_mg, found.is_on_course, offers.line)
