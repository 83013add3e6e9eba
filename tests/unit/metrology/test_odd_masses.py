"""What is no number is refused in one sentence wherever `weighstation.metrology` takes one."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from weighstation.errors import SpecificationError
from weighstation.metrology import (
    AccuracyClass,
    Changeover,
    Plate,
    ScaleLimits,
    Scatter,
    acceptance,
    accuracy_class,
    chance_within,
    division_suits_law,
    guard_band,
    least_load,
    misjudged,
    permissible_error,
    piece_uncertainty,
    true_error,
    weight_class,
    weight_limit,
    weight_suits,
)

if TYPE_CHECKING:
    from collections.abc import Callable

ODD = [
    *(None, True, "", "a loaf", b"8", [1], {}, 8j, object(), np.array([1.0, 2.0])),
    *(math.nan, math.inf, 10**400, 10**5000, Decimal("sNaN")),
]
FACES: dict[str, Callable[[Any], object]] = {
    "load": lambda odd: permissible_error(odd, e_g=1, accuracy_class="III"),
    "e": lambda odd: permissible_error(5, e_g=odd, accuracy_class="III"),
    "class": lambda odd: permissible_error(5, e_g=1, accuracy_class=odd),
    "class by name": accuracy_class,
    "least load": lambda odd: least_load(odd, accuracy_class="III"),
    "class of a plate": lambda odd: Plate(odd, Decimal(1), Decimal(3000)),
    "e of a plate": lambda odd: Plate(AccuracyClass.MEDIUM, odd, Decimal(3000)),
    "Max of a plate": lambda odd: Plate(AccuracyClass.MEDIUM, Decimal(1), odd),
    "division of limits": ScaleLimits,
    "division for the law": lambda odd: division_suits_law(odd, tolerance_g=15),
    "deficiency": lambda odd: division_suits_law(1, tolerance_g=odd),
    "spread": Scatter,
    "mean error": lambda odd: Scatter(1.0, odd),
    "repeatability": lambda odd: Scatter(1.0, 0.0, odd),
    "under": lambda odd: misjudged(Scatter(5), under_g=odd, over_g=8, division_g=1),
    "over": lambda odd: misjudged(Scatter(5), under_g=6, over_g=odd, division_g=1),
    "division of misjudged": lambda odd: misjudged(Scatter(5), under_g=6, over_g=8, division_g=odd),
    "division of a piece": piece_uncertainty,
    "repeatability of a piece": lambda odd: piece_uncertainty(1, repeatability_g=odd),
    "permissible error of a piece": lambda odd: piece_uncertainty(1, permissible_error_g=odd),
    "load of a changeover": lambda odd: true_error(Changeover(odd, 1, 1), e_g=1),
    "indication of a changeover": lambda odd: true_error(Changeover(1, odd, 1), e_g=1),
    "class of a weight": weight_class,
    "nominal of a weight": lambda odd: weight_limit(odd, weight_class="M1"),
    "error of a weight": lambda odd: weight_suits(odd, limit_g=1),
    "limit for a weight": lambda odd: weight_suits(1, limit_g=odd),
    "uncertainty of a guard": guard_band,
    "ratio of a guard": lambda odd: guard_band(1, ratio=odd),
    "width of a guard": lambda odd: acceptance(odd, lower_g=1),
    "indication": lambda odd: chance_within(odd, standard_g=1, lower_g=1),
    "uncertainty": lambda odd: chance_within(1, standard_g=odd, lower_g=1),
    "limit": lambda odd: chance_within(1, standard_g=1, lower_g=odd),
}


@pytest.mark.parametrize("face", FACES)
def test_what_is_no_number_is_refused_in_a_sentence(face: str) -> None:
    """Each kind of it."""
    said = {f"{place}, {type(odd).__name__}": answer(face, odd) for place, odd in enumerate(ODD)}

    assert {} == {odd: text for odd, text in said.items() if not is_plain(text)}


def answer(face: str, odd: object) -> str:
    """Return what a face says to what is no number; how it failed where it says nothing."""
    try:
        FACES[face](odd)
    except SpecificationError as exc:
        return exc.sentence
    except Exception as exc:  # noqa: BLE001 - any of them is what is looked for
        return repr(exc)
    return "taken for a number"


def is_plain(text: str) -> bool:
    """Return whether this is a sentence for a person, on one line and not too long."""
    return text.isprintable() and text.endswith(".") and len(text) < 250


@pytest.mark.parametrize("odd", [None, 1, 0, "no", "", np.array([True, True])])
def test_in_service_is_said_by_true_and_false_alone(odd: Any) -> None:
    """The word "no" would count as true, and allow twice the error."""
    with pytest.raises(SpecificationError, match="'in_service' is true or false"):
        permissible_error(500, e_g=1, accuracy_class="III", in_service=odd)
