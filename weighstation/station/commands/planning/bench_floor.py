"""The scaling weight that nothing is offered below at the bench."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import WeighstationError
from weighstation.quantities import grams
from weighstation.station.bench.wording import promised
from weighstation.station.commands.planning.aiming import floor_g
from weighstation.station.commands.planning.history import history_in

if TYPE_CHECKING:
    from weighstation.specification import Product
    from weighstation.station.commands.shop.home import Home
    from weighstation.station.stores import Store


@dataclass(frozen=True, slots=True)
class BenchFloor:
    """What no offer goes below.

    Parameters
    ----------
    floor_g : float, grams
        0 where there is none; infinite where it cannot be known, and nothing is offered.
    said : str
        What is to be minded of it, in one plain sentence; may be empty.
    """

    floor_g: float = 0.0
    said: str = ""


def bench_floor(product: Product, store: Store, home: Home) -> BenchFloor:
    """Return what no offer of a product goes below.

    Parameters
    ----------
    product : Product
    store : Store
        Written by nobody else.
    home : Home

    Returns
    -------
    BenchFloor
    """
    now_utc_ms = time.time_ns() // 1_000_000
    try:
        least_g = floor_g(product, home, history_in(store, product, now_utc_ms=now_utc_ms))
    except WeighstationError as exc:  # what was planned stops no batch
        return BenchFloor(math.inf, f"No other weight is offered. {exc.sentence}")
    target_mg = product.limits.target_mg
    if least_g <= grams(target_mg):
        return BenchFloor(least_g)
    return BenchFloor(
        least_g,
        f"{promised(target_mg)} g is lighter than the {least_g:.1f} g that"
        f" {promised(product.declared_mg or 0)} g declared asks for: see 'weighstation plan"
        " target'.",
    )
