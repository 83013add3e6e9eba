"""Baker's percentages and a weight of dough -> what to weigh into the bowl.

In a baker's formula every ingredient is a percentage of the flour, and the flours together are 100.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from weighstation.errors import SpecificationError
from weighstation.plan import given

FLOURS_PCT = 100.0
ROUNDED_PCT = 0.05
"""Three flours written as 33.33 % are 100 % too."""
_WATER = "water"


@dataclass(frozen=True, slots=True)
class Formula:
    """A dough, ingredient by ingredient.

    Parameters
    ----------
    grams : dict of str to float, grams
        In the order in which the percentages were given; they add up to ``dough_g``.
    dough_g, flour_g : float, grams
        Of the whole dough, and of all flours in it.
    liquid_g : float, grams, or None
        Of all liquids; None where none was named and none is called water.
    sum_pct : float, percent of the flour
        All percentages added up.
    flours : tuple of str
        Which ingredients were taken for flours.
    """

    grams: dict[str, float]
    dough_g: float
    flour_g: float
    liquid_g: float | None
    sum_pct: float
    flours: tuple[str, ...]

    @property
    def hydration_pct(self) -> float | None:
        """Liquid in percent of the flour."""
        return None if self.liquid_g is None else 100 * self.liquid_g / self.flour_g

    @property
    def dough_yield(self) -> float | None:
        """Parts of flour and liquid for 100 parts of flour."""
        return None if self.hydration_pct is None else 100 + self.hydration_pct


def formula(
    percentages: Mapping[str, float],
    dough_g: float,
    *,
    flours: Collection[str] | None = None,
    liquids: Collection[str] | None = None,
) -> Formula:
    """Return what a dough of a given weight is made of.

    Parameters
    ----------
    percentages : mapping of str to float
        Name of each ingredient to its percentage of the flour.
    dough_g : float, grams
        In the bowl.
    flours : collection of str or None
        Which ingredients are flour. None takes those that stand first and make 100 % together;
        failing that, the one that is 100 %.
    liquids : collection of str or None
        Which ingredients are liquid, each counted whole. None takes the one that is called water.

    Returns
    -------
    Formula

    Raises
    ------
    SpecificationError
        If a number makes no sense, the flours are not 100 % together, or a name is unknown.

    Notes
    -----
    ``flour = dough 100 / S``, S the sum of all percentages; ``ingredient = flour percent / 100``:
    common practice, as in a published worksheet (scribd.com/doc/79999339). Dough yield counts flour
    and liquid alone: 600 g of flour and 450 g of water are 175 (brot-magazin.de/?p=2068).

    Examples
    --------
    >>> found = formula({"flour": 100, "water": 67, "salt": 2, "yeast": 1}, 28_470)
    >>> {name: round(grams, 2) for name, grams in found.grams.items()}
    {'flour': 16747.06, 'water': 11220.53, 'salt': 334.94, 'yeast': 167.47}
    >>> round(found.dough_yield)
    167
    """
    pct = _checked(percentages)
    dough = given.number(dough_g, "The dough", positive=True)
    flour_names = _known(flours, pct) if flours is not None else _flours_found(pct)
    if flours is not None:
        _refuse_other_than_100(flour_names, pct)
    wet = _known(liquids, pct) if liquids is not None else _water_found(pct)
    sum_pct = math.fsum(pct.values())
    grams = {name: dough * each / sum_pct for name, each in pct.items()}
    return Formula(
        grams=grams,
        dough_g=dough,
        flour_g=math.fsum(grams[name] for name in flour_names),
        liquid_g=math.fsum(grams[name] for name in wet) if wet else None,
        sum_pct=sum_pct,
        flours=flour_names,
    )


def _checked(percentages: Mapping[str, float]) -> dict[str, float]:
    if not isinstance(percentages, Mapping):
        raise SpecificationError("A formula gives each ingredient its percentage of the flour.")
    found = {
        name: given.number(each, f"The percentage of '{name}'")
        for name, each in percentages.items()
    }
    if not any(found.values()):
        raise SpecificationError(
            "A formula has at least a flour.", hint="Write the flours first, 100 % together."
        )
    return found


def _known(names: Collection[str], pct: Mapping[str, float]) -> tuple[str, ...]:
    wanted = (names,) if isinstance(names, str) else tuple(dict.fromkeys(names))
    unknown = [name for name in wanted if name not in pct]
    if unknown:
        raise SpecificationError(
            f"{_quoted(unknown)} is not in the formula.", hint=f"It has {_quoted(list(pct))}."
        )
    return wanted


def _flours_found(pct: Mapping[str, float]) -> tuple[str, ...]:
    """Return the ingredients that stand first and make 100 %, or the one that is 100 %."""
    first: list[str] = []
    for name in pct:
        first.append(name)
        if _is_100(first, pct):
            return tuple(first)
    whole = tuple(name for name in pct if _is_100((name,), pct))
    if len(whole) == 1:
        return whole
    raise SpecificationError(
        "The flours of a formula are 100 % together, and the first ingredients here are not.",
        hint="Write the flours first, or say which ingredients are flour.",
    )


def _refuse_other_than_100(flours: Collection[str], pct: Mapping[str, float]) -> None:
    if not _is_100(flours, pct):
        total = math.fsum(pct[name] for name in flours)
        raise SpecificationError(
            f"The flours of a formula are 100 % together, and these are {total:g} %.",
            hint="Give every ingredient as a percentage of all flour.",
        )


def _is_100(names: Collection[str], pct: Mapping[str, float]) -> bool:
    return abs(math.fsum(pct[name] for name in names) - FLOURS_PCT) <= ROUNDED_PCT


def _water_found(pct: Mapping[str, float]) -> tuple[str, ...]:
    return tuple(name for name in pct if name.strip().casefold() == _WATER)


def _quoted(names: Collection[str]) -> str:
    return ", ".join(f"'{name}'" for name in names)
