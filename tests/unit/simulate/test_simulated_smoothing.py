"""Every filter against its textbook step response."""

from __future__ import annotations

import math
from itertools import accumulate
from random import Random
from statistics import median

import pytest

from weighstation.simulate.smoothing import COUNTS_PER_DIVISION, Filter, smoother


def test_a_moving_average_turns_a_step_into_a_ramp_of_its_own_length() -> None:
    """Mean of the last n samples of a step: k/n of it after k samples (definition)."""
    filtered = smoother(Filter.MOVING_AVERAGE, 40)
    expected = [25.0 * k for k in range(1, 41)] + [1000.0] * 5

    assert expected == pytest.approx([filtered.feed(1000) for _ in range(45)])


def test_a_first_order_filter_reaches_the_textbook_fractions() -> None:
    """1 - exp(-n) after n time constants, n = 1 to 3; the window is three of them."""
    filtered = smoother(Filter.FIRST_ORDER, 60)
    path = [filtered.feed(1_000_000) for _ in range(60)]

    assert [632_121, 864_665, 950_213] == pytest.approx([path[19], path[39], path[59]], abs=1)


def test_an_adaptive_filter_forgets_the_load_before_a_jump() -> None:
    filtered = smoother(Filter.ADAPTIVE, 40)
    path = [filtered.feed(50_000) for _ in range(3)]

    assert [1250.0, 50_000.0, 50_000.0] == path


def test_a_cascade_meets_the_textbook_of_three_equal_stages() -> None:
    """1 - exp(-x)(1 + x + x^2 / 2), x in time constants of one stage (textbook, from memory)."""
    filtered = smoother(Filter.CASCADE, 9000)
    path = [filtered.feed(1_000_000) for _ in range(9000)]
    expected = [1_000_000 * (1 - math.exp(-x) * (1 + x + x * x / 2)) for x in range(1, 10)]

    assert expected == pytest.approx(path[999::1000], abs=600)


def test_a_cascade_in_steps_is_a_negative_binomial() -> None:
    """Its impulse response is C(k + 2, 2) p^3 q^k: three geometric waits, one after the other."""
    p = 1 - math.exp(-9 / 40)
    impulse = [math.comb(k + 2, 2) * p**3 * (1 - p) ** k for k in range(60)]
    filtered = smoother(Filter.CASCADE, 40)

    assert [1000 * each for each in accumulate(impulse)] == pytest.approx(
        [filtered.feed(1000) for _ in range(60)]
    )


def test_a_median_stays_until_half_the_window_has_changed() -> None:
    filtered = smoother(Filter.MEDIAN, 40)
    expected = [0.0] * 19 + [500.0] + [1000.0] * 25

    assert expected == [filtered.feed(1000) for _ in range(45)]


@pytest.mark.parametrize("samples", [1, 4, 7])
def test_a_median_is_that_of_the_last_samples(samples: int) -> None:
    """Against the standard library's median of each window."""
    rng = Random(samples)
    counts = [rng.randint(-20, 20) for _ in range(200)]
    filtered = smoother(Filter.MEDIAN, samples)
    padded = [0] * samples + counts
    expected = [median(padded[end - samples : end]) for end in range(samples + 1, len(padded) + 1)]

    assert expected == [filtered.feed(count) for count in counts]


def test_an_easing_filter_is_quick_while_the_value_is_far() -> None:
    """A great step: 1 - exp(-n) after n of its short time constants, a fifth of the long."""
    filtered = smoother(Filter.EASING, 300)
    path = [filtered.feed(1_000_000) for _ in range(60)]

    assert [632_121, 864_665, 950_213] == pytest.approx([path[19], path[39], path[59]], abs=200)


def test_an_easing_filter_is_slow_while_the_value_is_calm() -> None:
    """A step of a twentieth of a division: 1 - exp(-n) after n of its long time constants."""
    filtered = smoother(Filter.EASING, 300)
    step = COUNTS_PER_DIVISION // 20
    path = [filtered.feed(step) / step for _ in range(300)]

    assert [0.632121, 0.864665, 0.950213] == pytest.approx(path[99::100], abs=0.003)


@pytest.mark.parametrize("kind", list(Filter))
def test_every_filter_comes_to_rest_at_what_it_is_fed(kind: Filter) -> None:
    filtered = smoother(kind, 40)
    path = [filtered.feed(37_000) for _ in range(300)]

    assert path[-1] == pytest.approx(37_000, abs=0.01)


@pytest.mark.parametrize(
    "kind", [each for each in Filter if each not in (Filter.ADAPTIVE, Filter.EASING)]
)
def test_a_steady_filter_delays_a_ramp_by_its_mean_delay(kind: Filter) -> None:
    """Textbook: a ramp lags by the mean of the impulse response (a median: by half the window)."""
    samples = 90
    filtered = smoother(kind, samples)
    lag = (1000 * 10_000 - [filtered.feed(1000 * k) for k in range(1, 10_001)][-1]) / 1000
    stages = {Filter.FIRST_ORDER: (1, 3), Filter.CASCADE: (3, 9)}
    if kind in stages:
        count, constants = stages[kind]
        expected = count / math.expm1(constants / samples)
    else:
        expected = (samples - 1) / 2

    assert expected == pytest.approx(lag, abs=0.01)
