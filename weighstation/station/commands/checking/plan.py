"""Check weights and what is known of a scale -> loads to be put on, limits, and the record."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation import __version__
from weighstation.journal import CheckFinding, CheckStep, HeldAgainst, ScaleChecked, UsedWeight
from weighstation.metrology import (
    Judgement,
    Plate,
    ScaleLimits,
    Shown,
    Step,
    accuracy_class,
)
from weighstation.quantities import MG_PER_G, exact_grams
from weighstation.station.bench.check_watch import Placement, WatchPlan

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.acquire import Recipe
    from weighstation.metrology import CheckWeight
    from weighstation.station.bench.check_watch import CheckWatch, Taken

CORNERS = ("front left", "front right", "back right", "back left")
TIMES = 3
"""The heaviest load is put on so often, where there are few weights and no corners."""
FEW_WEIGHTS = 2
_UG_PER_G = 1_000_000


@dataclass(frozen=True, slots=True)
class Who:
    """Whose check it is.

    Parameters
    ----------
    scale : str
        Who the scale is.
    port : str
        URL it was read at.
    person : str
        May be empty.
    good_line : int
        Number of the line of its last good check; 0 where there is none.
    """

    scale: str
    port: str
    person: str
    good_line: int


def loads_for(
    weights: Sequence[CheckWeight], *, corners: bool, max_g: Decimal | None
) -> tuple[tuple[CheckWeight, str], ...]:
    """Return which weight is put on where, in order.

    Parameters
    ----------
    weights : sequence of CheckWeight
        Lightest first.
    corners : bool
    max_g : Decimal, grams, or None
        Greatest load of the scale, where it is known.

    Returns
    -------
    tuple of (CheckWeight, str)
        The second is the corner, empty for the middle.

    Notes
    -----
    Each weight once in the middle. With one or two weights the heaviest three times, for
    repeatability; with more, or with two and corners, that would take too long. At the corners
    the weight nearest to a third of Max: OIML R 76-1:2006, 3.6.2 (from memory); the heaviest where
    Max is not known.
    """
    middle = [(weight, "") for weight in weights]
    if len(weights) <= FEW_WEIGHTS and not (corners and len(weights) > 1):
        middle += [(weights[-1], "")] * (TIMES - 1)
    if not corners:
        return tuple(middle)
    third = None if max_g is None else Fraction(max_g) / 3
    at = weights[-1] if third is None else min(weights, key=lambda one: abs(one.mass_g - third))
    return (*middle, *((at, corner) for corner in CORNERS))


def placements_for(loads: Sequence[tuple[CheckWeight, str]]) -> tuple[Placement, ...]:
    """Return the same as loads to be waited for.

    Parameters
    ----------
    loads : sequence of (CheckWeight, str)

    Returns
    -------
    tuple of Placement
    """
    return tuple(
        Placement(weight.name, round(weight.mass_g * MG_PER_G), where) for weight, where in loads
    )


def known_limits(
    division_mg: int | None, plate: Plate | None, house_g: Decimal | None
) -> ScaleLimits | None:
    """Return what the scale is held against, as far as that is known before it is read.

    Parameters
    ----------
    division_mg : int, milligrams, or None
        With a plate, None stands for e.
    plate : Plate or None
    house_g : Decimal, grams, or None

    Returns
    -------
    ScaleLimits or None
        None while neither the division nor a plate is known.

    Raises
    ------
    SpecificationError
        If the limits make no sense.
    """
    if division_mg is not None:
        return ScaleLimits(Decimal(division_mg) / MG_PER_G, plate=plate, house_g=house_g)
    return None if plate is None else ScaleLimits(plate.e_g, plate=plate)


def division_shown_mg(watch: CheckWatch, plate: Plate | None) -> int | None:
    """Return the division by which a scale has counted in a check.

    Parameters
    ----------
    watch : CheckWatch
    plate : Plate or None

    Returns
    -------
    int, milligrams, or None
        e of the plate where all that was shown at rest is a multiple of it: the lines may have
        more places than the scale counts in, and a check shows few values to learn from.
    """
    learned_mg = watch.division_mg
    if plate is None or learned_mg is None:
        return learned_mg
    e_mg = round(exact_grams(plate.e_g) * MG_PER_G)
    is_finer = learned_mg < e_mg
    may_be_e = is_finer and all(one.indicated_mg % e_mg == 0 for one in watch.taken)
    return e_mg if may_be_e else learned_mg


def watch_plan(
    placements: tuple[Placement, ...],
    limits: ScaleLimits | None,
    scale: tuple[int | None, Recipe, bytes | None],
    *,
    has_keys: bool,
) -> WatchPlan:
    """Return what the watch is to see.

    Parameters
    ----------
    placements : tuple of Placement
    limits : ScaleLimits or None
    scale : tuple of (int or None, Recipe, bytes or None)
        Its division in milligrams where it is known, how its lines are read, and what its reports
        mean.
    has_keys : bool

    Returns
    -------
    WatchPlan
    """
    division_mg, recipe, descriptor = scale
    return WatchPlan(
        placements=placements,
        zero_mg=0 if limits is None else int(limits.zero_g * MG_PER_G),
        division_mg=division_mg,
        recipe=recipe,
        descriptor=descriptor,
        has_keys=has_keys,
    )


def shown_by(taken: Sequence[Taken], loads: Sequence[tuple[CheckWeight, str]]) -> tuple[Shown, ...]:
    """Return what was seen, for judging: empty pans between the loads.

    Parameters
    ----------
    taken : sequence of Taken
    loads : sequence of (CheckWeight, str)

    Returns
    -------
    tuple of Shown
    """
    shown: list[Shown] = []
    coming = iter(loads)
    for one in taken:
        indicated = Fraction(one.indicated_mg, MG_PER_G)
        if one.placement is None:
            shown.append(Shown(Step.RETURN if shown else Step.ZERO, indicated))
        else:
            weight, where = next(coming)
            step = Step.CORNER if where else Step.LOAD
            shown.append(Shown(step, indicated, weight.mass_g, weight.error_g, where))
    return tuple(shown)


def record_of(
    judgement: Judgement,
    shown: Sequence[Shown],
    loads: Sequence[tuple[CheckWeight, str]],
    limits: ScaleLimits,
    who: Who,
) -> ScaleChecked:
    """Return a judged check as it goes on the record.

    Parameters
    ----------
    judgement : Judgement
    shown : sequence of Shown
    loads : sequence of (CheckWeight, str)
    limits : ScaleLimits
    who : Who

    Returns
    -------
    ScaleChecked
    """
    weights = tuple({weight.name: _used(weight) for weight, _ in loads}.values())
    coming = iter(loads)
    return ScaleChecked(
        scale=who.scale,
        port=who.port,
        person=who.person,
        is_fit=judgement.is_fit,
        text=judgement.text,
        held_against=_held_against(limits),
        weights=weights,
        steps=tuple(
            CheckStep(
                one.step.value,
                int(one.indicated_g * MG_PER_G),
                _ug(one.load_g),
                next(coming)[0].name if one.load_g else "",
                one.where,
            )
            for one in shown
        ),
        findings=tuple(
            CheckFinding(
                finding.subject.value,
                finding.good,
                finding.text,
                *map(_ug, (finding.load_g, finding.error_g, finding.limit_g)),
            )
            for finding in judgement.findings
        ),
        good_line=who.good_line,
        software=__version__,
    )


def _used(weight: CheckWeight) -> UsedWeight:
    return UsedWeight(
        name=weight.name,
        mass_ug=_ug(weight.mass_g),
        error_ug=_ug(weight.error_g),
        weight_class=weight.weight_class.value if weight.weight_class else "",
        certified_on=weight.certified_on,
        due_on=weight.due_on,
    )


def _held_against(limits: ScaleLimits) -> HeldAgainst:
    plate, house = limits.plate, limits.house_g
    return HeldAgainst(
        basis=limits.basis.value,
        text=limits.text,
        division_mg=int(limits.division_g * MG_PER_G),
        accuracy_class=plate.accuracy_class.value if plate else "",
        e_ug=_ug(Fraction(plate.e_g)) if plate else None,
        max_ug=_ug(Fraction(plate.max_g)) if plate else None,
        limit_ug=None if house is None else _ug(Fraction(house)),
    )


def limits_of(held: HeldAgainst) -> ScaleLimits:
    """Return the limits of a check that is on record.

    Parameters
    ----------
    held : HeldAgainst

    Returns
    -------
    ScaleLimits

    Raises
    ------
    SpecificationError
        If they make no sense.
    """
    plate = None
    if held.e_ug is not None and held.max_ug is not None:
        plate = Plate(accuracy_class(held.accuracy_class), _of_ug(held.e_ug), _of_ug(held.max_ug))
    return ScaleLimits(
        Decimal(held.division_mg) / MG_PER_G,
        plate=plate,
        house_g=None if held.limit_ug is None else _of_ug(held.limit_ug),
    )


def _of_ug(mass_ug: int) -> Decimal:
    return Decimal(mass_ug) / _UG_PER_G


def _ug(mass_g: Fraction) -> int:
    return round(mass_g * _UG_PER_G)
