"""One batch -> the figures that a dossier shows of it, or why there are none."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from weighstation.monitor import capability
from weighstation.quantities import grams
from weighstation.report.baked.figures import Found
from weighstation.report.charts.batch_chart import (
    FEWEST,
    BatchSums,
    batch_chart,
    batches_chart,
    first_cut_signals,
)
from weighstation.report.dossier.many import by_product
from weighstation.report.sheet.sheet import first_cuts

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.monitor import Individuals
    from weighstation.monitor.process.capability import Capability
    from weighstation.report.charts.control import ControlChart
    from weighstation.report.dossier.evidence import BatchEvidence, Evidence


@dataclass(frozen=True)
class BatchShown:
    """A batch, and what follows from its first cuts.

    Parameters
    ----------
    batch : BatchEvidence
    """

    batch: BatchEvidence

    @cached_property
    def cuts(self) -> Individuals | None:
        """The individuals chart of first cuts in grams; None below two pieces."""
        return first_cuts(self.batch.figures)

    @cached_property
    def capability(self) -> Found[Capability]:
        """How the band lies to the first cuts."""
        figures = self.batch.figures
        limits = figures.product.limits
        return Found.of(
            lambda: capability(
                map(grams, figures.first_cuts.values()),
                grams(limits.target_mg - limits.under_mg),
                grams(limits.target_mg + limits.over_mg),
            )
        )

    @cached_property
    def chart(self) -> Found[ControlChart]:
        """Individuals and moving ranges of the first cuts."""
        return Found.of(lambda: batch_chart(self.batch.figures, title="First cuts"))

    @cached_property
    def chart_signals(self) -> int | None:
        """How many signals that chart has; None where there is no chart."""
        return Found.of(lambda: first_cut_signals(self.batch.figures)).figure


def shown(evidence: Evidence) -> tuple[BatchShown, ...]:
    """Return the batches with what follows from their first cuts.

    Parameters
    ----------
    evidence : Evidence

    Returns
    -------
    tuple of BatchShown
    """
    return tuple(BatchShown(batch) for batch in evidence.batches)


def product_charts(evidence: Evidence) -> tuple[tuple[str, Found[ControlChart]], ...]:
    """Return the chart of batch means of each product of which there are several batches.

    Parameters
    ----------
    evidence : Evidence

    Returns
    -------
    tuple of (str, Found of ControlChart)
        By product.
    """
    return tuple(
        (name, Found.of(lambda batches=batches, name=name: _chart(evidence, name, batches)))  # type: ignore[misc]
        for name, batches in by_product(evidence.batches).items()
        if len(batches) > 1
    )


def _chart(evidence: Evidence, name: str, batches: Sequence[BatchEvidence]) -> ControlChart:
    sums = [BatchSums(each.figures.started_utc_ms, each.figures.first) for each in batches]
    enough = [each for each in sums if each.first.n >= FEWEST]
    return batches_chart(
        enough, title=name, as_of=evidence.proof.as_of, left_out=len(sums) - len(enough)
    )
