"""A number of a wrong kind is refused in one sentence, at the faces of monitor and plan."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from weighstation import monitor, plan
from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.quantities import is_count, is_number

if TYPE_CHECKING:
    from collections.abc import Callable

WEIGHTS = [740.0, 743.0, 738.0, 741.0, 736.0, 744.0, 739.0, 742.0, 745.0, 737.0, 740.5, 741.5]
PAIRS = [(900.0, 790.0), (910.0, 799.0), (905.0, 797.0), (895.0, 788.0), (915.0, 806.0)]
Call = tuple["Callable[..., object]", tuple[object, ...], dict[str, Any]]
SUMS = {"target": 740.0, "sigma": 3.0, "k": 0.5, "h": 5.0, "head_start": 2.5}
FROM = {"mean_g": 741.0, "sd_g": 3.0}
ROOM = plan.Room(909, 9, 9)


def gram_cost(**week: Any) -> object:
    """Return what a gram costs in such a week."""
    return plan.gram_cost(plan.Week(**week), carry=plan.Carry(0.88, (0.86, 0.9), plan.LossLaw.LINE))


def scaling_target(**evenness: Any) -> object:
    """Return the scaling weight at such an evenness."""
    stages = plan.KnownLoss(stages=(plan.Loss(0.12),))
    return plan.scaling_target(
        plan.Declared(800, "eu-76-211"), loss=stages, evenness=plan.Evenness(**evenness)
    )


CALLS: dict[str, Call] = {
    "BenchDetector": (
        monitor.BenchDetector,
        (),
        {"target_g": 740, "sigma_g": 3.0, "least_sigma_g": 0.5},
    ),
    "BenchDetector.feed": (monitor.BenchDetector(740).feed, (1,), {"first_g": 741.0}),
    "Check": (monitor.Check, (), {"pieces": 5, "every_min": 10.0, "sd_g": 3.0, "limits": 3.0}),
    "Moments.plus": (monitor.Moments.of(WEIGHTS).plus, (), {"x": 740.0}),
    "OnlineCusum": (monitor.OnlineCusum, (), SUMS),
    "OnlineEwma": (monitor.OnlineEwma, (), {"lam": 0.2, "start": 0.0}),
    "Setting": (
        monitor.Setting,
        (),
        {"target_g": 740.0, "deadband_pct": 0.5, "step_pct": 0.1, "most_pct": 2.0},
    ),
    "autocorrelation": (monitor.autocorrelation, (WEIGHTS,), {"confidence": 0.95}),
    "c4": (monitor.c4, (), {"n": 5}),
    "capability": (monitor.capability, (WEIGHTS, 730, 750), {"confidence": 0.95}),
    "capability, band": (monitor.capability, (WEIGHTS,), {"lower": 730.0, "upper": 750.0}),
    "capability_from": (monitor.capability_from, (), {**FROM, "n": 30, "confidence": 0.95}),
    "chance_missed": (monitor.chance_missed, (), {"shift_sd": 1.0, "size": 5, "limits": 3.0}),
    "chart_constants": (monitor.chart_constants, (), {"n": 5}),
    "cusum": (monitor.cusum, (WEIGHTS,), SUMS),
    "drift": (
        monitor.drift,
        (WEIGHTS,),
        {"age_min": range(12), "target_g": 740.0, "confidence": 0.95},
    ),
    "ewma": (
        monitor.ewma,
        (WEIGHTS,),
        {"lam": 0.2, "L": 3.0, "target": 740.0, "sigma": 3.0},
    ),
    "expected_checks": (monitor.expected_checks, (), {"shift_sd": 1.0, "size": 5, "limits": 3.0}),
    "expected_over_g": (monitor.expected_over_g, (), {**FROM, "target_g": 740.0}),
    "expected_under_g": (monitor.expected_under_g, (), {**FROM, "target_g": 740.0}),
    "fences_from": (
        monitor.fences_from,
        (),
        {"first_quartile": 738.0, "third_quartile": 742.0},
    ),
    "groups_of": (monitor.groups_of, (WEIGHTS,), {"size": 3}),
    "grubbs": (monitor.grubbs, (WEIGHTS,), {"level": 0.05}),
    "least_correction": (
        monitor.least_correction,
        (WEIGHTS,),
        {"setting": monitor.Setting(740), "confidence": 0.95},
    ),
    "mean_interval": (monitor.mean_interval, (), {**FROM, "n": 30, "confidence": 0.95}),
    "mean_test": (monitor.mean_test, (), {**FROM, "n": 30, "target_g": 740.0}),
    "net_rounding_sd_g": (monitor.net_rounding_sd_g, (), {"division_g": 1.0}),
    "normality": (monitor.normality, (WEIGHTS,), {"level": 0.05}),
    "percentile": (monitor.percentile, (WEIGHTS,), {"share": 0.5}),
    "require_resolution": (monitor.require_resolution, (), {"sd_g": 3.0, "division_g": 1.0}),
    "resolution_text": (monitor.resolution_text, (), {"sd_g": 3.0, "division_g": 1.0}),
    "rounding_sd_g": (monitor.rounding_sd_g, (), {"division_g": 1.0}),
    "run_rules": (monitor.run_rules, (WEIGHTS,), {"centre": 740.0, "sigma": 3.0}),
    "sd_interval": (monitor.sd_interval, (), {"sd_g": 3.0, "n": 30, "confidence": 0.95}),
    "sd_test": (monitor.sd_test, (), {"sd_g": 3.0, "n": 30, "stated_g": 3.0}),
    "sheppard_sd_g": (monitor.sheppard_sd_g, (), {"sd_g": 3.0, "division_g": 1.0}),
    "tolerance_interval": (
        monitor.tolerance_interval,
        (WEIGHTS,),
        {"share": 0.9, "confidence": 0.95},
    ),
    "unit_normal_loss": (monitor.unit_normal_loss, (), {"u": 0.5}),
    "weighed_together": (monitor.weighed_together, (WEIGHTS,), {"size": 3}),
    "Loss": (plan.Loss, (), {"of_dough": 0.1}),
    "Ordered": (plan.Ordered, ("Loaf",), {"pieces": 40, "scaling_g": 900.0}),
    "Oven": (plan.Oven, (), {"places": 24, "cycle_min": 40.0}),
    "ProofNeeded": (plan.ProofNeeded, (), {"minutes": 60.0, "reference_c": 26.0}),
    "RestWindow": (plan.RestWindow, (), {"least_s": 600.0, "most_s": 900.0}),
    "Room": (
        plan.Room,
        (),
        {"scaling_g": 909.0, "under_g": 9.0, "over_g": 9.0, "floor_g": 0.0},
    ),
    "TemperatureLog": (plan.TemperatureLog, ((0.0,),), {"temps_c": (26.0,)}),
    "TimeLimit": (plan.TimeLimit, (), {"aim_s": 900.0, "most_s": 1200.0}),
    "Wanted": (plan.Wanted, ("Loaf", ROOM), {"least": 0}),
    "gram_cost": (gram_cost, (), {"pieces": 500, "dough_price_per_kg": 0.5}),
    "scaling_target": (scaling_target, (), {"sd_g": 3.0, "batch_sd_g": 1.0}),
    "bake_time": (plan.bake_time, (), {"usual_min": 30.0, "usual_g": 800.0, "piece_g": 830.0}),
    "baked_sd_g": (
        plan.baked_sd_g,
        (),
        {"scaling_sd_g": 3.0, "carry": 0.88, "oven_sd_g": 5.0},
    ),
    "before_mixing": (plan.before_mixing, (80,), {"every_s": 9.0, "limit": plan.TimeLimit()}),
    "bench_flour": (
        plan.bench_flour,
        (),
        {"piece_g": 900.0, "flour_g": 5.0, "sum_pct": 170.0, "hydration_pct": 67.0},
    ),
    "bench_spread": (plan.bench_spread, ((),), {"band_g": 8.0}),
    "core_caution": (plan.core_caution, (), {"core_c": 12.0}),
    "cover_caution": (plan.cover_caution, (), {"uncovered_s": 900.0}),
    "deck_load": (plan.deck_load, (), {"pieces": 24, "scaling_g": 900.0, "area_m2": 2.0}),
    "equivalent_minutes": (plan.equivalent_minutes, ([60.0], [26.0]), {"reference_c": 26.0}),
    "even_bake": (plan.even_bake, ([800.0, 805.0],), {"share": 0.05}),
    "formula": (plan.formula, ({"flour": 100, "water": 67},), {"dough_g": 1000.0}),
    "largest_dough": (
        plan.largest_dough,
        (),
        {"every_s": 9.0, "limit_s": 900.0, "scalers": 1},
    ),
    "loaves_apart": (plan.loaves_apart, (PAIRS,), {"level": 0.05}),
    "loss_line": (plan.loss_line, (PAIRS,), {"confidence": 0.95}),
    "loss_ratio": (plan.loss_ratio, (PAIRS,), {"confidence": 0.95}),
    "mean_rate": (
        plan.mean_rate,
        (),
        {"from_c": 24.0, "to_c": 26.0, "reference_c": 26.0},
    ),
    "one_hour_share": (plan.one_hour_share, (), {"minutes_out": 30.0}),
    "oven_loads": (
        plan.oven_loads,
        (),
        {"pieces": 40, "oven": plan.Oven(24, 40), "proof_min": 60.0, "cut_every_s": 9.0},
    ),
    "oven_loss": (plan.oven_loss, (PAIRS,), {"confidence": 0.95}),
    "pace": (plan.pace, ([0.0, 9.0, 18.0, 27.0],), {"last": 12, "break_s": 120.0}),
    "picked_up_g": (
        plan.picked_up_g,
        (),
        {"tub_start_g": 900.0, "tub_end_g": 600.0, "swept_g": 100.0, "pieces": 40},
    ),
    "rate": (plan.rate, (), {"temp_c": 24.0, "reference_c": 26.0}),
    "retarget": (plan.retarget, (), {"dough_left_g": 9000.0, "pieces_left": 10, "room": ROOM}),
    "scaling_weight": (plan.scaling_weight, (), {"baked_g": 800.0, "losses": ()}),
    "share_out": (plan.share_out, (), {"dough_g": 9000.0, "wanted": [plan.Wanted("L", ROOM)]}),
    "split": (
        plan.split,
        (),
        {"dough_g": 9000.0, "scaling_g": 900.0, "under_g": 9.0, "over_g": 9.0},
    ),
    "split_of_pairs": (plan.split_of_pairs, (PAIRS,), {"minutes_out": 60.0, "confidence": 0.95}),
    "weight_after": (plan.weight_after, (), {"before_g": 900.0, "losses": ()}),
    "weight_before": (plan.weight_before, (), {"after_g": 900.0, "losses": ()}),
    "while_cutting": (plan.while_cutting, (), {"pieces_left": 30, "every_s": 9.0, "left_s": 60.0}),
}
MORE: dict[str, dict[str, Any]] = {
    "capability_from": {"band": (730.0, 750.0)},
    "one_hour_share": {"cooling_loss_per_h": 0.01},
    "split_of_pairs": {"cooling_loss_per_h": 0.01},
}
NO_NUMBER: dict[str, object] = {
    "text": "0.5",
    "nothing": None,
    "true": True,
    "complex": 0.5 + 0j,
    "numpy's complex": np.complex64(0.5),
    "numpy's true": np.bool_(True),
    "a list": [0.5],
    "an array": np.array([0.5, 0.6]),
    "not a number": math.nan,
    "no number that signals": Decimal("sNaN"),
    "infinite": math.inf,
    "beyond a double": 10**400,
    "beyond what can be written": 10**5000,
}
MAY_BE_NONE = {
    *(("BenchDetector", "sigma_g"), ("capability", "lower"), ("capability", "upper")),
    *(("capability, band", "lower"), ("capability, band", "upper")),
}
WORDS_OF_THE_LANGUAGE = ("float()", "object", "argument", "instance", "integer string conversion")


@pytest.mark.parametrize("name", CALLS)
def test_the_call_itself_is_a_good_one(name: str) -> None:
    function, row, numbers = CALLS[name]
    function(*row, **numbers, **MORE.get(name, {}))


@pytest.mark.parametrize("name", CALLS)
def test_what_is_no_number_is_refused_in_one_sentence(name: str) -> None:
    """Each kind of it, in the place of each number of the call."""
    numbers = CALLS[name][2]
    keys = [key for key, value in numbers.items() if isinstance(value, (int, float))]
    said = {(key, kind): answer(name, key, kind) for key in keys for kind in NO_NUMBER}

    assert {} == {place: text for place, text in said.items() if not is_plain(text)}


def answer(name: str, key: str, kind: str) -> str:
    """Return what a call says to one number that is none; how it failed where it says nothing."""
    if NO_NUMBER[kind] is None and (name, key) in MAY_BE_NONE:
        return "It may be left out."
    function, row, numbers = CALLS[name]
    try:
        function(*row, **(numbers | {key: NO_NUMBER[kind]}), **MORE.get(name, {}))
    except (SpecificationError, NotEnoughDataError) as exc:
        return str(exc)
    except Exception as exc:  # noqa: BLE001 - any of them is what is looked for
        return repr(exc)
    return "taken for a number"


def is_plain(text: str) -> bool:
    """Return whether this is a sentence for a person, on one line and not too long."""
    of_python = any(word in text for word in WORDS_OF_THE_LANGUAGE)
    return text.endswith(".") and text.isprintable() and len(text) < 250 and not of_python


def test_the_shared_check_takes_none_of_them_for_a_number() -> None:
    taken = [kind for kind, given in NO_NUMBER.items() if is_number(given) or is_count(given)]

    assert [] == taken
    assert is_number(3, 0.5, Decimal("0.1"), Fraction(1, 3), np.float32(0.5))


def test_a_count_is_whole_and_at_least_so_many() -> None:
    assert is_count(np.int64(2), least=2)
    assert not is_count(1, least=2)
    assert not is_count(2.0, least=2)
