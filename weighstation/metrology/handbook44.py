"""Tolerances of a class III scale in the United States, as far as they could be sourced."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.metrology.accuracy import checked_mass

if TYPE_CHECKING:
    from decimal import Decimal

_STEPS = ((500, 1), (2_000, 2), (4_000, 3))
_ABOVE = 5
MOST_DIVISIONS = 10_000


def maintenance_tolerance(
    load_g: float | Decimal | str, *, d_g: float | Decimal | str, acceptance: bool = False
) -> float:
    """Return the tolerance of a class III scale at a load by NIST Handbook 44.

    Parameters
    ----------
    load_g : float, Decimal or str, grams
        Not negative.
    d_g : float, Decimal or str, grams
        Scale division, positive.
    acceptance : bool
        For a new or newly mended scale, which is allowed half as much.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If a number means nothing, or the load is more than 10 000 divisions.

    Notes
    -----
    NIST Handbook 44, section 2.20, table 6: 1, 2, 3 and 5 divisions up to 500, 2000, 4000 and
    above. From memory; two of the four steps were seen quoted. Other classes are not here, because
    no source was found for them. Look into the edition in force before you rely on it.

    Examples
    --------
    >>> maintenance_tolerance(3000, d_g=1), maintenance_tolerance(3000, d_g=1, acceptance=True)
    (3.0, 1.5)
    """
    d = checked_mass(d_g, "A division", positive=True)
    divisions = checked_mass(load_g, "A load") / d
    if divisions > MOST_DIVISIONS:
        raise SpecificationError(
            f"A class III scale has at most {MOST_DIVISIONS} divisions, and this load is"
            f" {math.ceil(divisions)}: see whether the division is right."
        )
    most = next((tolerance for upto, tolerance in _STEPS if divisions <= upto), _ABOVE)
    return float(most * d / (2 if acceptance else 1))
