"""When a pan was emptied, and when what left it is forgotten."""

from __future__ import annotations

from weighstation.detect import Pan
from weighstation.station.bench.left_pan import SHOWN_S, LeftPan, PanNews


def test_a_pan_is_emptied_once_and_what_left_it_forgotten_after_a_moment_once() -> None:
    pan = LeftPan()

    assert PanNews.EMPTIED is pan.follow(Pan.MOVING, Pan.EMPTY, 10.0)
    assert PanNews.NOTHING is pan.follow(Pan.EMPTY, Pan.EMPTY, 10.0 + SHOWN_S)
    assert PanNews.FORGET is pan.follow(Pan.EMPTY, Pan.EMPTY, 10.1 + SHOWN_S)
    assert PanNews.NOTHING is pan.follow(Pan.EMPTY, Pan.EMPTY, 60.0)


def test_what_left_it_is_forgotten_as_soon_as_the_next_load_comes() -> None:
    pan = LeftPan()
    pan.follow(Pan.MOVING, Pan.EMPTY, 10.0)

    assert PanNews.FORGET is pan.follow(Pan.EMPTY, Pan.MOVING, 10.5)
    assert PanNews.NOTHING is pan.follow(Pan.MOVING, Pan.LOADED, 11.0)


def test_a_load_that_stays_is_not_forgotten_by_what_left_before_it() -> None:
    pan = LeftPan()
    pan.follow(Pan.MOVING, Pan.EMPTY, 10.0)
    pan.follow(Pan.EMPTY, Pan.LOADED, 10.5)

    assert PanNews.NOTHING is pan.follow(Pan.LOADED, Pan.LOADED, 60.0)
    assert PanNews.EMPTIED is pan.follow(Pan.LOADED, Pan.EMPTY, 60.1)
