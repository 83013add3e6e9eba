"""The dough of a batch adds up, or says by how many pieces it does not."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.evaluate import Balance, DoughSum, dough_balance

TARGET_MG = 740_000


def batch(*, out_mg: int) -> DoughSum:
    counted_mg, left_mg, loss_mg = 48 * TARGET_MG, 300_000, 400_000
    return DoughSum(
        counted_mg + left_mg + loss_mg + out_mg, counted_mg, left_mg, loss_mg, TARGET_MG
    )


@pytest.mark.parametrize(
    ("out_g", "balance", "pieces"),
    [
        (0, Balance.AGREES, 0),
        (185, Balance.AGREES, 0),
        (-185, Balance.AGREES, 0),
        (186, Balance.UNEXPLAINED, 0),
        (370, Balance.UNEXPLAINED, 0),
        (740, Balance.PIECES_MISSING, 1),
        (700, Balance.PIECES_MISSING, 1),
        (-760, Balance.PIECES_TOO_MANY, -1),
        (1500, Balance.PIECES_MISSING, 2),
        (-1110, Balance.UNEXPLAINED, 0),
    ],
)
def test_what_is_out_is_named_in_pieces(out_g: int, balance: Balance, pieces: int) -> None:
    found = dough_balance(batch(out_mg=out_g * 1000))

    assert (balance, out_g * 1000, pieces) == (found.balance, found.unaccounted_mg, found.pieces)
    assert found.agrees == (balance is Balance.AGREES)


@pytest.mark.parametrize(
    ("out_g", "balance", "pieces"),
    [
        (185, Balance.AGREES, 0),
        (186, Balance.LEFT_OR_LOST, 0),
        (739, Balance.LEFT_OR_LOST, 0),
        (740, Balance.PIECES_MISSING, 1),
        (1110, Balance.PIECES_MISSING, 1),
        (1480, Balance.PIECES_MISSING, 2),
        (-370, Balance.UNEXPLAINED, 0),
        (-760, Balance.PIECES_TOO_MANY, -1),
    ],
)
def test_a_rest_that_nobody_weighed_may_be_left_over(
    out_g: int, balance: Balance, pieces: int
) -> None:
    """Only whole pieces of it can be missing; dough that there never was cannot be left over."""
    dough = replace(batch(out_mg=out_g * 1000 - 300_000), left_mg=None)
    found = dough_balance(dough)

    assert (balance, out_g * 1000, pieces) == (found.balance, found.unaccounted_mg, found.pieces)


def test_a_tidier_bench_may_ask_for_a_tighter_sum() -> None:
    assert dough_balance(batch(out_mg=50_000), slack_mg=20_000).balance is Balance.UNEXPLAINED


@given(st.integers(-5_000_000, 5_000_000))
def test_named_pieces_explain_all_but_the_slack(out_mg: int) -> None:
    found = dough_balance(batch(out_mg=out_mg))

    explained = abs(out_mg - found.pieces * TARGET_MG) <= TARGET_MG // 4

    assert explained == (found.balance is not Balance.UNEXPLAINED)
