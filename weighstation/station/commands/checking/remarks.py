"""A check and the product divided last -> what is worth saying besides the verdict."""

from __future__ import annotations

import math
import statistics
from typing import TYPE_CHECKING

from weighstation.metrology import Scatter, Step, least_load, misjudged, piece_uncertainty
from weighstation.quantities import MG_PER_G, exact_grams, grams
from weighstation.station.commands.checking.plan import limits_of

if TYPE_CHECKING:
    from weighstation.journal import RunState, ScaleChecked
    from weighstation.metrology import Misjudged, Uncertainty
    from weighstation.specification import Limits

NEAR = 0.25
"""A load is near the pieces within a quarter of their weight; house figure."""
WORTH_SAYING = 0.05
"""Fewer misjudged pieces than one in twenty are not spoken of; house figure."""
ENOUGH_PIECES = 10
_UG_PER_G = 1_000_000


def uncertainty_of(check: ScaleChecked, load_g: float) -> Uncertainty:
    """Return how sure one weight is, by what a check has found.

    Parameters
    ----------
    check : ScaleChecked
    load_g : float, grams
        What is weighed; what the scale may be wrong is taken at this load.

    Returns
    -------
    Uncertainty

    Raises
    ------
    SpecificationError
        If that is more than Max.

    Notes
    -----
    The scatter is that of the heaviest load, which is the one that is repeated. It is that of the
    display, so its rounding counts twice: a little more doubt than there is. A load that was put
    on once says nothing of it.
    """
    loads = [step for step in check.steps if step.step == Step.LOAD.value]
    heaviest_ug = max(step.load_ug for step in loads)
    shown_g = [grams(step.indicated_mg) for step in loads if step.load_ug == heaviest_ug]
    limits = limits_of(check.held_against)
    return piece_uncertainty(
        grams(check.held_against.division_mg),
        repeatability_g=statistics.stdev(shown_g) if len(shown_g) > 1 else 0.0,
        permissible_error_g=float(limits.at(exact_grams(load_g))),
    )


def weighed_g(check: ScaleChecked, limits: Limits | None) -> float:
    """Return at what load it is told how sure a weight is.

    Parameters
    ----------
    check : ScaleChecked
    limits : Limits or None
        Of what was divided last.

    Returns
    -------
    float, grams
        A piece, as far as the scale reaches; without one the heaviest load of the check.
    """
    if limits is None:
        return max(step.load_ug for step in check.steps) / _UG_PER_G
    max_ug = check.held_against.max_ug
    target_g = grams(limits.target_mg)
    return target_g if max_ug is None else min(target_g, max_ug / _UG_PER_G)


def remarks(check: ScaleChecked, run: RunState | None, limits: Limits | None) -> tuple[str, ...]:
    """Return what is worth saying of a good check, each in one plain sentence.

    Parameters
    ----------
    check : ScaleChecked
    run : RunState or None
        What was divided last.
    limits : Limits or None
        Its band.

    Returns
    -------
    tuple of str
        None of them is a bar.
    """
    load_g = weighed_g(check, limits)
    said = [uncertainty_of(check, load_g).text_at(load_g)]
    if run is not None and limits is not None:
        found = (_far_off(check, limits), _below_min(check, limits), _coarse(check, run, limits))
        said += [text for text in found if text]
    return tuple(said)


def _far_off(check: ScaleChecked, limits: Limits) -> str:
    """Say that no load came near the pieces, on either side."""
    loads_g = [step.load_ug / _UG_PER_G for step in check.steps if step.load_ug]
    target_g = grams(limits.target_mg)
    is_between = min(loads_g) <= target_g <= max(loads_g)
    if is_between or any(abs(load_g - target_g) <= NEAR * target_g for load_g in loads_g):
        return ""
    return (
        f"The pieces divided last are of {target_g:g} g, and no weight was near that: check with"
        " one nearer, or with one on either side."
    )


def _below_min(check: ScaleChecked, limits: Limits) -> str:
    """Say that the pieces are lighter than the least load of the scale."""
    held, target_g = check.held_against, grams(limits.target_mg)
    if held.e_ug is None:
        return ""
    least_g = least_load(held.e_ug / _UG_PER_G, accuracy_class=held.accuracy_class)
    if target_g >= least_g:
        return ""
    return (
        f"The pieces divided last are of {target_g:g} g, and the least load of this scale, Min, is"
        f" {least_g:g} g: weigh them on a finer one."
    )


def _coarse(check: ScaleChecked, run: RunState, limits: Limits) -> str:
    """Say how many pieces the division misjudges at the band, if they are many."""
    found = misjudged_at(check, run, limits)
    return found.text if found is not None and found.share >= WORTH_SAYING else ""


def misjudged_at(check: ScaleChecked, run: RunState, limits: Limits) -> Misjudged | None:
    """Return what share of first cuts the scale misjudges, by the last run's own spread.

    Parameters
    ----------
    check : ScaleChecked
    run : RunState
    limits : Limits

    Returns
    -------
    Misjudged or None
        None where too few pieces were divided to know their spread.
    """
    mean, sd_mg = run.first.mean_d_mg, run.first.sd_mg
    if run.first.n < ENOUGH_PIECES or mean is None or sd_mg is None:
        return None
    d_g = grams(check.held_against.division_mg)
    sure = uncertainty_of(check, weighed_g(check, limits))
    own_g2 = (sd_mg / MG_PER_G) ** 2 - d_g**2 / 6  # less what zero and load were rounded by
    scatter = Scatter(
        sd_g=math.sqrt(max(own_g2, (d_g / 10) ** 2)),
        mean_error_g=float(mean) / MG_PER_G,
        repeatability_g=sure.repeatability_g,
    )
    return misjudged(
        scatter, under_g=grams(limits.under_mg), over_g=grams(limits.over_mg), division_g=d_g
    )
