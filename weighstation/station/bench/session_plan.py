"""What one batch was asked to be, before the first byte of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weighstation.station.bench.keeper import ClockPlan

if TYPE_CHECKING:
    from weighstation.station.bench.loop import BenchPlan
    from weighstation.station.bench.offer import DoughToDivide


@dataclass(frozen=True, slots=True)
class SessionPlan:
    """What one batch was asked to be.

    Parameters
    ----------
    bench : BenchPlan
    product : str
    planned : int or None
        Pieces wanted.
    ends_at_planned : bool
        End by itself once so many count, because there is no key to end it with.
    first_spread_mg : float, milligrams, or None
        Spread of this product's first cuts, from earlier runs.
    notice : str
        What is to be said before the first piece, in one plain sentence; may be empty.
    clocks : ClockPlan
        What the clocks of dough and boards start from.
    dough : DoughToDivide or None
        For what is offered as it goes down; None where nobody weighed it.
    """

    bench: BenchPlan
    product: str
    planned: int | None = None
    ends_at_planned: bool = False
    first_spread_mg: float | None = None
    notice: str = ""
    clocks: ClockPlan = field(default_factory=ClockPlan)
    dough: DoughToDivide | None = None
