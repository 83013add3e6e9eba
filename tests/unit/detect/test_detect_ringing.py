"""A pan that rings on its spring, against the textbook's second-order system."""

from __future__ import annotations

import math

import pytest
from pan_displays import clock, second_order

from weighstation.detect.grain import Grain
from weighstation.detect.ringing import Mode, find_mode, fit_tail, foresee_ring

# Step response of zeta = 0.3, omega_n = 20 rad/s, W = 500 g at t = 0.05, 0.10 .. 0.40 s,
# computed outside this project from the textbook's formula.
VECTOR_G = [
    190.70827,
    509.31537,
    677.72700,
    647.21542,
    528.63803,
    443.75180,
    436.07342,
    476.07891,
]
VECTOR_S = [0.05 * n for n in range(1, 9)]


def mode_of(zeta: float, omega_n: float) -> Mode:
    return Mode(decay=zeta * omega_n, omega=omega_n * math.sqrt(1 - zeta**2))


@pytest.mark.parametrize("n", [3, 4, 5, 8])
@pytest.mark.parametrize("first", [0, 2, 5])
def test_any_few_readings_of_the_textbooks_ring_lead_to_its_level(first: int, n: int) -> None:
    t_s, y_mg = VECTOR_S[first : first + n], [1000 * y for y in VECTOR_G[first : first + n]]

    tail = fit_tail(t_s, y_mg, mode_of(0.3, 20.0), 50_000.0)

    assert pytest.approx(500_000, rel=0.001 if len(t_s) > 3 else 0.003) == tail.level_mg
    assert tail.misfit < 0.05


def test_the_swing_left_at_the_last_reading_is_the_textbooks_envelope() -> None:
    """W / sqrt(1 - zeta^2) * exp(-zeta omega_n t) at t = 0.40 s: 524.142 g * 0.0907180."""
    tail = fit_tail(VECTOR_S, [1000 * y for y in VECTOR_G], mode_of(0.3, 20.0), 100.0)

    assert pytest.approx(47_549.1, rel=1e-3) == tail.swing_mg


@pytest.mark.parametrize(
    ("zeta", "log_decrement"), [(0.1, 0.631484), (0.2, 1.282550), (0.3, 1.975970), (0.5, 3.627599)]
)
def test_decay_and_frequency_stand_for_the_logarithmic_decrement(
    zeta: float, log_decrement: float
) -> None:
    """2 pi zeta / sqrt(1 - zeta^2): the textbook's values, from memory and recomputed."""
    mode = mode_of(zeta, 17.0)
    one_period_s = 2 * math.pi / mode.omega

    assert pytest.approx(log_decrement, abs=1e-6) == mode.decay * one_period_s


@pytest.mark.parametrize(("rate_hz", "n"), [(10.0, 5), (20.0, 10), (12.0, 6)])
def test_over_whole_periods_the_level_is_the_mean_and_its_error_falls_with_the_root(
    rate_hz: float, n: int
) -> None:
    """Sines and cosines sum to nothing over a period, so least squares is the plain mean."""
    t_s = clock(1.0, rate_hz)[:n]
    y_mg = [750_000 + 9_000 * math.cos(2 * math.pi * 2 * t + 0.4) + 40 * (-1) ** i for i, t in
            enumerate(t_s)]  # fmt: skip

    tail = fit_tail(t_s, y_mg, Mode(0.0, 2 * math.pi * 2), 300.0)

    assert pytest.approx(sum(y_mg) / n, abs=1.0) == tail.level_mg
    assert pytest.approx(300.0 / math.sqrt(n), rel=1e-9) == tail.error_mg


def test_misfit_is_the_residual_in_squared_noises_for_each_freedom() -> None:
    """Residuals +-a of a model whose columns they are orthogonal to: 8 a^2 / (8 - 3)."""
    t_s = [0.125 * n for n in range(8)]
    y_mg = [700_000 + 200.0 * (-1) ** n for n in range(8)]

    tail = fit_tail(t_s, y_mg, Mode(0.0, 2 * math.pi * 2), 100.0)

    assert pytest.approx(8 * 4 / 5) == tail.misfit
    assert pytest.approx(700_000) == tail.level_mg


def test_a_ring_sampled_at_its_own_rate_keeps_a_finite_level_with_a_large_error() -> None:
    """Each reading meets the same phase: sine and level cannot be told apart."""
    t_s = [0.2 * n for n in range(6)]
    y_mg = [750_000 + 5_000 * math.exp(-1.5 * t) for t in t_s]

    tail = fit_tail(t_s, y_mg, Mode(1e-6, 2 * math.pi * 5), 300.0)

    assert 600_000 < tail.level_mg < 900_000
    assert tail.error_mg > 10 * 300.0


def ringing_mg(
    zeta: float, hz: float, times_s: list[float], load_g: float = 752.0, division_g: float = 1.0
) -> list[float]:
    answer = second_order(zeta, 2 * math.pi * hz)
    return [round(load_g * answer(t) / division_g) * division_g * 1000 for t in times_s]


@pytest.mark.parametrize(
    ("zeta", "hz", "rate_hz"),
    [(0.05, 5.0, 20.0), (0.05, 5.0, 18.0), (0.04, 4.0, 20.0), (0.03, 6.0, 20.0)],
)
def test_a_ring_is_found_with_its_frequency_and_its_decrement(
    zeta: float, hz: float, rate_hz: float
) -> None:
    faded_s = math.log(752 / 15) / (zeta * 2 * math.pi * hz)
    t_s = clock(0.9, rate_hz, start_s=faded_s)
    y_mg = ringing_mg(zeta, hz, t_s)

    mode = find_mode(t_s, y_mg, 290.0)

    true = mode_of(zeta, 2 * math.pi * hz)
    assert mode is not None
    assert pytest.approx(true.omega, rel=0.01) == mode.omega
    assert pytest.approx(true.decay, rel=0.15) == mode.decay


def test_what_does_not_swing_has_no_mode() -> None:
    t_s = clock(0.9, 20.0)
    flicker = [750_000.0 + 1000 * (n % 2) for n in range(len(t_s))]
    press = [750_000.0 + 60_000 * math.sin(math.pi * t / 0.9) ** 2 for t in t_s]

    assert find_mode(t_s, flicker, 290.0) is None
    assert find_mode(t_s, press, 290.0) is None


def test_readings_at_one_time_have_no_mode() -> None:
    assert find_mode([1.0] * 9, [1.0, 9.0] * 4 + [1.0], 290.0) is None


def test_a_ring_too_near_the_rate_of_the_readings_is_not_believed() -> None:
    """At 10 readings a second a ring of 10 Hz looks like a creep, and one of 5.1 Hz does not."""
    t_s = clock(1.2, 10.0, start_s=0.4)
    y_mg = ringing_mg(0.03, 10.0, t_s)
    mode = find_mode(t_s, y_mg, 290.0)

    assert mode is None or abs(mode.omega / (2 * math.pi) - 10.0) > 1.1


@pytest.mark.parametrize("rate_hz", [20.0, 18.0])
def test_a_known_ring_tells_the_level_long_before_the_display_is_there(rate_hz: float) -> None:
    zeta, hz = 0.05, 5.0
    grain = Grain(1000.0)
    t_s = [0.0, *clock(6.0, rate_hz, start_s=0.05)]
    y_mg = [0.0, *ringing_mg(zeta, hz, t_s[1:])]
    told = next(
        (t_s[n - 1], tail.level_mg)
        for n in range(4, len(t_s))
        if (tail := foresee_ring(t_s[:n], y_mg[:n], mode_of(zeta, 2 * math.pi * hz), grain))
    )
    calm_s = next(
        t for t, y in zip(t_s, y_mg, strict=True) if all(
            abs(later - 752_000) <= 1000 for later in y_mg[t_s.index(t):]
        )
    )  # fmt: skip

    assert pytest.approx(752_000, abs=1000) == told[1]
    assert told[0] < 0.75 * calm_s


def test_nothing_is_foreseen_from_a_ring_while_a_hand_swings_the_display() -> None:
    t_s = [0.05 * n for n in range(9)]
    y_mg = [0.0, 700e3, 900e3, 650e3, 880e3, 640e3, 900e3, 700e3, 860e3]

    assert foresee_ring(t_s, y_mg, mode_of(0.05, 31.4), Grain(1000.0)) is None
    assert foresee_ring(t_s[:4], y_mg[:4], mode_of(0.05, 31.4), Grain(1000.0)) is None
