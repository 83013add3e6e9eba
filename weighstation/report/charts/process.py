"""First cuts of a batch -> what they say of the dividing, each in a sentence with its figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.monitor import autocorrelation, capability, drift, grubbs, normality
from weighstation.quantities import grams

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from weighstation.report.sheet.figures import BatchFigures

FEWEST = 8
"""House figure: fewer first cuts say too little of a law, a drift or a capability."""
MS_PER_MIN = 60_000


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that the first cuts say.

    Parameters
    ----------
    name : str
        The statistic.
    text : str
        What it means, in a sentence or two.
    figures : dict of str to number or None
        Units in the names.
    is_told : bool
        Whether a person need read it; a program gets it anyway.
    """

    name: str
    text: str
    figures: Mapping[str, float | None]
    is_told: bool = True


def findings(batch: BatchFigures, *, is_steady: bool) -> tuple[Finding, ...]:
    """Return what the first cuts of a batch say of the dividing.

    Parameters
    ----------
    batch : BatchFigures
        Its first cuts not all equal.
    is_steady : bool
        Whether their chart has no signal.

    Returns
    -------
    tuple of Finding
        Empty below eight pieces.
    """
    if len(batch.first_cuts) < FEWEST:
        return ()
    weights = [grams(first_mg) for first_mg in batch.first_cuts.values()]
    return (
        _capability(batch, weights, is_steady=is_steady),
        *_drift(batch, weights),
        _dependence(weights),
        _law(weights),
        _apart(batch, weights),
    )


def _capability(batch: BatchFigures, weights: Sequence[float], *, is_steady: bool) -> Finding:
    limits = batch.product.limits
    found = capability(
        weights,
        grams(limits.target_mg - limits.under_mg),
        grams(limits.target_mg + limits.over_mg),
    )
    caveat = (
        ""
        if is_steady
        else " The chart has signals, so this describes the batch and foretells nothing."
    )
    low, high = found.cpk_interval
    return Finding(
        "capability",
        f"{found.text} {found.outside} of {found.n} first cuts did, and wanted a touch.{caveat}",
        {
            "cp": found.cp,
            "cpk": found.cpk,
            "cpk_low": low,
            "cpk_high": high,
            "outside": found.outside,
            "expected_outside_share": found.share_outside,
        },
    )


def _drift(batch: BatchFigures, weights: Sequence[float]) -> Iterator[Finding]:
    ages_ms = [p.dough_age_ms for p in batch.pieces if p.first_mg is not None]
    ages_min = [ms / MS_PER_MIN for ms in ages_ms if ms is not None]
    if len(ages_min) != len(weights) or min(ages_min) == max(ages_min):
        return
    found = drift(weights, age_min=ages_min, target_g=grams(batch.product.limits.target_mg))
    low, high = found.interval_pct_per_10_min
    yield Finding(
        "drift",
        found.text,
        {
            "pct_per_10_min": found.pct_per_10_min,
            "low_pct_per_10_min": low,
            "high_pct_per_10_min": high,
        },
    )


def _dependence(weights: Sequence[float]) -> Finding:
    found = autocorrelation(weights)
    figures = {"r1": found.r1, "limit": found.limit}
    return Finding("autocorrelation", found.text, figures, is_told=not found.is_plausibly_zero)


def _law(weights: Sequence[float]) -> Finding:
    found = normality(weights)
    figures = {"a_squared": found.a_squared, "p": found.p}
    return Finding("normality", found.text, figures, is_told=not found.is_plausible)


def _apart(batch: BatchFigures, weights: Sequence[float]) -> Finding:
    found = grubbs(weights)
    number, first_mg = list(batch.first_cuts.items())[found.index]
    text = (
        f"The first cut of piece {number}, {grams(first_mg):g} g, lies apart from the"
        " others: find out what happened before anything is left out."
        if found.is_outlier
        else found.text
    )
    figures = {"number": number, "g": found.g, "critical": found.critical}
    return Finding("outlier", text, figures, is_told=found.is_outlier)
