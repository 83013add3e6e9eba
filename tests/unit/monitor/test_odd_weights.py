"""Whatever is handed over, it is worked out or refused in one plain sentence."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor import (
    Moments,
    Setting,
    Side,
    autocorrelation,
    capability,
    cusum,
    drift,
    ewma,
    fences,
    gauge_by_ranges,
    gauge_by_variances,
    groups_of,
    grubbs,
    individuals,
    least_correction,
    normality,
    percentile,
    run_rules,
    tolerance_interval,
    weighed_together,
    xbar_r,
    xbar_s,
    xbar_s_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable

WEIGHTS = [740.0, 743.0, 738.0, 741.0, 736.0, 744.0, 739.0, 742.0, 745.0, 737.0, 740.5, 741.5]
ROW: dict[str, Callable[[Any], object]] = {
    "individuals": individuals,
    "ewma": lambda x: ewma(x, lam=0.2, L=3, target=740, sigma=3),
    "cusum": lambda x: cusum(x, target=740, sigma=3, k=0.5, h=5),
    "run_rules": lambda x: run_rules(x, centre=740, sigma=3),
    "xbar_s_of": lambda x: xbar_s_of(x, [3.0] * 12, [5] * 12),
    "capability": lambda x: capability(x, 730, 750),
    "tolerance_interval": lambda x: tolerance_interval(x, share=0.9),
    "one-sided": lambda x: tolerance_interval(x, share=0.9, side=Side.LOWER),
    "normality": normality,
    "autocorrelation": autocorrelation,
    "grubbs": grubbs,
    "fences": fences,
    "percentile": lambda x: percentile(x, share=0.5),
    "drift": lambda x: drift(x, age_min=range(12), target_g=740),
    "drift, ages": lambda x: drift(WEIGHTS, age_min=x, target_g=740),
    "least_correction": lambda x: least_correction(x, setting=Setting(740)),
    "Moments.of": Moments.of,
    "groups_of": lambda x: groups_of(x, size=2),
    "weighed_together": lambda x: weighed_together(x, size=2),
}
TABLE: dict[str, Callable[[Any], object]] = {
    "xbar_r": xbar_r,
    "xbar_s": xbar_s,
    "gauge_by_variances": gauge_by_variances,
    "gauge_by_ranges": gauge_by_ranges,
}
NO_ROW: dict[str, object] = {
    "nothing": None,
    "one number": 740.0,
    "a text": "740 741 742",
    "words": ["a", "b", "c"] * 4,
    "a gap": [740.0, None, 741.0] * 4,
    "not a number": [740.0, math.nan, 741.0] * 4,
    "infinite": [740.0, math.inf, 741.0] * 4,
    "too great to square": [1e308, -1e308, 740.0] * 4,
    "no double": [10**400, 740, 741] * 4,
    "a table": np.full((12, 3), 740.0),
    "a table of lists": [[740.0, 741.0]] * 12,
    "ragged": [[740.0], [741.0, 742.0]] * 6,
    "complex": [740 + 1j, 741.0, 742.0] * 4,
}
IN_OTHER_TYPES: dict[str, list[Any]] = {
    "Decimal": [Decimal(str(g)) for g in WEIGHTS],
    "Fraction": [Fraction(g) for g in WEIGHTS],
    "numpy": list(np.asarray(WEIGHTS)),
}


def assert_one_sentence(error: Exception) -> None:
    text = str(error)

    assert text.endswith(".")
    assert "\n" not in text
    assert not any(word in text for word in ("float", "object", "iterable", "argument"))


@pytest.mark.parametrize("given", NO_ROW)
@pytest.mark.parametrize("name", ROW)
def test_what_is_no_row_of_numbers_is_refused(name: str, given: str) -> None:
    with pytest.raises((SpecificationError, NotEnoughDataError)) as caught:
        ROW[name](NO_ROW[given])

    assert_one_sentence(caught.value)


@pytest.mark.parametrize("given", [*(each for each in NO_ROW if "a table" not in each), "a row"])
@pytest.mark.parametrize("name", TABLE)
def test_what_is_no_table_of_numbers_is_refused(name: str, given: str) -> None:
    with pytest.raises((SpecificationError, NotEnoughDataError)) as caught:
        TABLE[name]((NO_ROW | {"a row": WEIGHTS})[given])

    assert_one_sentence(caught.value)


@pytest.mark.parametrize("kind", IN_OTHER_TYPES)
@pytest.mark.parametrize("name", [name for name in ROW if name != "drift, ages"])
def test_other_types_of_numbers_give_the_same(name: str, kind: str) -> None:
    assert repr(ROW[name](WEIGHTS)) == repr(ROW[name](IN_OTHER_TYPES[kind]))


@pytest.mark.parametrize("name", ["individuals", "capability", "grubbs", "drift", "Moments.of"])
def test_a_great_offset_takes_nothing_from_the_spread(name: str) -> None:
    """Twelve weights on a base of a thousand million, in halves that a double holds exactly."""
    far = ROW[name]([1e9 + g for g in WEIGHTS])
    near = ROW[name](WEIGHTS)
    spreads = {
        "individuals": "sigma",
        "capability": "sd_g",
        "grubbs": "g",
        "drift": "slope_g_per_min",
        "Moments.of": "sd",
    }

    assert getattr(near, spreads[name]) == pytest.approx(getattr(far, spreads[name]), rel=1e-6)


def test_moments_are_plain_numbers() -> None:
    found = Moments.of(np.asarray(WEIGHTS))

    assert (float, float) == (type(found.mean_of), type(found.m2))


@pytest.mark.parametrize("near", [1e-300, 1e-12, 1 - 1e-12, 1 - 2**-53])
def test_a_confidence_too_near_its_ends_is_refused(near: float) -> None:
    for side in Side:
        with pytest.raises(SpecificationError, match="too near to 0 or 1"):
            tolerance_interval(WEIGHTS, share=0.9, confidence=near, side=side)
        with pytest.raises(SpecificationError, match="too near to 0 or 1"):
            tolerance_interval(WEIGHTS, share=near, side=side)
    with pytest.raises(SpecificationError, match="too near to 0 or 1"):
        capability(WEIGHTS, 730, 750, confidence=near)
    with pytest.raises(SpecificationError, match="too near to 0 or 1"):
        drift(WEIGHTS, age_min=range(12), target_g=740, confidence=near)
