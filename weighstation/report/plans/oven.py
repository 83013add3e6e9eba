"""Pieces and an oven -> a page: the loads, how long each would wait, and when to divide it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.plan import OVEN_CAUTIONS
from weighstation.report.page.page import Grid, Page, figure, grams_of
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted, signed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.plan import BakeTime, Oven, OvenLoad


@dataclass(frozen=True, slots=True)
class OvenPlan:
    """The loads of a product.

    Parameters
    ----------
    product : str
    pieces : int
    oven : Oven
    proof_min : float, minutes
    cut_every_s : float, seconds
        0 where the dough is taken to be divided all at once.
    loads : tuple of OvenLoad
    piece_g : float, grams, or None
        Another weight of the pieces, if it was asked for.
    set_g : float, grams
        Scaling weight that the time of the bake is for.
    bake : BakeTime or None
        For that other weight.
    """

    product: str
    pieces: int
    oven: Oven
    proof_min: float
    cut_every_s: float
    loads: tuple[OvenLoad, ...]
    piece_g: float | None
    set_g: float
    bake: BakeTime | None


def oven_page(plan: OvenPlan) -> Page:
    """Return the page of an oven.

    Parameters
    ----------
    plan : OvenPlan

    Returns
    -------
    Page
    """
    parts: list[Grid | SheetTable] = [SheetTable("The oven", tuple(_oven(plan))), _loads(plan)]
    if plan.bake is not None:
        parts.append(SheetTable("The bake", tuple(_bake(plan, plan.bake))))
    return Page(
        title=f"{plan.pieces} {plan.product} in the oven",
        parts=tuple(parts),
        cautions=OVEN_CAUTIONS,
        conclusion=_conclusion(plan),
    )


def _oven(plan: OvenPlan) -> Iterator[SheetRow]:
    yield SheetRow("One load", counted(plan.oven.places, "piece"))
    yield SheetRow("Cycle", f"{plan.oven.cycle_min:g} min", "from one load in to the next one in")
    yield SheetRow("Final proof", f"{plan.proof_min:g} min")
    if plan.cut_every_s:
        yield SheetRow("One cut", f"{plan.cut_every_s:g} s", "from one piece to the next")
    else:
        yield SheetRow("One cut", NONE, "divided all at once: give --cut-every SECONDS")


def _loads(plan: OvenPlan) -> Grid:
    rows = tuple(
        (
            str(load.number),
            f"{load.first} to {load.last}",
            f"{load.wait_min:.0f} min",
            f"{100 * load.share:.0f} %",
            f"minute {load.divide_min:.0f}",
        )
        for load in plan.loads
    )
    heads = ("load", "pieces", "would wait", "of the proof", "so divide it at")
    remark = "Minutes are counted from the first cut. A wait up to a fifth of the proof is usual."
    return Grid("Loads, first in, first out", heads, rows, remark)


def _bake(plan: OvenPlan, bake: BakeTime) -> Iterator[SheetRow]:
    yield SheetRow("Usual", f"{bake.usual_min:g} min", f"for {grams_of(plan.set_g)} of dough")
    low, high = sorted((bake.by_crust_min, bake.by_heat_min))
    less, more = sorted((bake.by_crust_pct, bake.by_heat_pct))
    note = f"{signed(less)} to {signed(more)} %"
    yield SheetRow(f"For {grams_of(plan.piece_g or 0)}", f"{low:.1f} to {high:.1f} min", note)


def _conclusion(plan: OvenPlan) -> str:
    late = [load for load in plan.loads if not load.is_tolerable]
    said = plan.loads[-1].text if not late else " ".join(load.text for load in late)
    if plan.bake is None:
        return said
    return f"{said} A piece of {grams_of(plan.piece_g or 0)}{plan.bake.text.removeprefix('It')}"


def oven_record(plan: OvenPlan) -> dict[str, object]:
    """Return the loads of an oven as a dictionary that json can write.

    Parameters
    ----------
    plan : OvenPlan

    Returns
    -------
    dict
        Minutes from the first cut.
    """
    bake = plan.bake
    return {
        "product": plan.product,
        "pieces": plan.pieces,
        "places": plan.oven.places,
        "cycle_min": plan.oven.cycle_min,
        "proof_min": plan.proof_min,
        "cut_every_s": plan.cut_every_s,
        "loads": [
            {
                "number": load.number,
                "first": load.first,
                "last": load.last,
                "wait_min": figure(load.wait_min),
                "share_of_proof": figure(load.share, 4),
                "is_tolerable": load.is_tolerable,
                "divide_min": figure(load.divide_min),
            }
            for load in plan.loads
        ],
        "bake": None
        if bake is None
        else {
            "piece_g": figure(plan.piece_g),
            "usual_g": figure(plan.set_g),
            "usual_min": bake.usual_min,
            "by_crust_min": figure(bake.by_crust_min),
            "by_heat_min": figure(bake.by_heat_min),
        },
        "cautions": list(OVEN_CAUTIONS),
    }
