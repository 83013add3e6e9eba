"""The detector of the bench: seldom false, soon enough, and it says what to do."""

from __future__ import annotations

import pickle

import numpy as np
import pytest
from dough_cuts import cuts

from weighstation.errors import SpecificationError
from weighstation.monitor import BenchDetector, BenchSignal, individuals, run_rules
from weighstation.monitor.bench import cautious_sd

PIECES, TARGET_G, SPREAD_G = 48, 740.0, 8.0


def first_signal(x: np.ndarray, sigma_g: float | None = SPREAD_G) -> BenchSignal | None:
    detector = BenchDetector(TARGET_G, sigma_g=sigma_g)
    return next(
        (found for number, g in enumerate(x.tolist(), 1) if (found := detector.feed(number, g))),
        None,
    )


@pytest.mark.parametrize("sigma_g", [SPREAD_G, None])
def test_at_most_one_good_dough_in_ten_rings_falsely(sigma_g: float | None) -> None:
    """3,000 doughs of 48 pieces with lag-1 autocorrelation 0.3, spread known and learned."""
    false = [first_signal(x, sigma_g) for x in cuts(3000, PIECES, lag_1=0.3, seed=1)]
    share = sum(found is not None for found in false) / 3000

    assert share < 0.10 + 3 * (0.1 * 0.9 / 3000) ** 0.5


def test_a_spread_from_two_doughs_before_rings_as_seldom() -> None:
    history = cuts(6000, PIECES, lag_1=0.3, seed=6).reshape(3000, 2, PIECES)
    spreads_g = np.sqrt(history.var(axis=2, ddof=1).mean(axis=1))
    doughs = cuts(3000, PIECES, lag_1=0.3, seed=7)
    false = [
        first_signal(x, cautious_sd(sd_g, n=2 * PIECES))
        for x, sd_g in zip(doughs, spreads_g.tolist(), strict=True)
    ]

    assert sum(found is not None for found in false) / 3000 < 0.10


def test_all_four_zone_rules_together_would_ring_in_two_doughs_of_five() -> None:
    """About 41 % of doughs of independent cuts: 1 - exp(-48 / 91.75) from the published ARL."""
    doughs = cuts(600, PIECES, lag_1=0.0, seed=2)
    rung = sum(bool(run_rules(x, centre=TARGET_G, sigma=SPREAD_G)) for x in doughs) / 600

    assert rung == pytest.approx(1 - np.exp(-PIECES / 91.75), abs=0.06)


def test_a_step_of_one_spread_is_found_and_told() -> None:
    doughs = cuts(200, PIECES, lag_1=0.3, seed=3)
    doughs[:, 12:] += SPREAD_G
    found = [first_signal(x) for x in doughs]
    right = [one for one in found if one and one.last > 12 and one.mean_error_g > 0]

    assert len(right) >= 0.9 * 200
    assert np.median([one.last - 12 for one in right]) <= 16
    assert all("smaller" in one.reaction and "heavy" in one.text for one in right)


def test_a_drift_is_found_before_it_has_gone_far() -> None:
    """Half a percent (3.7 g) every ten pieces; median of 5,000 in the benchmark: piece 26."""
    doughs = cuts(200, PIECES, lag_1=0.3, seed=5) + np.arange(PIECES) * TARGET_G * 0.0005
    found = [one.last for x in doughs if (one := first_signal(x))]

    assert len(found) >= 0.97 * 200
    assert np.median(found) <= 30


def test_what_to_do_always_goes_against_what_was_seen() -> None:
    """Also where the last cuts had already come back: a change of no grams would say nothing."""
    detector = BenchDetector(TARGET_G, sigma_g=SPREAD_G)
    run = [25.0, 25.0, 25.0, -30.0, -20.0, 60.0, 12.0, 12.0, 12.0]
    found = [one for number, g in enumerate(run, 1) if (one := detector.feed(number, TARGET_G + g))]

    assert found
    assert all("smaller" in one.reaction and " 0 g" not in one.reaction for one in found)


def test_light_cuts_are_told_to_be_cut_larger() -> None:
    found = first_signal(np.full(20, TARGET_G - 12))

    assert found is not None
    assert found.mean_error_g == pytest.approx(-12)
    assert found.text.startswith("Pieces 1 to 9 were first cut 12 g too light")
    assert "larger" in found.reaction


def test_after_a_signal_it_watches_anew() -> None:
    detector = BenchDetector(TARGET_G, sigma_g=SPREAD_G)
    rung = [number for number in range(1, 40) if detector.feed(number, TARGET_G + 12)]

    assert [9, 18, 27, 36] == rung


@pytest.mark.parametrize("sigma_g", [SPREAD_G, None])
def test_when_it_rings_does_not_change_with_the_unit(sigma_g: float | None) -> None:
    """By a power of two, which scales every double exactly."""
    for x in cuts(50, PIECES, lag_1=0.3, seed=8) + SPREAD_G:
        one = BenchDetector(TARGET_G, sigma_g=sigma_g)
        other = BenchDetector(TARGET_G / 32, sigma_g=sigma_g and sigma_g / 32)
        at = [bool(one.feed(number, g)) for number, g in enumerate(x.tolist(), 1)]

        assert at == [bool(other.feed(number, g / 32)) for number, g in enumerate(x.tolist(), 1)]
        assert any(at) or sigma_g is None


def test_equal_cuts_have_no_spread_to_judge_by() -> None:
    """Until there is one, or the scale's own resolution stands in for it."""
    silent = BenchDetector(TARGET_G)
    resolved = BenchDetector(TARGET_G, least_sigma_g=1.0)

    assert not any(silent.feed(number, TARGET_G + 5) for number in range(1, 40))
    assert any(resolved.feed(number, TARGET_G + 5) for number in range(1, 40))


def test_it_holds_no_more_of_a_long_shift_than_of_its_last_pieces() -> None:
    """10,000 calm pieces, of which a number each would take two bytes and more as pickled."""
    detector, bytes_held = BenchDetector(TARGET_G, sigma_g=3 * SPREAD_G), []
    for number, first_g in enumerate(cuts(1, 10_000, lag_1=0.0, seed=9)[0].tolist(), 1):
        assert detector.feed(number, first_g) is None
        bytes_held.append(len(pickle.dumps(detector)))

    assert max(bytes_held[5000:]) <= max(bytes_held[1000:5000]) + 100


def test_numbers_that_make_no_sense_are_refused() -> None:
    with pytest.raises(SpecificationError, match="scaling weight"):
        BenchDetector(0)
    with pytest.raises(SpecificationError, match="spread"):
        BenchDetector(TARGET_G, sigma_g=0)
    with pytest.raises(SpecificationError, match="least spread"):
        BenchDetector(TARGET_G, least_sigma_g=float("nan"))
    with pytest.raises(SpecificationError, match="finite"):
        BenchDetector(TARGET_G).feed(1, float("nan"))


def test_charting_kept_pieces_hides_what_first_cuts_show() -> None:
    """A shift of 30 g: what is out of band is trimmed anew, so what is kept looks calm."""
    draw = np.random.default_rng(4)
    first = cuts(1, 96, lag_1=0.0, seed=4)[0]
    first[48:] += 30
    trimmed = TARGET_G + draw.uniform(-SPREAD_G, SPREAD_G, len(first))
    kept = np.where(abs(first - TARGET_G) <= SPREAD_G, first, trimmed)
    beyond = {}
    for name, x in (("first", first), ("kept", kept)):
        limits = individuals(x[:48])
        beyond[name] = int(((x[48:] < limits.lower) | (x[48:] > limits.upper)).sum())

    assert first[48:].mean() - first[:48].mean() > 25
    assert abs(kept[48:].mean() - kept[:48].mean()) < 2
    assert beyond["first"] > 20
    assert beyond["kept"] == 0
    assert first_signal(first) is not None
    assert first_signal(kept) is None


def test_one_wild_cut_is_told_by_half_of_it_at_least() -> None:
    """By hand: a sum of 10 - 0.375 is beyond 9.3; the recent level has but a fifth of the 10 g."""
    calm = [TARGET_G - 0.3] * 10
    found = first_signal(np.array([*calm, TARGET_G + 10]), sigma_g=1.0)

    assert found is not None
    assert (11, 11) == (found.first, found.last)
    assert (10.0, 5.0) == pytest.approx((found.mean_error_g, found.now_g))
