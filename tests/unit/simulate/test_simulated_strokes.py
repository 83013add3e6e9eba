"""Ramps, bumps, tremor and knocks."""

from __future__ import annotations

import pytest

from weighstation.simulate.strokes import Stroke, force_g, smooth


def test_a_ramp_begins_and_ends_flat() -> None:
    assert [0.0, 0.5, 1.0] == [smooth(0.0), smooth(0.5), smooth(1.0)]
    assert smooth(0.001) < 0.00001


def test_a_hand_goes_from_its_old_push_to_its_new_one() -> None:
    stroke = Stroke(0.5, hand_g=40.0, bump_g=100.0)

    assert [10.0, 125.0, 40.0] == pytest.approx(
        [force_g(stroke, 10.0, share, 0.0) for share in (0.0, 0.5, 1.0)]
    )


def test_a_pull_is_a_negative_bump() -> None:
    assert force_g(Stroke(0.3, bump_g=-80.0), 0.0, 0.5, 0.0) == pytest.approx(-80.0)


def test_tremor_stays_within_its_amplitude_and_a_bit() -> None:
    stroke = Stroke(2.0, hand_g=20.0, tremor_g=5.0)
    pushes = [force_g(stroke, 20.0, k / 500, 0.0) - 20.0 for k in range(501)]

    assert max(pushes) > 3.0
    assert max(map(abs, pushes)) <= 1.2 * 5.0


def test_a_knock_pushes_in_proportion_to_the_moving_mass_and_dies() -> None:
    stroke = Stroke(0.3, shake_g=0.03, shake_hz=10.0)
    light = [force_g(stroke, 0.0, k / 100, 350.0) for k in range(101)]
    heavy = [force_g(stroke, 0.0, k / 100, 700.0) for k in range(101)]

    assert [2 * each for each in light] == pytest.approx(heavy)
    assert max(map(abs, heavy)) < 0.03 * 700
    assert heavy[-1] == pytest.approx(0.0, abs=1e-9)
