"""How many batches are too many to be told one by one, and which weeks they fall into."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence, Sized
    from datetime import tzinfo

    from weighstation.report.dossier.evidence import BatchEvidence

MOST_TOLD = 80
"""Batches, checks or lots that are told one by one; of more, nobody reads a list. House figure."""


def are_many(things: Sized) -> bool:
    """Return whether there are more than a person reads one by one.

    Parameters
    ----------
    things : sized

    Returns
    -------
    bool
    """
    return len(things) > MOST_TOLD


def by_product(batches: Iterable[BatchEvidence]) -> dict[str, list[BatchEvidence]]:
    """Return batches by their product, each in order.

    Parameters
    ----------
    batches : iterable of BatchEvidence

    Returns
    -------
    dict of str to list of BatchEvidence
    """
    found: dict[str, list[BatchEvidence]] = {}
    for batch in batches:
        found.setdefault(batch.figures.product.name, []).append(batch)
    return found


def by_week(batches: Sequence[BatchEvidence], zone: tzinfo) -> dict[str, list[BatchEvidence]]:
    """Return batches by the week in which they were begun, each in order.

    Parameters
    ----------
    batches : sequence of BatchEvidence
    zone : tzinfo

    Returns
    -------
    dict of str to list of BatchEvidence
    """
    found: dict[str, list[BatchEvidence]] = {}
    for batch in batches:
        found.setdefault(week_of(batch.figures.started_utc_ms, zone), []).append(batch)
    return found


def week_of(utc_ms: int, zone: tzinfo) -> str:
    """Return the week of a moment (ISO 8601).

    Parameters
    ----------
    utc_ms : int, milliseconds since 1970 UTC
    zone : tzinfo

    Returns
    -------
    str

    Examples
    --------
    >>> from datetime import UTC
    >>> week_of(1_772_424_600_000, UTC)
    '2026-W10'
    """
    return f"{datetime.fromtimestamp(utc_ms / 1000, zone):%G-W%V}"
