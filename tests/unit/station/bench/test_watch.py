"""What the first cuts of a batch are watched with."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.events import Piece, Verdict
from weighstation.journal import RunState, Sums
from weighstation.specification import Limits
from weighstation.station.bench.watch import ENOUGH_CUTS, SHOWN_PIECES, Watch, usual_spread_mg

LIMITS = Limits(740_000, 8_000, 8_000)


def piece(number: int, first_g: int) -> Piece:
    return Piece(number, 9.0 * number, 9.0 * number - 4, first_g * 1000, 740_000, 0, Verdict.KEEP)


def fed(watch: Watch, first_g: list[int], start: int = 1) -> list[int]:
    return [
        number
        for number, grams in enumerate(first_g, start)
        if watch.feed(piece(number, grams), 1000)
    ]


def test_a_known_spread_is_watched_from_the_first_piece() -> None:
    known, learned = Watch(LIMITS, spread_mg=8000), Watch(LIMITS)
    rung = fed(known, [752] * 10)

    assert rung
    assert [] == fed(learned, [752] * 10)
    assert known.line == f"Pieces 1 to {rung[0]} were cut 12 g too heavy: cut smaller."


def test_light_cuts_are_told_to_be_cut_larger() -> None:
    watch = Watch(LIMITS, spread_mg=8000)
    fed(watch, [728] * 9)

    assert watch.line.endswith("12 g too light: cut larger.")


def test_one_piece_far_off_is_told_as_one() -> None:
    watch = Watch(LIMITS, spread_mg=2000)

    assert [1] == fed(watch, [800])
    assert watch.line == "Piece 1 was cut 60 g too heavy: cut smaller."


def test_small_pieces_are_told_with_decimals() -> None:
    """On a division of 0.1 g, rolls that are all 0.4 g off are not 0 g off."""
    watch = Watch(Limits(62_000, 1_500, 2_000), spread_mg=300)
    rolls = (Piece(n, 9.0 * n, 9.0 * n - 4, 62_400, 62_400, 0, Verdict.KEEP) for n in range(1, 20))
    found = next(signal for roll in rolls if (signal := watch.feed(roll, 100)))

    assert watch.line == "Pieces 1 to 10 were cut 0.4 g too heavy: cut smaller."
    assert "Cut about 0.4 g smaller" in found.reaction


def test_earlier_pieces_of_the_batch_are_remembered() -> None:
    anew = Watch(LIMITS, spread_mg=8000)
    gone_on = Watch(LIMITS, spread_mg=8000, before=[(number, 752_000) for number in range(1, 8)])

    assert [] == fed(anew, [752, 752], start=8)
    assert [9] == fed(gone_on, [752, 752], start=8)


def test_a_signal_stays_for_some_pieces() -> None:
    watch = Watch(LIMITS, spread_mg=8000)
    rung = fed(watch, [752] * 10)[0]
    fed(watch, [740] * (SHOWN_PIECES - (10 - rung) - 1), start=11)
    still = watch.line
    fed(watch, [740], start=30)

    assert still
    assert "" == watch.line


def run(first_errors_g: list[int], *, product: str = "Rye", target_mg: int = 740_000) -> RunState:
    first = Sums()
    for error_g in first_errors_g:
        first = first.counted(1000 * error_g, 1)
    return RunState("r", 1, product, target_mg, 1000, 0, first=first)


def test_usual_spread_is_pooled_within_runs() -> None:
    """A mean that differs from run to run is no spread of the cutting: sd of -5, 5 is 7.07 g."""
    runs = [run([shift - 5, shift + 5]) for shift in range(ENOUGH_CUTS // 2)]
    others = [run([-50, 50], product="Wheat"), run([-50, 50], target_mg=500_000), run([3])]

    assert usual_spread_mg([*runs[-20:], *others], "Rye", 740_000) is None
    long = [replace(each, first=sum((each.first for _ in range(9)), Sums())) for each in runs]
    found = usual_spread_mg([*reversed(long), *others], "Rye", 740_000)
    # Each of 20 runs holds nine times the same two cuts: sd = 5 * root(18 / 17) g, and one
    # standard error of it more, which is 1 / root(2 * 360) of it.
    assert found == pytest.approx(5000 * (18 / 17) ** 0.5 * (1 + 720**-0.5))


def test_equal_cuts_have_no_usual_spread() -> None:
    assert usual_spread_mg([run([0] * 200)], "Rye", 740_000) is None
