"""Evidence -> what an auditor must see before anything else, in plain sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.report.dossier.many import are_many
from weighstation.report.page.tables import counted, named

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.report.baked.lot import BakedLot
    from weighstation.report.dossier.evidence import BatchEvidence, Evidence
    from weighstation.report.giveaway.too_light import TooLight


def failed_lots(evidence: Evidence) -> tuple[tuple[BatchEvidence, BakedLot], ...]:
    """Return the batches whose baked loaves do not pass, each with its lot.

    Parameters
    ----------
    evidence : Evidence

    Returns
    -------
    tuple of (BatchEvidence, BakedLot)
    """
    lots = ((batch, batch.lot.figure) for batch in evidence.batches if batch.lot is not None)
    return tuple((batch, lot) for batch, lot in lots if lot is not None and lot.passes is False)


def urgent(evidence: Evidence) -> tuple[str, ...]:
    """Return what weighs too little by the rule: baked lots, and products scaled too light.

    Parameters
    ----------
    evidence : Evidence

    Returns
    -------
    tuple of str
        Before these, that the record does not hold.
    """
    fault = evidence.proof.fault
    return (
        *((f"The record does NOT hold. {fault}",) if fault else ()),
        *_lots(failed_lots(evidence)),
        *(_too_light(each) for each in evidence.too_light),
    )


def _too_light(each: TooLight) -> str:
    so = "Under the limit" if each.is_sure else "Maybe under the limit"
    return f"{so}: {each.found()}"


def _lots(failed: tuple[tuple[BatchEvidence, BakedLot], ...]) -> Iterator[str]:
    """Yield a sentence a lot, or one of all where there are many."""
    if are_many(failed):
        count = counted(len(failed), "baked lot")
        runs = named(batch.run for batch, _ in failed)
        yield f"Under the limit: {count} do NOT pass the rule, of batch {runs}."
        return
    for batch, lot in failed:
        name = batch.figures.product.name
        yield (
            f"Under the limit: the baked loaves of batch {batch.run}, '{name}', do NOT pass by"
            f" {lot.rule}: {lot.reasons[0]}"
        )
