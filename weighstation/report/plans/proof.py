"""Temperatures of a dough -> a page: how far it has proved, and when it is ready."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.plan import OVEN_CAUTIONS, core_caution
from weighstation.report.page.page import Page, figure
from weighstation.report.page.tables import SheetRow, SheetTable, counted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.plan import ProofNeeded, Ready, TemperatureLog

_LOOK = (
    "Look at the dough in any case: the laws agree near the temperature of the proof and drift"
    " apart from it, and a probe in the air is ahead of the dough."
)


@dataclass(frozen=True, slots=True)
class ProofPlan:
    """How far a dough has proved.

    Parameters
    ----------
    product : str
    needed : ProofNeeded
    log : TemperatureLog
    ahead_c : float, degrees Celsius
        What the dough is taken to have from the last note on.
    ready : Ready
    """

    product: str
    needed: ProofNeeded
    log: TemperatureLog
    ahead_c: float
    ready: Ready

    @property
    def done_min(self) -> float:
        """Equivalent minutes so far, at the temperature of the proof."""
        return self.ready.done * self.needed.minutes


def proof_page(plan: ProofPlan) -> Page:
    """Return the page of a proof.

    Parameters
    ----------
    plan : ProofPlan

    Returns
    -------
    Page
    """
    needed = f"{plan.needed.minutes:g} min at {plan.needed.reference_c:g} C"
    return Page(
        title=f"{plan.product}: final proof of {needed}",
        parts=(
            SheetTable("So far", tuple(_so_far(plan))),
            SheetTable("Ready", tuple(_ready(plan))),
        ),
        cautions=tuple(_cautions(plan)),
        conclusion=_conclusion(plan),
    )


def _so_far(plan: ProofPlan) -> Iterator[SheetRow]:
    first, last = plan.log.minutes[0], plan.log.minutes[-1]
    notes = counted(len(plan.log.minutes), "temperature")
    yield SheetRow("Noted", notes, f"from minute {first:g} to minute {last:g}")
    at = f"equivalent minutes at {plan.needed.reference_c:g} C"
    yield SheetRow("Done", f"{plan.done_min:.1f} min", at)
    yield SheetRow("Of the proof", f"{100 * plan.ready.done:.0f} %")


def _ready(plan: ProofPlan) -> Iterator[SheetRow]:
    ready = plan.ready
    yield SheetRow("From now on", f"{plan.ahead_c:g} C", "of the dough")
    if math.isinf(ready.ready_min):
        yield SheetRow("Ready", "never", "it stands still in the cold")
        return
    band = f"minute {ready.earliest_min:.0f} to {ready.latest_min:.0f}, by three laws"
    yield SheetRow("Ready at", f"minute {ready.ready_min:.0f}", band)
    yield SheetRow(
        "That is in", f"{ready.ready_min - ready.now_min:.0f} min", "after the last note"
    )


def _cautions(plan: ProofPlan) -> Iterator[str]:
    yield _LOOK
    if cold := core_caution(plan.log.temps_c[-1]):
        yield cold
    yield OVEN_CAUTIONS[0]


def _conclusion(plan: ProofPlan) -> str:
    return plan.ready.text.replace(f"Board {plan.ready.board}", plan.product, 1)


def proof_record(plan: ProofPlan) -> dict[str, object]:
    """Return a proof as a dictionary that json can write.

    Parameters
    ----------
    plan : ProofPlan

    Returns
    -------
    dict
        Minutes on the clock of the log; null where it never is.
    """
    ready = plan.ready
    return {
        "product": plan.product,
        "proof_min": plan.needed.minutes,
        "reference_c": plan.needed.reference_c,
        "notes": len(plan.log.minutes),
        "now_min": figure(ready.now_min),
        "done_min": figure(plan.done_min),
        "done": figure(ready.done, 6),
        "ahead_c": plan.ahead_c,
        "ready_min": _finite(ready.ready_min),
        "earliest_min": _finite(ready.earliest_min),
        "latest_min": _finite(ready.latest_min),
        "cautions": list(_cautions(plan)),
    }


def _finite(minute: float) -> float | None:
    return figure(minute) if math.isfinite(minute) else None
