"""A product and a good check of its scale -> its band drawn in by what a weighing does not know."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.metrology import acceptance
from weighstation.quantities import grams, mg_from_grams
from weighstation.specification import Guard, Limits, Way
from weighstation.station.bench.wording import promised
from weighstation.station.commands.checking.remarks import uncertainty_of

if TYPE_CHECKING:
    from weighstation.journal import RunStarted
    from weighstation.specification import Product
    from weighstation.station.commands.checking.state import CheckState

_OR_WITHOUT = "or divide with --no-guard"


def guarded(product: Product, way: Way, state: CheckState) -> tuple[Product, Guard | None]:
    """Return a product with the band that its pieces are cued against, and how it was drawn in.

    Parameters
    ----------
    product : Product
        As promised.
    way : Way
    state : CheckState
        Of the scale.

    Returns
    -------
    Product
    Guard or None
        None where the product asks for no guard, and then it is as it was.

    Raises
    ------
    SpecificationError
        If the scale has no good check, the way of weighing is none that the guard is worked out
        for, or it leaves no band about the scaling weight.

    Notes
    -----
    The guard is U, so r = 1: a piece read just on the band drawn in is out of the promised one in
    1 of 44 cases (`weighstation.metrology.worst_false_accept`). U is taken at the scaling weight by
    the last check, and holds for a load from an empty pan; of a piece as the difference of two
    loads on a board it would be another.
    """
    if not product.is_guarded:
        return product, None
    if way is not Way.SINGLE:
        raise SpecificationError(
            f"A guard band is worked out for single pieces, not for {way.value}.",
            hint=f"Weigh them singly, {_OR_WITHOUT}.",
        )
    if state.last is None or not state.last.check.is_fit:
        raise SpecificationError(
            "A guard band rests on a good check of this scale, and there is none.",
            hint=f"Run 'weighstation check' first, {_OR_WITHOUT}.",
        )
    limits = product.limits
    guard_g = uncertainty_of(state.last.check, grams(limits.target_mg)).said_g
    drawn = _drawn_in(limits, guard_g)
    return replace(product, limits=drawn), Guard(mg_from_grams(guard_g), state.last.line)


def _drawn_in(limits: Limits, guard_g: float) -> Limits:
    target_mg = limits.target_mg
    if mg_from_grams(guard_g) > min(limits.under_mg, limits.over_mg):
        raise SpecificationError(
            f"A guard band of {guard_g:g} g leaves nothing on one side of {promised(target_mg)} g:"
            f" 'under' is {promised(limits.under_mg)} g and 'over' {promised(limits.over_mg)} g.",
            hint=f"Widen the band, move the scaling weight, weigh on a finer scale, {_OR_WITHOUT}.",
        )
    accepted = acceptance(
        guard_g,
        lower_g=grams(target_mg - limits.under_mg),
        upper_g=grams(target_mg + limits.over_mg),
    )
    assert accepted.lower_g is not None
    assert accepted.upper_g is not None
    return Limits(
        target_mg,
        target_mg - mg_from_grams(accepted.lower_g),
        mg_from_grams(accepted.upper_g) - target_mg,
    )


def as_promised(started: RunStarted) -> Product:
    """Return the product of a run with the band as it was before it was drawn in.

    Parameters
    ----------
    started : RunStarted

    Returns
    -------
    Product
    """
    return replace(started.product, limits=started.promised_limits)


def guard_text(product: Product, guard: Guard) -> str:
    """Return in one plain sentence that a band was drawn in.

    Parameters
    ----------
    product : Product
        As its pieces are cued.
    guard : Guard

    Returns
    -------
    str
    """
    was = guard.widened(product.limits)
    return (
        f"Guard band of {promised(guard.width_mg)} g by the check on line {guard.check_line}: keep"
        f" {_span(product.limits)} instead of {_span(was)}."
    )


def _span(limits: Limits) -> str:
    low_mg, high_mg = limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg
    return f"{promised(low_mg)} to {promised(high_mg)} g"
