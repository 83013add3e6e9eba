"""Figures of baked loaves against SciPy and the worked examples of the trade."""

from __future__ import annotations

import math
import random
import statistics
from dataclasses import replace
from typing import Any

import pytest
from report.baked.baked_loaves import batch_of, figures_of, marked
from scipy import optimize, stats  # type: ignore[import-untyped]

from weighstation.plan import LossLaw
from weighstation.quantity import Circumstances
from weighstation.report.baked.figures import NO_DECLARED, Found
from weighstation.report.baked.record import baked_record

RAW = (910.0, 905.0, 912.0, 908.0, 907.0)
BAKED = (802.0, 795.0, 799.0, 800.0, 798.0)
FAR = ((650.0, 569.0), (700.0, 616.0), (750.0, 662.0), (900.0, 805.0), (1000.0, 898.0))
"""Five pieces of 650 to 1000 g on the measured law below, weighed to a gram and off by one."""


def fieller(pairs: list[tuple[float, float]], confidence: float = 0.95) -> tuple[float, float]:
    """Return the interval of the loss by root finding: where Y - q X is just t away from 0."""
    n = len(pairs)
    t = stats.t.ppf((1 + confidence) / 2, n - 1)
    raw = sum(x for x, _ in pairs)

    def beyond(q: float) -> float:
        off = [y - q * x for x, y in pairs]
        return float(abs(sum(off)) - t * math.sqrt(n * statistics.variance(off)))

    kept = sum(y for _, y in pairs) / raw
    low = optimize.brentq(beyond, kept - 0.2, kept)
    high = optimize.brentq(beyond, kept, kept + 0.2)
    return 1 - high, 1 - low


def test_the_loss_is_the_ratio_of_sums_from_the_second_pair_on() -> None:
    """Common practice: weigh some pieces raw and baked, L = 1 - sum(baked) / sum(raw)."""
    for n in (2, 3, 5):
        loss = figures_of(marked(RAW[:n], BAKED[:n])).loss.figure

        assert loss is not None
        assert 1 - sum(BAKED[:n]) / sum(RAW[:n]) == pytest.approx(loss.ratio.loss)
        assert fieller(list(zip(RAW[:n], BAKED[:n], strict=True))) == pytest.approx(
            loss.ratio.interval, abs=1e-9
        )


def test_one_pair_says_nothing_of_a_loss() -> None:
    found = figures_of(batch_of(RAW, BAKED[:1], pieces=[1])).loss

    assert found.figure is None
    assert "needs at least 2 marked loaves, and there are 0" in found.why_not


def test_five_pairs_say_nothing_of_a_slope() -> None:
    """Pieces of one scaling weight: SciPy's own slope is known to more than 0.1."""
    found = figures_of(marked(RAW, BAKED))
    loss = found.loss.figure
    fitted = stats.linregress(RAW, BAKED)
    half = stats.t.ppf(0.975, 3) * fitted.stderr
    told: dict[str, Any] = baked_record(found)["loss"]

    assert loss is not None
    assert loss.line is not None
    assert half == pytest.approx(loss.line.slope_half)
    assert half > 0.1
    assert LossLaw.RATIO is loss.law
    assert (None, None, None) == (
        told["slope"],
        told["slope_interval"],
        told["dough_of_bread"],
    )


def test_a_line_stands_once_its_slope_is_known_to_a_tenth() -> None:
    """Dough = 45.654 g + 1.0624 bread was measured on pieces of 650 to 1000 g.

    Mathematical Relation for Necessary Mass of Dough in Baked Bread Production (read in excerpts).
    The last gram of dough keeps 1 / 1.0624 = 94 % of itself.
    """
    raw, baked = zip(*FAR, strict=True)
    figures = figures_of(marked(raw, baked))
    loss = figures.loss.figure
    fitted = stats.linregress(raw, baked)
    half = stats.t.ppf(0.975, 3) * fitted.stderr
    told: dict[str, Any] = baked_record(figures)["loss"]

    assert loss is not None
    assert LossLaw.LINE is loss.law
    assert half < 0.1
    assert fitted.slope == pytest.approx(told["slope"])
    assert [fitted.slope - half, fitted.slope + half] == pytest.approx(told["slope_interval"])
    assert 45.654 == pytest.approx(told["dough_of_bread"][0], abs=4)
    assert 1.0624 == pytest.approx(told["dough_of_bread"][1], abs=0.005)
    assert 1 / 1.0624 == pytest.approx(loss.carry.per_g, abs=0.005)


def test_the_scaling_weight_for_800_g_is_that_of_the_law() -> None:
    """By the same law 800 g of bread take 895.6 g of dough."""
    raw, baked = zip(*FAR, strict=True)
    forecast = figures_of(marked(raw, baked)).scaling.figure

    assert forecast is not None
    assert 895.6 == pytest.approx(forecast.at_g, abs=1.0)
    assert forecast.mean_g[0] < 895.6 < forecast.mean_g[1]


def test_out_of_the_range_that_was_weighed_no_scaling_weight_is_given() -> None:
    """400 g of bread would take about 470 g of dough, and the lightest piece was 650 g."""
    raw, baked = zip(*FAR, strict=True)
    found = figures_of(marked(raw, baked, declared_g=400)).scaling

    assert found.figure is None
    assert "lie outside the 650 to 1000 g that this loss was learned from" in found.why_not


def test_loaves_without_marks_give_a_loss_of_their_batches() -> None:
    """Two batches as pairs of sums; SciPy's interval over them."""
    later = [g - 1 for g in BAKED]
    first, second = batch_of(RAW, BAKED), batch_of(RAW, later, name="r2")
    loss = figures_of(first, second).loss.figure
    pairs = [
        (sum(RAW), sum(BAKED)),
        (sum(RAW), sum(later)),
    ]

    assert loss is not None
    assert (0, 2) == (loss.pairs, loss.batches)
    assert fieller(pairs) == pytest.approx(loss.ratio.interval, abs=1e-9)


def test_the_spread_is_split_as_the_trade_works_it_out() -> None:
    """s_b^2 = (0.941 s_d)^2 + (m_d s_L)^2: 909 g, 8 g, 0.6 points of loss make 9.30 g (arithmetic).

    Four loaves, a light and a heavy piece in a dry and a damp place of the oven: the parts are
    apart from each other exactly.
    """
    scaling, oven = 8 * math.sqrt(3) / 2, 909 * 0.006 * math.sqrt(3) / 2
    raw = [909 + side * scaling for side in (-1, -1, 1, 1)]
    baked = [
        800 + 0.941 * side * scaling + place * oven
        for side, place in ((-1, -1), (-1, 1), (1, -1), (1, 1))
    ]
    far = marked(
        (650.0, 780.0, 910.0, 1000.0),
        [800 + 0.941 * (x - 909) for x in (650, 780, 910, 1000)],
        name="r2",
    )
    figures = figures_of(marked(raw, baked), taught_by=(far,))
    split = figures.split.figure

    assert split is not None
    assert 8.0 == pytest.approx(split.scaling_sd_g, abs=1e-3)
    assert 0.941 == pytest.approx(split.carry, abs=1e-4)
    assert 0.941 * 8 == pytest.approx(split.scaling.sd_g, abs=0.01)
    assert 909 * 0.006 == pytest.approx(split.oven.sd_g, abs=0.01)
    assert 9.30 == pytest.approx(split.whole.sd_g, abs=0.01)
    assert "scaling" == split.lever.value


def test_a_part_has_the_interval_of_its_variance() -> None:
    """Chi square with n - 1, from SciPy."""
    split = figures_of(marked(RAW, BAKED)).split.figure
    ends = [
        math.sqrt(4 * statistics.variance(BAKED) / stats.chi2.ppf(p, 4)) for p in (0.975, 0.025)
    ]

    assert split is not None
    assert ends == pytest.approx(split.whole.sd_interval_g)


def test_without_marks_the_spread_is_split_by_the_two_samples() -> None:
    figures = figures_of(batch_of(RAW, BAKED))
    split, loss = figures.split.figure, figures.loss.figure

    assert split is not None
    assert loss is not None
    scaling = loss.ratio.kept**2 * statistics.variance(RAW)
    assert scaling == pytest.approx(split.scaling.var_g2)
    assert statistics.variance(BAKED) - scaling == pytest.approx(split.oven.var_g2)


def test_only_batches_of_one_scaling_weight_are_split_together() -> None:
    heavy = marked([1000.0, 1003.0, 997.0], [880.0, 884.0, 876.0], name="r2")
    other = replace(
        heavy, product=replace(heavy.product, limits=replace(heavy.product.limits, target_mg=10**6))
    )
    split = figures_of(other, marked(RAW, BAKED)).split.figure

    assert split is not None
    assert 5 == split.baked


def test_means_wander_from_batch_to_batch() -> None:
    """One-way analysis of variance, from SciPy."""
    rng = random.Random(4)
    weights = [[rng.gauss(800 + wander, 5) for _ in range(8)] for wander in (-9, 0, 9)]
    figures = figures_of(
        *(batch_of(RAW, each, name=f"r{place}") for place, each in enumerate(weights))
    )
    found = figures.wander.figure
    rounded = [[round(g, 3) for g in each] for each in weights]
    f = stats.f_oneway(*rounded).statistic
    within = statistics.fmean(statistics.variance(each) for each in rounded)

    assert found is not None
    assert within == pytest.approx(found.within.var_g2)
    assert (f - 1) * within / 8 == pytest.approx(found.between.var_g2)


def test_without_a_declared_weight_nothing_is_held_against_one() -> None:
    figures = figures_of(marked(RAW, BAKED, declared_g=None))

    assert figures.declared_g is None
    assert NO_DECLARED == figures.lot(figures.batches[0]).why_not == figures.scaling.why_not
    assert not figures.fails


def test_without_a_rule_there_is_no_verdict() -> None:
    figures = replace(figures_of(marked(RAW, BAKED)), rule=Found(None, "There is no such rule."))

    assert "There is no such rule." == figures.lot(figures.batches[0]).why_not
    assert not figures.fails


def test_it_fails_where_the_numbers_of_any_batch_do() -> None:
    good = marked(RAW, [g + 5 for g in BAKED])

    assert not figures_of(good).fails
    assert figures_of(marked(RAW, BAKED)).fails
    assert figures_of(marked(RAW, BAKED), good).fails


def test_the_record_tells_each_loaf_and_the_weights_at_one_hour() -> None:
    hot = marked(RAW, BAKED, minutes=15)
    figures = figures_of(hot, cooling=0.016, said=Circumstances(tare_known=True))
    told: dict[str, Any] = baked_record(figures)
    (batch,) = told["batches"]
    loaf = batch["loaves"][0]
    keys = ["product", "declared_g", "fails", "batches", "loss", "scaling", "split", "as_of"]

    assert keys == list(told)
    assert (15.0, 910.0, 802.0, 1) == tuple(
        loaf[key] for key in ("minutes", "raw_grams", "grams", "piece")
    )
    assert sum(BAKED) / 5 * 0.984 / 0.996 == pytest.approx(batch["one_hour"]["mean_g"])
    assert {"line": 30, "head": "ab" * 32} == told["as_of"]


def test_what_there_is_none_of_is_null_with_a_reason() -> None:
    told: dict[str, Any] = baked_record(figures_of(batch_of(RAW[:1], BAKED[:1], declared_g=None)))
    (batch,) = told["batches"]

    for part, key in (
        (told["loss"], "loss"),
        (told["scaling"], "scaling_g"),
        (told["split"], "whole"),
        (batch["quantity"], "verdict"),
        (batch["one_hour"], "mean_g"),
    ):
        assert part[key] is None
        assert part["why_not"].endswith(".")
