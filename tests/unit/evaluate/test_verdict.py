"""The band is exact and both limits belong to it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.evaluate.verdict import is_two_at_once, judge, two_at_once_from_mg
from weighstation.events import Verdict
from weighstation.specification import Limits

LIMITS = Limits(740_000, 8_000, 12_000)


@pytest.mark.parametrize(
    ("net_mg", "verdict"),
    [
        (-5_000, Verdict.ADD),
        (0, Verdict.ADD),
        (250_000, Verdict.ADD),
        (731_999, Verdict.ADD),
        (732_000, Verdict.KEEP),
        (740_000, Verdict.KEEP),
        (752_000, Verdict.KEEP),
        (752_001, Verdict.TRIM),
        (1_110_000, Verdict.TRIM),
        (1_294_999, Verdict.TRIM),
        (1_295_000, Verdict.ONE_AT_A_TIME),
        (1_480_000, Verdict.ONE_AT_A_TIME),
        (2_220_000, Verdict.ONE_AT_A_TIME),
    ],
)
def test_a_weight_has_one_verdict_to_the_milligram(net_mg: int, verdict: Verdict) -> None:
    assert verdict == judge(net_mg, LIMITS)


def test_a_band_of_no_width_keeps_the_scaling_weight_alone() -> None:
    exact = Limits(740_000, 0, 0)

    assert [judge(740_000 + step, exact) for step in (-1, 0, 1)] == [
        Verdict.ADD,
        Verdict.KEEP,
        Verdict.TRIM,
    ]


def limits() -> st.SearchStrategy[Limits]:
    def band(target_mg: int) -> st.SearchStrategy[Limits]:
        return st.builds(
            Limits,
            st.just(target_mg),
            st.integers(0, target_mg - 1),
            st.integers(0, 3 * target_mg),
        )

    return st.integers(1, 10_000_000).flatmap(band)


@given(limits(), st.integers(-1_000_000, 40_000_000))
def test_keep_is_exactly_the_band(band: Limits, net_mg: int) -> None:
    in_band = band.target_mg - band.under_mg <= net_mg <= band.target_mg + band.over_mg

    assert in_band == (judge(net_mg, band) is Verdict.KEEP)


@given(limits())
def test_one_and_a_half_times_the_scaling_weight_is_one_fat_piece(band: Limits) -> None:
    assert not is_two_at_once(3 * band.target_mg // 2, band)


@given(limits(), st.data())
def test_two_light_pieces_in_a_narrow_band_are_never_taken_for_one(
    band: Limits, data: st.DataObject
) -> None:
    narrow = Limits(band.target_mg, band.under_mg % max(1, band.target_mg // 4), 0)
    lightest_mg = narrow.target_mg - narrow.under_mg
    pair_mg = sum(data.draw(st.integers(lightest_mg, narrow.target_mg)) for _ in "ab")

    assert (pair_mg >= two_at_once_from_mg(narrow)) == is_two_at_once(pair_mg, narrow)
    assert is_two_at_once(pair_mg, narrow) or narrow.target_mg < 4
