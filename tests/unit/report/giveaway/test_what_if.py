"""Days with another band or aim, reckoned from their first cuts."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from decimal import Decimal
from statistics import fmean, stdev

import numpy as np
import pytest

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.events import Verdict
from weighstation.journal import PieceFacts
from weighstation.monitor import Moments
from weighstation.plan import BatchSpread, KnownLoss, bench_spread
from weighstation.quantity import least_aim, published_rule
from weighstation.report.giveaway import Known
from weighstation.report.giveaway.bench_model import BenchModel, Reckoned, bench_model, reckoned
from weighstation.report.giveaway.what_if import Change, Days, alike, bands, best, what_if
from weighstation.specification import Limits

LIMITS = Limits(740_000, 8000, 8000)


def hand(limits: Limits, *, n: int, seed: int, boards: float = 0.1) -> list[PieceFacts]:
    """A hand that cuts 1 g heavy with 9 g of spread, and whose touches end 4 g around the weight.

    It touches until the piece lies in the band, or boards it as it is one time in ten.
    """
    rng = random.Random(seed)
    pieces = []
    for number in range(1, n + 1):
        first = final = rng.gauss(1, 9)
        touches = 0
        is_boarded = rng.random() < boards
        while not -limits.under_mg <= final * 1000 <= limits.over_mg and not is_boarded:
            final, touches = rng.gauss(0, 4), touches + 1
        kept = -limits.under_mg <= final * 1000 <= limits.over_mg
        wrong = Verdict.TRIM if final > 0 else Verdict.ADD
        pieces.append(
            PieceFacts(
                number=number,
                first_mg=limits.target_mg + round(first * 1000),
                final_mg=limits.target_mg + round(final * 1000),
                touches=touches,
                ms=round(1000 * (2.5 + 3.2 * touches + rng.gauss(0, 0.4))),
                placed_ms=number,
                verdict=Verdict.KEEP if kept else wrong,
                dough_age_ms=0,
            )
        )
    return pieces


MODEL = bench_model(hand(LIMITS, n=4000, seed=1), LIMITS)


@pytest.mark.parametrize("half_g", [3.0, 5.0, 8.0, 12.0])
def test_it_foretells_what_the_same_hand_does_with_another_band(half_g: float) -> None:
    """Held against the hand itself, 40,000 pieces with that band; shares to 2 points, 0.35 g."""
    limits = Limits(740_000, round(half_g * 1000), round(half_g * 1000))
    truth = hand(limits, n=40_000, seed=2)
    found = reckoned(MODEL, under_g=half_g, over_g=half_g)
    d_g = [(piece.final_mg - piece_target) / 1000 for piece in truth for piece_target in (740_000,)]

    touched = sum(bool(piece.touches) for piece in truth) / len(truth)
    assert touched == pytest.approx(found.touched_share, abs=0.02)
    assert fmean(d_g) == pytest.approx(found.mean_g, abs=0.35)
    assert stdev(d_g) == pytest.approx(found.sd_g, abs=0.35)
    touches = fmean(piece.touches or 0 for piece in truth)
    assert touches == pytest.approx(found.touches, rel=0.08)
    assert fmean((piece.ms or 0) / 1000 for piece in truth) == pytest.approx(
        found.seconds, rel=0.04
    )


def test_what_a_touch_takes_is_the_least_squares_line() -> None:
    """NumPy's least squares over the same pieces; the hand was made with 3.2 s a touch."""
    pieces = hand(LIMITS, n=4000, seed=1)
    slope, start = np.polyfit(
        [p.touches or 0 for p in pieces], [(p.ms or 0) / 1000 for p in pieces], 1
    )

    assert MODEL.time is not None
    assert slope == pytest.approx(MODEL.time.touch_s)
    assert start == pytest.approx(MODEL.time.untouched_s)
    low, high = MODEL.time.interval_s
    assert low < 3.2 < high


def test_with_nothing_changed_it_is_nearly_what_was_measured() -> None:
    pieces = hand(LIMITS, n=4000, seed=1)
    found = reckoned(MODEL, under_g=8, over_g=8)
    d_g = [(piece.final_mg - 740_000) / 1000 for piece in pieces]

    assert fmean(d_g) == pytest.approx(found.mean_g, abs=0.2)
    assert stdev(d_g) == pytest.approx(found.sd_g, abs=0.2)


def test_a_band_that_no_touch_ever_met_is_refused() -> None:
    model = replace(MODEL, touched_g=(3.0, -4.0))

    with pytest.raises(SpecificationError, match="No touched piece of these days lies in a band"):
        reckoned(model, under_g=1, over_g=1)


def test_few_pieces_are_refused() -> None:
    with pytest.raises(
        NotEnoughDataError,
        match="takes 30 pieces whose first cut and touches are known, and there are 29",
    ):
        bench_model(hand(LIMITS, n=29, seed=1), LIMITS)


def test_pieces_that_were_never_touched_tell_no_time() -> None:
    model = bench_model([replace(p, touches=0) for p in hand(LIMITS, n=40, seed=1)], LIMITS)

    assert model.time is None


KNOWN = Known(
    650_000,
    published_rule("eu-76-211"),
    KnownLoss(stages=0.12),
    bench_spread([Moments(48, 0.5, 47 * 16.0)] * 5, band_g=16),
)
DAYS = Days(MODEL, LIMITS, 1000, KNOWN, Decimal("0.92"), Decimal(24))


def test_a_gram_of_aim_is_a_gram_of_every_piece() -> None:
    was, would = what_if(DAYS, Change()), what_if(DAYS, Change(aim_mg=739_000))

    assert 4000 * 1000 == was.dough_mg - would.dough_mg
    assert was.money is not None
    assert would.money is not None
    assert float(was.money - would.money) == pytest.approx(4.0 * 0.92)


def test_the_lawful_aim_is_a_step_of_the_scale_that_is_lawful() -> None:
    would = what_if(DAYS, Change(is_lawful_aim=True))

    assert would.lawful_mg is not None
    assert 0 <= would.limits.target_mg - would.lawful_mg < 1000
    assert would.is_lawful
    assert what_if(DAYS, Change(aim_mg=730_000)).is_lawful is False


def test_half_the_spread_takes_fewer_touches_and_a_lower_lawful_aim() -> None:
    was, would = what_if(DAYS, Change()), what_if(DAYS, Change(spread_times=0.5))

    assert would.bench.touches < was.bench.touches
    assert would.bench.sd_g < was.bench.sd_g
    assert would.lawful_mg is not None
    assert was.lawful_mg is not None
    assert would.lawful_mg <= was.lawful_mg


def test_of_loaves_only_what_the_bench_does_moves_with_the_band() -> None:
    """By hand: 9^2 of loaves less 4^2 of pieces is the oven's share, and stays as it was."""
    days = replace(DAYS, known=replace(KNOWN, loaves=BatchSpread(5, 240, 9.0, 0.0)))
    was, narrow = what_if(days, Change()), what_if(days, Change(under_mg=3000, over_mg=3000))
    pieces_g = 4 * narrow.bench.sd_g / was.bench.sd_g
    sds_g = [9.0, math.sqrt(81 - 16 + pieces_g**2)]

    assert sds_g[1] < 8.9
    for found, sd_g in zip((was, narrow), sds_g, strict=True):
        aim_g = least_aim(650, sd_g, rule=KNOWN.rule, batch_size=48).aim_g
        assert found.lawful_mg is not None
        assert aim_g / 0.88 == pytest.approx(found.lawful_mg / 1000, abs=0.002)


def test_a_dear_hour_widens_the_cheapest_band() -> None:
    cheap, dear = (best(bands(replace(DAYS, wage_per_h=Decimal(wage)))) for wage in ("0", "2000"))

    assert cheap is not None
    assert dear is not None
    assert cheap.limits.under_mg < dear.limits.under_mg


def test_without_a_label_there_is_no_lawful_aim() -> None:
    bare = replace(DAYS, known=None)

    assert () == bands(bare)
    with pytest.raises(SpecificationError, match="Nothing says what the lawful"):
        what_if(bare, Change(is_lawful_aim=True))
    assert best([replace(what_if(bare, Change()), cost_per_kg=None)]) is None


def test_of_bands_that_cost_the_same_the_widest_is_named() -> None:
    """A hand without any spread: no band takes a touch, so the widest asks for least care."""
    steady = [PieceFacts(n, 741_000, 741_000, 0, 3000, n, Verdict.KEEP, 0) for n in range(1, 41)]
    found = bands(replace(DAYS, model=bench_model(steady, LIMITS), wage_per_h=None))
    cheapest = best(found)

    assert len({each.dough_money for each in found}) == 1
    assert cheapest is not None
    assert max(each.limits.over_mg for each in found) == cheapest.limits.over_mg


def test_where_nobody_touched_a_piece_nothing_is_known_of_other_bands() -> None:
    days = replace(DAYS, model=replace(MODEL, touched_g=(), boarded_share=1.0))

    assert [8000] == [each.limits.under_mg for each in bands(days)]  # the band they had
    with pytest.raises(SpecificationError, match="Nobody touched a piece in these days"):
        what_if(days, Change(over_mg=5000))
    assert what_if(days, Change(aim_mg=739_000)).dough_mg < what_if(days, Change()).dough_mg


def test_another_price_is_that_of_the_change_alone() -> None:
    """Today's dough at 0.92 a kilogram, and the same dough at 1.20."""
    was, would = what_if(DAYS, Change()), what_if(DAYS, Change(cost_per_kg=Decimal("1.20")))

    assert was.dough_mg == would.dough_mg
    assert float(was.dough_money or 0) == pytest.approx(was.dough_mg / 1e6 * 0.92)
    assert float(would.dough_money or 0) == pytest.approx(was.dough_mg / 1e6 * 1.20)


def test_bands_take_the_price_and_the_spread_that_are_asked_for_and_no_aim() -> None:
    change = Change(aim_mg=700_000, cost_per_kg=Decimal(2), spread_times=0.5)
    found = bands(DAYS, change)

    assert {Decimal(2)} == {each.cost_per_kg for each in found}
    assert 700_000 not in {each.limits.target_mg for each in found}
    plain = {each.limits.under_mg: each for each in bands(DAYS)}
    assert all(
        each.bench.touched_share < plain[each.limits.under_mg].bench.touched_share for each in found
    )


def test_pieces_that_are_left_out_are_counted_with_the_reason() -> None:
    """By hand: 4000 are reckoned from, 20 had another promise, 3 of them no first cut."""
    typed = [replace(p, first_mg=None) for p in hand(LIMITS, n=3, seed=5)]
    model = bench_model([*hand(LIMITS, n=4000, seed=1), *typed], LIMITS)
    days = replace(DAYS, model=model, otherwise=20)

    assert "" == DAYS.left_out
    assert (
        "Left out are 23 of 4023 pieces: 20 had another scaling weight, band or label than the"
        " newest, and 3 have no first cut or no touches on record." == days.left_out
    )


def test_bands_within_a_step_of_the_scale_of_the_best_are_alike() -> None:
    """A step is 1 g on each of 4000 pieces, at 0.92 a kilogram 3.68; held against every band."""
    swept = bands(DAYS)
    found = alike(DAYS, swept)

    assert found is not None
    assert 3.68 == pytest.approx(float(found.step))
    first, last = swept.index(found.narrowest), swept.index(found.widest)
    least = min(each.money or 0 for each in swept)
    inside = [float((each.money or 0) - least) for each in swept[first : last + 1]]
    assert float(found.more) == pytest.approx(max(inside), abs=0.005)
    assert max(inside) <= 3.68 + 0.005
    beyond = [
        each
        for place in (first - 1, last + 1)
        if 0 <= place < len(swept)
        for each in swept[place : place + 1]
    ]
    assert beyond
    assert all((each.money or 0) - least > 3.67 for each in beyond)
    assert alike(replace(DAYS, cost_per_kg=None), bands(replace(DAYS, cost_per_kg=None))) is None


def test_today_s_band_is_reckoned_once_for_all_bands(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def counting(model: BenchModel, **band: float) -> Reckoned:
        asked.append(band["under_g"])
        return reckoned(model, **band)

    monkeypatch.setattr("weighstation.report.giveaway.what_if.reckoned", counting)
    swept = bands(DAYS)

    assert 16 == len(swept)
    assert 1 + len(swept) == len(asked)
