"""``plan proof``: temperatures of a dough -> how far it has proved, and when it is ready."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import ProofNeeded, ready_times
from weighstation.report.plans.proof import ProofPlan, proof_page, proof_record
from weighstation.station.commands.planning.temperatures import log_from
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.answering import ON_SCREEN, Answering

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.specification import Product


@dataclass(frozen=True, slots=True)
class ProofAsked:
    """The words of ``plan proof``.

    Parameters
    ----------
    product : str
    notes : tuple of str
        Each ``MINUTE=CELSIUS``.
    log : Path or None
        A file in their place.
    ahead_c : float, degrees Celsius, or None
        From the last note on; None goes on with the last.
    begun_min : float, minutes, or None
        When the proof began; None is the first note.
    answering : Answering
    home : Path or None
    """

    product: str
    notes: tuple[str, ...] = ()
    log: Path | None = None
    ahead_c: float | None = None
    begun_min: float | None = None
    answering: Answering = ON_SCREEN
    home: Path | None = None


def run_proof(asked: ProofAsked) -> int:
    """Print how far a dough has proved.

    Parameters
    ----------
    asked : ProofAsked

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If products.toml or what was typed makes no sense, or the product has no proof.
    """
    product = Home.find(asked.home).catalogue().product(asked.product)
    needed, log = proof_of(product), log_from(asked.notes, asked.log)
    ahead_c = log.temps_c[-1] if asked.ahead_c is None else asked.ahead_c
    begun_min = log.minutes[0] if asked.begun_min is None else asked.begun_min
    (ready,) = ready_times({1: begun_min}, log=log, needed=needed, ahead_c=ahead_c)
    plan = ProofPlan(product.name, needed, log, ahead_c, ready)
    asked.answering.give(lambda: proof_page(plan), lambda: proof_record(plan))
    return 0


def proof_of(product: Product) -> ProofNeeded:
    """Return the final proof that a product wants.

    Parameters
    ----------
    product : Product

    Returns
    -------
    ProofNeeded

    Raises
    ------
    SpecificationError
        If it does not say, or its temperature is outside what the laws hold for.
    """
    said = product.proof
    if said is None or said.temperature_c is None:
        raise SpecificationError(
            f"Nothing says how long '{product.name}' proves, and at which temperature.",
            hint="Give it a [product.proof] with minutes and temperature_c in products.toml.",
        )
    return ProofNeeded(said.minutes, said.temperature_c)
