"""A cue is given when it says something new."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.evaluate.cues import cue_for, is_news
from weighstation.events import Cue, Verdict, Weighing
from weighstation.specification import Limits

LIMITS = Limits(740_000, 8_000, 8_000)
NOW = Weighing(3.4, 1, 0, 752_000, firm=False)
TOLD = cue_for(NOW, LIMITS, number=5, bits=0)


def test_a_cue_holds_what_the_person_needs() -> None:
    assert TOLD == Cue(3.4, 5, 0, 752_000, Verdict.TRIM, 12_000, firm=False, cut_again=False)


def test_a_piece_in_band_is_kept_however_many_bits_it_took() -> None:
    kept = cue_for(replace(NOW, net_mg=741_000), LIMITS, number=1, bits=3)

    assert (Verdict.KEEP, False) == (kept.verdict, kept.cut_again)


@pytest.mark.parametrize(("bits", "cut_again"), [(0, False), (2, False), (3, True), (4, True)])
def test_more_than_two_extra_bits_mean_cut_again(bits: int, cut_again: bool) -> None:
    assert cut_again == cue_for(NOW, LIMITS, number=1, bits=bits).cut_again


def test_the_first_cue_of_a_load_is_news() -> None:
    assert is_news(TOLD, None, division_mg=1000)


@pytest.mark.parametrize(
    ("changed", "news"),
    [
        ({"t_s": 9.0}, False),
        ({"net_mg": 752_999, "error_mg": 12_999}, False),
        ({"net_mg": 753_000, "error_mg": 13_000}, True),
        ({"net_mg": 751_000, "error_mg": 11_000}, True),
        ({"verdict": Verdict.KEEP}, True),
        ({"firm": True}, True),
        ({"touch": 1}, True),
        ({"piece": 6}, True),
        ({"cut_again": True}, True),
    ],
)
def test_anything_but_time_and_less_than_a_division_is_news(
    changed: dict[str, object], news: bool
) -> None:
    assert news == is_news(replace(TOLD, **changed), TOLD, division_mg=1000)  # type: ignore[arg-type]
