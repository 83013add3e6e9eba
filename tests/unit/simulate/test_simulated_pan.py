"""The pan against textbook control theory."""

from __future__ import annotations

import itertools
import math

import pytest

from weighstation.errors import SpecificationError
from weighstation.simulate.pan import Pan, PanSpec

LOAD_G = 500.0


def _pan(zeta: float, natural_hz: float = 5.0) -> Pan:
    """Return a pan that has this damping under 500 g; its own mass is large beside them."""
    return Pan(PanSpec(natural_hz, zeta, working_g=LOAD_G, pan_g=2000.0))


def _step(pan: Pan, dt_s: float, count: int) -> list[float]:
    return [pan.push(LOAD_G, 0.0, dt_s) for _ in range(count)]


@pytest.mark.parametrize(
    ("zeta", "percent"),
    [(0.1, 72.925), (0.2, 52.662), (0.3, 37.233), (0.4, 25.383), (0.5, 16.303), (0.6, 9.478)],
)
def test_a_step_overshoots_as_much_as_its_damping_says(zeta: float, percent: float) -> None:
    """100 exp(-pi zeta / sqrt(1 - zeta^2)): textbook second-order response, recomputed."""
    peak = max(_step(_pan(zeta), 0.0001, 3000))

    assert percent == pytest.approx(100 * (peak / LOAD_G - 1), abs=0.001)


@pytest.mark.parametrize(("zeta", "decrement"), [(0.1, 0.631484), (0.2, 1.282550), (0.3, 1.975970)])
def test_successive_peaks_fall_by_the_logarithmic_decrement(zeta: float, decrement: float) -> None:
    """2 pi zeta / sqrt(1 - zeta^2), textbook, recomputed."""
    path = _step(_pan(zeta), 0.0001, 8000)
    peaks = [b - LOAD_G for a, b, c in zip(path, path[1:], path[2:], strict=False) if a < b > c]

    assert decrement == pytest.approx(math.log(peaks[0] / peaks[1]), abs=1e-4)


def test_the_path_meets_an_independent_vector() -> None:
    """Step response for zeta 0.3, omega 20 per second, 500 g, every 0.05 s; from 50-digit sums."""
    expected = [190.70827, 509.31537, 677.72700, 647.21542, 528.63803, 443.75180, 436.07342]

    assert expected == pytest.approx(_step(_pan(0.3, 20 / (2 * math.pi)), 0.05, 7), abs=1e-5)


def test_a_long_step_equals_many_short_ones() -> None:
    """The update is exact, so the step's length does not matter."""
    long, short = _pan(0.05), _pan(0.05)

    assert _step(long, 0.1, 1)[-1] == pytest.approx(_step(short, 0.001, 100)[-1], abs=1e-9)


@pytest.mark.parametrize("load_g", [0.0, 300.0, 740.0, 3000.0])
def test_the_frequency_falls_as_the_root_of_the_moving_mass(load_g: float) -> None:
    """omega = sqrt(k / (M0 + m)), measured by counting periods of the free pan."""
    spec = PanSpec(natural_hz=5.0, damping=0.01, working_g=740.0, pan_g=350.0)
    pan = Pan(spec)
    path = [pan.push(load_g, 100.0, 0.0005) - load_g - 100.0 for _ in range(20_000)]
    crossings = [i for i, (a, b) in enumerate(itertools.pairwise(path)) if a < 0 <= b]
    measured_hz = (len(crossings) - 1) / ((crossings[-1] - crossings[0]) * 0.0005)

    assert 5.0 * math.sqrt(1090 / (350 + load_g)) == pytest.approx(measured_hz, rel=2e-3)
    assert spec.frequency_hz(load_g) == pytest.approx(measured_hz, rel=2e-3)


def test_a_hand_damps_the_pan() -> None:
    """The same push rings less while a hand is on the load."""
    free, held = _pan(0.05), _pan(0.05)
    for _ in range(100):
        free.push(LOAD_G, 0.0, 0.01)
        held.push(LOAD_G, 0.0, 0.01, held=True)

    assert abs(held.deflection_g - LOAD_G) < 0.05 * abs(free.deflection_g - LOAD_G)


@pytest.mark.parametrize("change", [{"natural_hz": 0.0}, {"damping": 0.9}, {"pan_g": -1.0}])
def test_an_impossible_pan_is_refused(change: dict[str, float]) -> None:
    with pytest.raises(SpecificationError):
        PanSpec(**change)
