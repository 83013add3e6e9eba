"""The least aim keeps what it says, and says what asks for it."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from characteristics import Scene, chance_both, chance_mean

from weighstation.errors import SpecificationError
from weighstation.quantity import Binding, least_aim, published_rule


@pytest.mark.parametrize(
    ("sd_g", "by_t1_g", "by_t2_g", "aim_g"),
    [(5, 397.80, 394.6, 400), (7, 401.72, 402.04, 402.04), (8, 403.68, 405.76, 405.76)],
)
def test_published_target(sd_g: float, by_t1_g: float, by_t2_g: float, aim_g: float) -> None:
    """Qt >= max(Qn; Qn - T + 1.96 s; Qn - 2 T + 3.72 s), Qn 400, T 12: UK code for packers and
    WELMEC 6.4, from memory, recomputed.
    """
    found = least_aim(400, sd_g, rule="eu-76-211")

    assert by_t1_g == pytest.approx(found.by_t1_g, abs=0.01)
    assert by_t2_g == pytest.approx(found.by_t2_g, abs=0.01)
    assert aim_g == pytest.approx(found.aim_g, abs=0.01)


def test_a_batch_that_is_judged_by_itself_asks_for_more_than_the_nominal() -> None:
    """800 + 1.6449 root(64 / 48 + 9), by hand."""
    found = least_aim(800, 8, rule="eu-76-211", batch_size=48, batch_sd_g=3)

    assert 805.287 == pytest.approx(found.aim_g, abs=5e-4)
    assert found.binding is Binding.MEAN


def test_knee_is_where_the_limits_begin_to_ask() -> None:
    """In the long run at T / 1.96, because 1.96 / T is more than 3.72 / (2 T)."""
    found = least_aim(400, 5, rule="eu-76-211")

    assert 12 / 1.959964 == pytest.approx(found.knee_g, rel=1e-6)
    below = least_aim(400, found.knee_g * 0.999, rule="eu-76-211")
    above = least_aim(400, found.knee_g * 1.001, rule="eu-76-211")

    assert (Binding.MEAN, Binding.T1) == (below.binding, above.binding)


@pytest.mark.parametrize("rule", ["eu-76-211", "oiml-r87"])
def test_batches_that_are_aimed_so_pass_as_often_as_said(rule: str) -> None:
    """20,000 simulated batches of 48, within three standard errors of the risk."""
    found = least_aim(800, 8, rule=rule, batch_size=48, batch_sd_g=3, risk=0.05)
    draw = np.random.default_rng(7)
    means = found.aim_g + 3 * draw.standard_normal(20_000)
    means += 8 / math.sqrt(48) * draw.standard_normal(20_000)
    failing = float((means < 800).mean())

    assert abs(failing - 0.05) < 3 * math.sqrt(0.05 * 0.95 / 20_000)


def test_counts_of_a_small_lot_fail_some_more() -> None:
    """The risk is of the mean; weighed whole, a lot of 48 fails 6.1 % with its counts."""
    found = least_aim(800, 8, rule="eu-76-211", batch_size=48, batch_sd_g=3, risk=0.05)
    scene = Scene("eu-76-211", 48, 48, 800, 15, 2, 100 * (1 - found.aim_g / 800))

    assert chance_mean(scene) == pytest.approx(0.95, abs=1e-6)
    assert chance_both(scene) == pytest.approx(0.9394, abs=2e-4)


def test_a_rule_that_lets_none_be_short_takes_its_plan_s_chance() -> None:
    """Packers may have none; of 25 weighed none, with a chance of 5 %: 1 - 0.95^(1/25) short."""
    none_short = replace(published_rule("eu-76-211"), t1_share=Fraction(0))
    plan = replace(none_short.plans[0], first=1, last=500, sample=25, t1=0, t1_share=None)
    found = least_aim(400, 5, rule=replace(none_short, plans=(plan,)))

    assert found.by_t1_g == pytest.approx(400 - 12 + 5 * 2.87042, abs=1e-4)


def test_aiming_at_the_nominal_fails_half_of_the_small_batches() -> None:
    found = least_aim(800, 8, rule="eu-76-211", batch_size=48, risk=0.4999)

    assert found.by_mean_g == pytest.approx(800, abs=0.01)


def test_a_rule_without_a_share_takes_its_plan_s() -> None:
    """HB 133: with 12 of 100 weighed and none allowed, 0.43 % short fails one lot in twenty."""
    found = least_aim(800, 30, rule="nist-hb133", batch_size=100)
    share = 1 - 0.95 ** (1 / 12)
    z = 2.6305  # of 0.00427, standard table, computed

    assert share == pytest.approx(0.004265, abs=1e-6)
    assert found.by_t1_g == pytest.approx(800 - 29.0 + z * 30, abs=0.05)
    assert found.by_t2_g == -math.inf


@pytest.mark.parametrize(
    ("sd_g", "more"),
    [
        (-1, {}),
        (math.nan, {}),
        (8, {"risk": 0.5}),
        (8, {"risk": 0.0}),
        (8, {"batch_size": 0}),
        (8, {"batch_sd_g": -3}),
    ],
)
def test_numbers_that_make_no_aim_are_refused(sd_g: float, more: dict[str, float]) -> None:
    with pytest.raises(SpecificationError):
        least_aim(800, sd_g, rule="eu-76-211", **more)  # type: ignore[arg-type]


def test_a_wide_wander_alone_reaches_the_limits() -> None:
    assert least_aim(400, 0, rule="eu-76-211", batch_sd_g=20).knee_g == 0


def test_a_batch_of_one_may_never_reach_a_knee() -> None:
    """Its own mean asks for more than any limit does, at a risk of 0.001 %."""
    found = least_aim(800, 8, rule="eu-76-211", batch_size=1, risk=0.00001)

    assert found.knee_g == math.inf
