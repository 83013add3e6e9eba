"""Declared weight, least aim, loss law -> the lowest scaling weight that a plan may come to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from weighstation.plan import given
from weighstation.plan.losses import scaling_weight

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.plan.losses import Losses


class FloorBy(StrEnum):
    """What asks for the floor."""

    DECLARED = "declared weight"
    AIM = "least aim"


@dataclass(frozen=True, slots=True)
class Floor:
    """The lowest scaling weight.

    Parameters
    ----------
    floor_g : float, grams
    by : FloorBy
    """

    floor_g: float
    by: FloorBy


def lowest_scaling(
    declared_g: float,
    law: Callable[[float], float] | Losses,
    *,
    least_aim_g: float | None = None,
) -> Floor:
    """Return the lowest scaling weight whose loaf still is what it is sold as.

    Parameters
    ----------
    declared_g : float, grams
        What the label says of the baked loaf.
    law : function of grams to grams, or losses
        Baked weight to dough: a law that was fitted to this oven, or losses that are the same for
        every weight. Where both are there, the fitted one decides.
    least_aim_g : float or None, grams
        Lowest lawful mean of the baked loaves, `weighstation.quantity.least_aim`.

    Returns
    -------
    Floor

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    The larger of the two, each through the law of the loss. Arithmetic; no legal proof.

    Examples
    --------
    >>> round(lowest_scaling(800, 0.12).floor_g, 1)
    909.1
    >>> found = lowest_scaling(800, 0.12, least_aim_g=805.29)
    >>> round(found.floor_g, 1), found.by.value
    (915.1, 'least aim')
    """
    declared = given.number(declared_g, "A declared weight", positive=True)
    aim = declared
    if least_aim_g is not None:
        aim = given.number(least_aim_g, "A least aim", positive=True)
    by = FloorBy.AIM if aim > declared else FloorBy.DECLARED
    baked_g = max(declared, aim)
    if callable(law):
        return Floor(given.number(law(baked_g), "The dough for a loaf", positive=True), by)
    return Floor(scaling_weight(baked_g, law).scaling_g, by)
