"""What a label asks of a piece of dough, step by step."""

from __future__ import annotations

import math

import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.monitor import Moments
from weighstation.plan import BatchSpread, KnownLoss, bench_spread
from weighstation.quantity import least_aim, published_rule
from weighstation.report.giveaway import Known, label_basis

RULE = published_rule("eu-76-211")
BENCH = bench_spread([Moments(48, 1.0, 47 * 16.0)] * 5, band_g=24)
STAGES = KnownLoss(stages=0.12)


def test_steps_from_the_label_up_are_the_least_aims_in_dough() -> None:
    """`least_aim` by itself, divided by the share kept; oven: 8^2 less (carry 4)^2."""
    loaves = BatchSpread(5, 240, 8.0, 0.0)
    found = label_basis(Known(800_000, RULE, STAGES, BENCH, loaves))
    carry = STAGES.carry.interval[1]
    oven_g = math.sqrt(64 - (carry * 4) ** 2)

    assert found is not None
    assert 909_091 == found.label_mg
    for mg, sd_g in ((found.lawful_mg, 8.0), (found.oven_mg, oven_g)):
        aim_g = least_aim(800, sd_g, rule=RULE, batch_size=48, risk=0.05).aim_g
        assert aim_g / 0.88 == pytest.approx(mg / 1000, abs=0.001)
    assert found.label_mg < found.oven_mg < found.lawful_mg


def test_without_baked_loaves_the_oven_adds_nothing() -> None:
    found = label_basis(Known(800_000, RULE, STAGES, BENCH))

    assert found is not None
    assert found.label_mg == found.oven_mg
    assert "The oven is taken to add nothing." in found.said_by


def test_the_interval_is_that_of_the_spread() -> None:
    """s root(df / chi2) with SciPy's quantiles, for 235 degrees of freedom."""
    loaves = BatchSpread(5, 240, 8.0, 0.0)
    found = label_basis(Known(800_000, RULE, STAGES, BENCH, loaves))
    ends = [8 * math.sqrt(235 / stats.chi2.ppf(p, 235)) for p in (0.975, 0.025)]
    aims = [least_aim(800, sd_g, rule=RULE, batch_size=48).aim_g / 0.88 for sd_g in ends]

    assert found is not None
    assert aims == pytest.approx([mg / 1000 for mg in found.lawful_interval_mg], abs=0.002)


def test_where_nothing_says_what_the_oven_takes_there_is_no_basis() -> None:
    assert label_basis(Known(800_000, RULE, KnownLoss(), BENCH)) is None


def test_a_label_outside_the_rule_is_refused() -> None:
    with pytest.raises(SpecificationError):
        label_basis(Known(1000, RULE, STAGES, BENCH))
