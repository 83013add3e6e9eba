"""What lift-offs teach: the filter's length or its poles, how long it takes, how it hisses."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest
from pan_displays import clock, first_order, moving_average, two_stages

from weighstation.detect.grain import Grain
from weighstation.detect.motion import Motion
from weighstation.detect.response import Response
from weighstation.detect.ringing import Mode

if TYPE_CHECKING:
    from collections.abc import Callable


def lift_off(
    answer: Callable[[float], float],
    *,
    rate_hz: float,
    division_g: float = 1.0,
    load_g: float = 752.0,
    lag_s: float = 0.037,
    lean_g: float = 0.0,
) -> Motion:
    """Return the display of a load that leaves at once ``lag_s`` after a calm reading."""
    moving = Motion(Grain(division_g * 1000), 0.0, load_g * 1000)
    for t_s in clock(2.5, rate_hz, start_s=1 / rate_hz):
        shown = load_g * (1 - answer(t_s - lag_s)) + lean_g * (0.1 < t_s < 0.25)
        moving.add(t_s, round(shown / division_g) * division_g * 1000)
        if shown == 0 and len(moving.t_s) > 3 and moving.y_mg[-3] == 0:
            break
    return moving


def taught(motions: list[Motion]) -> Response:
    response = Response()
    for moving in motions:
        response.see_lift_off(moving, 0.0)
        t_s, y_mg = moving.t_s, moving.y_mg
        end = next((i for i in range(1, len(y_mg)) if y_mg[i] >= y_mg[i - 1]), len(y_mg))
        if end > 5:
            response.see_fall(t_s[:end], y_mg[:end], moving.grain.noise_mg)
    return response


@pytest.mark.parametrize("division_g", [0.1, 1.0])
@pytest.mark.parametrize(
    ("window_s", "rate_hz"), [(0.5, 20.0), (0.8, 10.0), (0.4, 12.5), (1.0, 10.0), (0.62, 15.0)]
)
def test_the_length_of_a_moving_average_is_learned_within_2_percent(
    window_s: float, rate_hz: float, division_g: float
) -> None:
    motions = [
        lift_off(moving_average(window_s), rate_hz=rate_hz, division_g=division_g, lag_s=lag_s)
        for lag_s in (0.0, 0.011, 0.023, 0.037, 0.049)
    ]

    response = taught(motions)

    assert pytest.approx(window_s, rel=0.02) == response.window_s
    assert response.poles is None


@pytest.mark.parametrize("lag_s", [0.003, 0.029, 0.06, 0.09])
def test_one_clean_lift_off_is_enough_for_the_length(lag_s: float) -> None:
    response = taught([lift_off(moving_average(0.8), rate_hz=10.0, lag_s=lag_s)])

    assert pytest.approx(0.8, rel=0.02) == response.window_s


@pytest.mark.parametrize("tau_s", [0.10, 0.15, 0.25])
def test_a_first_order_filter_is_no_moving_average(tau_s: float) -> None:
    motions = [
        lift_off(first_order(tau_s), rate_hz=10.0, division_g=0.1, lag_s=lag_s)
        for lag_s in (0.01, 0.03, 0.05)
    ]

    response = taught(motions)

    assert response.window_s is None
    assert response.poles is not None
    assert pytest.approx(math.exp(-0.1 / tau_s), rel=0.03) == response.poles.one + (
        response.poles.two / response.poles.one
    )
    assert pytest.approx(1 - math.exp(-0.1 / tau_s), rel=0.05) == response.poles.rest


def test_a_cascade_of_two_stages_is_told_apart_too() -> None:
    motions = [
        lift_off(two_stages(0.1), rate_hz=20.0, division_g=0.1, lag_s=lag_s)
        for lag_s in (0.01, 0.03, 0.05)
    ]

    response = taught(motions)

    r = math.exp(-0.5)
    assert response.window_s is None
    assert response.poles is not None
    assert pytest.approx((2 * r, -(r**2)), abs=0.06) == (response.poles.one, response.poles.two)


def test_a_lift_off_that_somebody_leaned_on_teaches_nothing() -> None:
    response = taught([lift_off(moving_average(0.8), rate_hz=10.0, lean_g=150.0)])

    assert response.window_s is None
    assert response.settle_s is None


def test_a_display_that_never_fell_teaches_nothing() -> None:
    """It sprang from the calm level to the empty one, with nothing between."""
    moving = Motion(Grain(1000.0), 0.0, 752_000.0)
    moving.add(0.1, 745_000.0)
    response = taught([moving])

    assert (response.window_s, response.settle_s) == (None, None)


def test_a_load_of_a_few_noises_teaches_nothing() -> None:
    response = taught([lift_off(moving_average(0.8), rate_hz=10.0, load_g=11.0)])

    assert response.window_s is None


def test_a_filter_too_short_to_show_its_shape_leaves_its_length_open() -> None:
    response = taught([lift_off(moving_average(0.1), rate_hz=10.0)] * 3)

    assert response.window_s is None
    assert response.settle_s == pytest.approx(0.2)


def test_how_long_a_lift_off_takes_is_known_from_the_third_on() -> None:
    motions = [lift_off(moving_average(0.8), rate_hz=10.0, lag_s=0.02)] * 2

    assert taught(motions).settle_s is None
    assert pytest.approx(0.9, abs=0.11) == taught([*motions, motions[0]]).settle_s


def test_creep_is_the_time_constant_of_the_last_few_noises() -> None:
    motions = [
        lift_off(first_order(0.25), rate_hz=20.0, division_g=0.1, lag_s=lag_s)
        for lag_s in (0.01, 0.02, 0.03)
    ]
    ramps = [lift_off(moving_average(0.8), rate_hz=20.0, division_g=0.1)]

    assert pytest.approx(0.25, rel=0.2) == taught(motions).creep_s
    assert taught(ramps).creep_s < 0.05


def test_noise_is_the_pooled_scatter_of_calm_stretches() -> None:
    response = Response()
    response.see_calm(4, 4 * 0.5**2)

    assert response.noise_mg == 0.0  # too few readings

    response.see_calm(12, 12 * 0.9**2)

    assert pytest.approx(math.sqrt((4 * 0.25 + 12 * 0.81) / 16)) == response.noise_mg


def test_old_noise_is_forgotten_as_the_scale_warms_up() -> None:
    response = Response()
    for _ in range(40):
        response.see_calm(20, 20 * 4.0)
    for _ in range(200):
        response.see_calm(20, 20 * 1.0)

    assert pytest.approx(1.0, abs=0.01) == response.noise_mg


def test_a_ring_is_believed_once_three_stretches_agree() -> None:
    response = Response()
    seen = []
    for omega in (31.0, 50.0, 31.4, 18.0, 30.8):
        response.see_mode(Mode(1.5, omega))
        seen.append(response.mode)

    assert seen == [None, None, None, None, Mode(1.5, 31.0)]


def test_a_level_foreseen_wrongly_makes_ring_and_poles_be_learned_anew() -> None:
    response = taught([lift_off(first_order(0.1), rate_hz=10.0, division_g=0.1)] * 3)
    for _ in range(3):
        response.see_mode(Mode(1.5, 31.0))
    response.distrust()

    assert (response.mode, response.poles) == (None, None)

    response.see_mode(Mode(1.5, 31.0))

    assert response.mode is None
