"""The line of loss is that of reference libraries, and runs from dough to bread."""

from __future__ import annotations

import math
import random
from typing import TYPE_CHECKING

import numpy as np
import pytest
import statsmodels.api as sm  # type: ignore[import-untyped]
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.plan.loss.loss_line import LossLine, loss_line

if TYPE_CHECKING:
    from weighstation.plan.loss.loss_ratio import Pair

A_G, B = 45.654, 1.0624
"""m_dough = 45.654 + 1.0624 m_bread, hand-divided wheat pieces of 650 to 1000 g, bread weighed
after 3 h, R^2 = 0.99: "Mathematical Relation for Necessary Mass of Dough", Kemija u industriji
(read in excerpts)."""


def published(baked_g: float) -> float:
    return A_G + B * baked_g


def loaves(draw: random.Random, n: int, *, low: float = 650, high: float = 1000) -> list[Pair]:
    raw = [draw.uniform(low, high) for _ in range(n)]
    return [(x, 800 + 0.94 * (x - 909) + draw.gauss(0, 6)) for x in raw]


def of_published_line() -> LossLine:
    return loss_line([(published(baked), baked) for baked in range(570, 900, 30)])


@pytest.mark.parametrize(
    ("baked", "dough", "loss_pct"),
    [(600, 683.1, 12.16), (700, 789.3, 11.32), (800, 895.6, 10.67), (900, 1001.8, 10.16)],
)
def test_published_line_gives_the_dough(baked: float, dough: float, loss_pct: float) -> None:
    """The line's own numbers, by own arithmetic; learned here from eleven loaves that lie on it."""
    found = of_published_line().scaling(baked)

    assert dough == pytest.approx(found.at_g, abs=0.05)
    assert loss_pct == pytest.approx(100 * (1 - baked / found.at_g), abs=0.01)


@pytest.mark.parametrize(
    ("dough", "baked"), [(650, 568.8), (750, 663.0), (900, 804.2), (1000, 898.3)]
)
def test_published_line_backwards(dough: float, baked: float) -> None:
    """Own arithmetic of the published line."""
    assert baked == pytest.approx(of_published_line().baked(dough).at_g, abs=0.05)


def test_last_gram_of_the_published_line() -> None:
    """It keeps 1 / 1.0624 = 94 % of itself, not 88 % (own arithmetic)."""
    line = of_published_line()

    assert 0.941 == pytest.approx(line.slope, abs=5e-4)
    assert (A_G, B) == pytest.approx(line.dough_of_bread, rel=1e-9)
    assert 1.0 == pytest.approx(line.r2)


def test_dough_on_bread_is_a_line_of_the_oven_s_scatter() -> None:
    """Pieces of one scaling weight, +- 5 g, and an oven of +- 6 g: 4000 loaves.

    Bread on dough finds the 0.94 that is there. Dough on bread, turned round, says that a gram of
    dough gives 2.5 g of bread: 0.94 / R^2, R^2 = 0.38 (arithmetic of least squares).
    """
    draw = random.Random(3)
    raw = [draw.gauss(909, 5) for _ in range(4000)]
    pairs = [(x, 800 + 0.94 * (x - 909) + draw.gauss(0, 6)) for x in raw]
    right = loss_line(pairs)
    turned = 1 / stats.linregress([y for _, y in pairs], [x for x, _ in pairs]).slope

    assert 0.94 == pytest.approx(right.slope, abs=0.06)
    assert right.slope / right.r2 == pytest.approx(turned, rel=1e-9)
    assert turned > 2.2


def test_a_thousand_lines_agree_with_reference_libraries() -> None:
    """SciPy `linregress`, statsmodels `OLS` (mean and single loaf); furthest 1.1e-12.

    Relative to the half width of each interval.
    """
    draw, apart = random.Random(41), 0.0
    for _ in range(1000):
        n = draw.randint(3, 40)
        pairs = loaves(draw, n)
        raw, baked = np.array(pairs).T
        at = draw.uniform(600, 1050)
        found, wanted = loss_line(pairs), stats.linregress(raw, baked)
        half = float(stats.t.ppf(0.975, n - 2) * wanted.stderr)
        apart = max(apart, abs(found.slope - wanted.slope) / half, abs(found.slope_half / half - 1))
        model = sm.OLS(baked, sm.add_constant(raw)).fit()
        frame = model.get_prediction([[1.0, at]]).summary_frame(alpha=0.05).iloc[0]
        told = found.baked(at)
        for ours, theirs in (
            (told.mean_g, (frame["mean_ci_lower"], frame["mean_ci_upper"])),
            (told.single_g, (frame["obs_ci_lower"], frame["obs_ci_upper"])),
        ):
            width = (theirs[1] - theirs[0]) / 2
            apart = max(apart, *(abs(o - t) / width for o, t in zip(ours, theirs, strict=True)))

    assert 1e-10 > apart


def test_scaling_intervals_are_the_bands_read_backwards() -> None:
    """At their ends the bands of statsmodels just reach the weight that was asked for."""
    pairs = loaves(random.Random(8), 12)
    raw, baked = np.array(pairs).T
    model = sm.OLS(baked, sm.add_constant(raw)).fit()
    told = loss_line(pairs).scaling(800)
    for ends, band in ((told.mean_g, "mean_ci"), (told.single_g, "obs_ci")):
        for end, side in zip(ends, ("upper", "lower"), strict=True):
            frame = model.get_prediction([[1.0, end]]).summary_frame(alpha=0.05)

            assert 800 == pytest.approx(frame[f"{band}_{side}"].iloc[0], abs=1e-6)


@pytest.mark.parametrize("n", [5, 10])
def test_intervals_hold_what_they_say_as_often_as_they_say(n: int) -> None:
    """600 seeded lines over 650 to 1000 g, within three standard errors of 95 %."""
    draw, held = random.Random(n), [0, 0, 0, 0]
    for _ in range(600):
        line = loss_line(loaves(draw, n))
        ((raw, baked),) = loaves(draw, 1)
        truth = 800 + 0.94 * (raw - 909)
        told, back = line.baked(raw), line.scaling(800)
        held[0] += line.slope_interval[0] <= 0.94 <= line.slope_interval[1]
        held[1] += told.mean_g[0] <= truth <= told.mean_g[1]
        held[2] += told.single_g[0] <= baked <= told.single_g[1]
        held[3] += back.mean_g[0] <= 909 <= back.mean_g[1]

    assert all(abs(each / 600 - 0.95) < 3 * math.sqrt(0.95 * 0.05 / 600) for each in held)


def test_a_line_stands_once_its_slope_is_known_to_a_tenth() -> None:
    """Twelve pieces of one scaling weight cannot tell it, five light and heavy ones can."""
    draw = random.Random(2)
    alike = loss_line(loaves(draw, 12, low=900, high=918))
    apart = loss_line([(650, 557), (750, 652), (850, 744), (950, 838), (1000, 886)])

    assert alike.slope_half > 0.1
    assert not alike.stands
    assert apart.slope_half < 0.1
    assert apart.stands


@pytest.mark.parametrize("n", [3, 4])
def test_three_loaves_on_a_line_by_chance_do_not_make_it_stand(n: int) -> None:
    """2000 sets of one scaling weight, weighed to 1 g: three would have stood in 1.2 of 100.

    Four stand by chance in 0.16 of 100 (20,000 sets).
    """
    draw, known, stood = random.Random(n), 0, 0
    for _ in range(2000):
        raw = [draw.gauss(909, 5) for _ in range(n)]
        pairs = [(round(x), round(800 + 0.94 * (x - 909) + draw.gauss(0, 6))) for x in raw]
        if len({x for x, _ in pairs}) > 1:
            line = loss_line(pairs)
            known += line.slope_half <= 0.1
            stood += line.stands

    assert stood <= 8
    assert (n == 3) == (known > 15)


def test_bread_that_does_not_grow_with_the_dough_gives_no_line() -> None:
    line = loss_line([(900, 800), (905, 799.5), (910, 799), (915, 798.5)])

    assert line.slope_half < 0.1
    assert not line.stands
    with pytest.raises(SpecificationError, match="does not grow"):
        line.scaling(800)


def test_equal_loaves_leave_nothing_to_explain() -> None:
    assert 0.0 == loss_line([(900, 800), (905, 800), (910, 800)]).r2


@settings(max_examples=50)
@given(
    st.lists(
        st.tuples(st.integers(650_000, 1_000_000), st.floats(0.8, 0.92)), min_size=3, max_size=20
    ).filter(lambda drawn: max(drawn)[0] - min(drawn)[0] > 1000),
    st.sampled_from([0.001, 1 / 453.59237, 37.0]),
    st.randoms(use_true_random=False),
)
def test_neither_unit_nor_order_changes_a_line(
    drawn: list[tuple[int, float]], unit: float, shuffle: random.Random
) -> None:
    pairs = [(mg / 1000, kept * mg / 1000) for mg, kept in drawn]
    here = loss_line(pairs)
    shuffle.shuffle(pairs)
    there = loss_line([(unit * raw, unit * baked) for raw, baked in pairs])

    assert here.slope == pytest.approx(there.slope, rel=1e-6, abs=1e-6)
    assert here.slope_half == pytest.approx(there.slope_half, rel=1e-6, abs=1e-6)
    assert unit * here.baked(900).at_g == pytest.approx(there.baked(unit * 900).at_g, rel=1e-6)


def test_too_few_or_equal_pieces_make_no_line() -> None:
    with pytest.raises(NotEnoughDataError, match="at least 3 marked loaves"):
        loss_line([(909, 800), (900, 790)])
    with pytest.raises(SpecificationError, match="more than one raw weight"):
        loss_line([(909, 800), (909, 801), (909, 799)])
    with pytest.raises(SpecificationError, match="share"):
        loss_line([(909, 800), (900, 790), (850, 744)], confidence=1)
