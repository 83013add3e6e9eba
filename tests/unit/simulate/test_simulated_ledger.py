"""The truth as it is written down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.simulate.ledger import Fate, Ledger

if TYPE_CHECKING:
    from collections.abc import Callable


def _brought_back() -> Ledger:
    ledger = Ledger()
    steps: tuple[tuple[float, Callable[[], None]], ...] = (
        (1.0, lambda: ledger.placed(760.0)),
        (1.4, ledger.rest_begins),
        (2.9, ledger.rest_ends),
        (3.0, ledger.left),
        (5.0, lambda: ledger.placed(752.0, again=True)),
        (5.3, ledger.rest_begins),
        (6.8, ledger.rest_ends),
        (7.2, lambda: ledger.touched(741.0)),
        (7.3, ledger.rest_begins),
        (8.8, ledger.rest_ends),
        (9.0, lambda: ledger.left(Fate.KEPT)),
    )
    for now_s, step in steps:
        ledger.now_s = now_s
        step()
    return ledger


def test_a_piece_brought_back_is_one_piece_and_two_loads() -> None:
    truth = _brought_back().truth()
    piece = {
        "number": 1,
        "first_g": 760.0,
        "final_g": 741.0,
        "touches": 2,
        "placed_s": 1.0,
        "left_s": 9.0,
        "fate": "kept",
    }

    assert [piece] == truth["pieces"]
    assert [(1, 1, 0), (2, 1, 1)] == [
        (load["visit"], load["piece"], load["touches"]) for load in truth["loads"]
    ]
    assert [(1, 0, 760.0), (2, 0, 752.0), (2, 1, 741.0)] == [
        (rest["visit"], rest["touch"], rest["net_g"]) for rest in truth["rests"]
    ]


def test_a_mark_counts_only_when_it_comes_up_within_the_rest() -> None:
    ledger = Ledger(now_s=1.0)
    ledger.line_sent(0.5, 0.51, came_up=True)
    ledger.placed(740.0)
    ledger.now_s = 2.0
    ledger.rest_begins()
    ledger.line_sent(1.95, 1.96, came_up=True)
    ledger.line_sent(2.5, 2.51, came_up=False)
    ledger.line_sent(3.0, 3.01, came_up=True)
    ledger.line_sent(3.4, 3.41, came_up=True)
    ledger.now_s = 3.5
    ledger.rest_ends()

    assert [3.01] == [rest["mark_s"] for rest in ledger.truth()["rests"]]


def test_what_is_not_over_is_not_in_the_truth() -> None:
    ledger = Ledger(now_s=1.0)
    ledger.placed(740.0)
    ledger.rest_begins()
    truth = ledger.truth()

    assert ([], [], []) == (truth["pieces"], truth["loads"], truth["rests"])


def test_a_ledger_of_days_stays_small() -> None:
    ledger = Ledger()
    for _ in range(5000):
        ledger.placed(740.0)
        ledger.left(Fate.KEPT)

    assert ledger.pieces == 5000
    assert len(ledger.truth()["pieces"]) == 2000
