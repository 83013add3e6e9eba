"""What a display's division and noise allow."""

from __future__ import annotations

import pytest

from weighstation.detect.grain import Grain


@pytest.mark.parametrize("division_mg", [100.0, 1000.0, 5000.0])
def test_rounding_alone_makes_a_twelfth_root_of_a_division_of_noise(division_mg: float) -> None:
    """JCGM 100:2008 F.2.2.1: u = d / sqrt(12) = 0.2887 d (from memory)."""
    grain = Grain(division_mg)

    assert pytest.approx(division_mg / 12**0.5, rel=0.005) == grain.noise_mg
    assert grain.is_quiet


@pytest.mark.parametrize(
    ("seen_mg", "noise_mg", "tolerance_mg", "flat_mg", "is_quiet"),
    [
        (0.0, 290.0, 1160.0, 1050.0, True),
        (289.0, 290.0, 1160.0, 1050.0, True),  # never less than rounding makes
        (305.0, 305.0, 1220.0, 1067.5, True),
        (310.0, 310.0, 1240.0, 1085.0, False),
        (400.0, 400.0, 1600.0, 1400.0, False),
        (2000.0, 2000.0, 8000.0, 7000.0, False),
    ],
)
def test_tolerances_of_a_display_of_1_g(
    seen_mg: float, noise_mg: float, tolerance_mg: float, flat_mg: float, is_quiet: bool
) -> None:
    grain = Grain(1000.0, seen_mg)

    assert (noise_mg, is_quiet) == (grain.noise_mg, grain.is_quiet)
    assert pytest.approx(tolerance_mg) == grain.tolerance_mg
    assert pytest.approx(flat_mg) == grain.flat_mg


@pytest.mark.parametrize("seen_mg", [0.0, 300.0, 3000.0])
def test_neighbouring_numbers_belong_to_one_level_and_the_next_but_one_does_not_alone(
    seen_mg: float,
) -> None:
    grain = Grain(1000.0, seen_mg)

    assert grain.division_mg < grain.flat_mg <= grain.tolerance_mg
    assert (grain.flat_mg < 2 * grain.division_mg) == (seen_mg < 500.0)
