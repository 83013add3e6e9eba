"""Filters that creep in on their level, against the textbook's step responses."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from pan_displays import Steps, first_order, moving_average, shown_g, two_stages

from weighstation.detect.grain import Grain
from weighstation.detect.poles import Poles, Row, fit_poles, foresee_creep

# 1 - exp(-n), n = 1 .. 7: a first-order filter read once each time constant (textbook).
FRACTIONS = [0.632121, 0.864665, 0.950213, 0.981684, 0.993262, 0.997521, 0.999088]


def rows_of(y_mg: list[float], dt_s: float) -> list[Row]:
    """Return the steps of a fall as the fit wants them."""
    steps = [before - after for before, after in pairwise(y_mg)]
    return [(steps[i], steps[i - 1], steps[i - 2], dt_s) for i in range(2, len(steps))]


def test_a_first_order_filter_is_found_from_its_textbook_fractions() -> None:
    """One time constant apart, each step is exp(-1) = 0.367879 of the one before."""
    y_mg = [500_000.0] + [500_000 * (1 - fraction) for fraction in FRACTIONS]

    poles = fit_poles(rows_of(y_mg, 0.25), 290.0)

    assert poles is not None
    assert pytest.approx(math.exp(-1), abs=1e-5) == poles.one
    assert poles.two == 0.0
    assert pytest.approx(1 - math.exp(-1), abs=1e-5) == poles.rest
    assert pytest.approx(1 / 0.25, rel=1e-4) == poles.decay


@pytest.mark.parametrize(("tau_s", "dt_s"), [(0.10, 0.1), (0.08, 0.05), (0.2, 0.125)])
def test_a_cascade_of_two_stages_is_found_with_its_double_pole(tau_s: float, dt_s: float) -> None:
    """The step response obeys y[k] = 2 r y[k-1] - r^2 y[k-2] + c with r = exp(-dt/tau), exactly."""
    y_mg = [752_000 * (1 - two_stages(tau_s)(n * dt_s)) for n in range(1, 9)]

    poles = fit_poles(rows_of(y_mg, dt_s), 290.0)

    r = math.exp(-dt_s / tau_s)
    assert poles is not None
    assert pytest.approx(2 * r, rel=1e-6) == poles.one
    assert pytest.approx(-(r**2), rel=1e-6) == poles.two
    assert pytest.approx(1 / tau_s, rel=1e-3) == poles.decay


def test_noise_gain_is_that_of_the_sum_of_three_readings() -> None:
    """(y0 - a y1 - b y2) / (1 - a - b): the root of the sum of squared weights."""
    assert pytest.approx(math.sqrt(1 + 0.36 + 0.01) / 0.5) == Poles(0.6, -0.1, 0.1).gain


def test_a_moving_average_has_no_poles() -> None:
    """Its steps do not die away, they stop."""
    y_mg = [752_000 * (1 - moving_average(0.9)(0.1 * n)) for n in range(9)]

    assert fit_poles(rows_of(y_mg, 0.1), 290.0) is None


def test_two_rates_are_one_filter_of_second_order_and_three_are_none() -> None:
    """The sum and the product of exp(-0.2) and exp(-0.9)."""
    falls = [[752_000 * math.exp(-rate * n) for n in range(8)] for rate in (0.2, 0.9, 0.5)]
    rows = [rows_of(fall, 0.1) for fall in falls]

    poles = fit_poles(rows[0] + rows[1], 290.0)

    assert poles is not None
    assert pytest.approx(math.exp(-0.2) + math.exp(-0.9)) == poles.one
    assert pytest.approx(-math.exp(-1.1)) == poles.two
    assert fit_poles(rows[0] + rows[1] + rows[2], 290.0) is None


POLES = Poles(math.exp(-1), 0.0, 0.1)


def test_a_creeping_display_is_foreseen_before_it_is_there() -> None:
    """W = (y1 - r y0) / (1 - r): the textbook's fractions of 500 g, rounded to 1 g."""
    t_s = [0.1 * n for n in range(8)]
    y_mg = [0.0] + [round(500 * fraction) * 1000.0 for fraction in FRACTIONS]

    told = [foresee_creep(t_s[:n], y_mg[:n], POLES, Grain(1000.0), least=2) for n in range(2, 8)]

    assert [None] * 5 == told[:-1]  # farther off than eight divisions nothing is said
    assert y_mg[6] == 499_000.0
    assert pytest.approx(500_000, abs=500) == told[-1]


def test_equally_spaced_samples_of_one_exponential_give_its_pole() -> None:
    """The textbook's vector: tau = 0.25 s, W = 500 g at 0.10, 0.15 and 0.20 s; 0.05 s recomputed.

    Aitken's extrapolation (a c - b^2) / (a + c - 2 b) rests on the same ratio of two steps.
    """
    shown_g = [90.634623, 164.839977, 225.594182, 275.335518]

    poles = fit_poles(rows_of([1000 * (500 - y) for y in shown_g], 0.05), 290.0)

    assert poles is not None
    assert pytest.approx(math.exp(-0.05 / 0.25), abs=1e-6) == poles.one
    assert pytest.approx(500.0, abs=1e-3) == (shown_g[3] - poles.one * shown_g[2]) / poles.rest


@pytest.mark.parametrize(
    ("y_mg", "why"),
    [
        ([0, 316e3, 432e3, 475e3, 491e3, 520e3, 500e3, 499e3], "a hand moves it"),
        ([0, 316e3, 432e3, 475e3, 491e3, 470e3, 430e3, 380e3], "it turns back"),
    ],
)
def test_readings_that_do_not_agree_foretell_nothing(y_mg: list[float], why: str) -> None:
    del why
    t_s = [0.1 * n for n in range(len(y_mg))]

    assert foresee_creep(t_s, y_mg, POLES, Grain(1000.0), least=2) is None


def test_readings_at_another_spacing_foretell_nothing() -> None:
    """The mix belongs to one spacing; after a lost line it waits for three at the old one."""
    t_s = [0.2 * n for n in range(8)]
    y_mg = [0.0] + [round(500 * fraction) * 1000.0 for fraction in FRACTIONS]

    assert foresee_creep(t_s, y_mg, POLES, Grain(1000.0), least=2) is None


def test_a_filter_read_so_often_that_noise_would_swamp_it_foretells_nothing() -> None:
    """tau = 1 s at 10 readings a second: the gain is 14, and twelve readings cannot mend it."""
    poles = Poles(math.exp(-0.1), 0.0, 0.1)
    steps: Steps = [(0.0, 500.0)]
    t_s = [0.1 * n for n in range(80)]
    y_mg = [round(shown_g(steps, first_order(1.0), t)) * 1000.0 for t in t_s]

    assert foresee_creep(t_s, y_mg, poles, Grain(1000.0), least=2) is None
