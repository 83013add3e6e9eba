"""Batches -> tables of their kept pieces, batch by batch, or week by week where there are many."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING

from weighstation.journal import Sums
from weighstation.report.dossier.many import are_many, by_product, by_week
from weighstation.report.dossier.said import giveaway_g, mean_g, moment, number, sd_g, state
from weighstation.report.page.page import Grid
from weighstation.report.page.tables import NONE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from weighstation.report.dossier.evidence import BatchEvidence, Evidence, Scope

_KEPT_HEADS = ("Pieces", "Mean g", "SD g", "Out", "Give-away g")
_SAID = (
    "SD is with n \N{MINUS SIGN} 1. Out are pieces that left out of band. Give-away is the mean"
    " minus the scaling weight, times pieces, in dough."
)
_MANY = (
    " Unchecked are batches that lack a check of their scale before or after. There are too many"
    " batches to list; --json has the figures of each, and --raw each piece of it."
)


def kept_tables(evidence: Evidence) -> Iterator[Grid]:
    """Yield a table of the kept pieces of each product.

    Parameters
    ----------
    evidence : Evidence

    Yields
    ------
    Grid
    """
    many, scope = are_many(evidence.batches), evidence.scope
    *others, last = (
        _by_week(name, batches, scope) if many else _by_batch(name, batches, scope)
        for name, batches in by_product(evidence.batches).items()
    )
    yield from others
    yield replace(last, remark=_SAID + (_MANY if many else ""))


def _by_week(name: str, batches: Sequence[BatchEvidence], scope: Scope) -> Grid:
    heads = ("Week", "Batches", *_KEPT_HEADS, "Unchecked", "Lines")
    weeks = by_week(batches, scope.zone).items()
    rows = [
        (
            week,
            str(len(found)),
            *kept_cells(found),
            str(sum(_is_unchecked(batch) for batch in found)),
            _from_to(found[0].first_line, max(batch.last_line for batch in found)),
        )
        for week, found in weeks
    ]
    unchecked = str(sum(map(_is_unchecked, batches)))
    rows.append(("in all", str(len(batches)), *kept_cells(batches), unchecked, ""))
    return Grid(f"{name}: kept pieces", heads, tuple(rows))


def _is_unchecked(batch: BatchEvidence) -> bool:
    return not batch.without_scale and (batch.before is None or batch.after is None)


def _by_batch(name: str, batches: Sequence[BatchEvidence], scope: Scope) -> Grid:
    who = ("Who",) if scope.with_people else ()
    heads = ("Batch", "Began", *who, *_KEPT_HEADS, "Check before", "Check after", "Lines")
    rows = [_batch_row(batch, scope) for batch in batches]
    if len(batches) > 1:
        nobody = ("",) if scope.with_people else ()
        rows.append(("in all", "", *nobody, *kept_cells(batches), "", "", ""))
    return Grid(f"{name}: kept pieces", heads, tuple(rows))


def _batch_row(batch: BatchEvidence, scope: Scope) -> tuple[str, ...]:
    who = (batch.promises[-1][1].person or NONE,) if scope.with_people else ()
    return (
        batch.run,
        moment(batch.figures.started_utc_ms, scope.zone),
        *who,
        *kept_cells([batch]),
        state(batch.before),
        state(batch.after),
        _from_to(batch.first_line, batch.last_line),
    )


def _from_to(first: int, last: int) -> str:
    return f"{first}\N{EN DASH}{last}"


def kept_cells(batches: Sequence[BatchEvidence]) -> tuple[str, ...]:
    """Return pieces, mean, SD, pieces out of band and give-away of some batches of a product.

    Parameters
    ----------
    batches : sequence of BatchEvidence
        The mean is left out where they have not one scaling weight.

    Returns
    -------
    (5,) tuple of str
    """
    kept = reduce(Sums.__add__, (batch.figures.kept for batch in batches), Sums())
    targets = {batch.figures.product.limits.target_mg for batch in batches}
    mean = mean_g(kept, targets.pop()) if len(targets) == 1 else None
    return (
        str(kept.n),
        number(mean, 2),
        number(sd_g(kept), 2),
        str(sum(batch.figures.out_of_band for batch in batches)),
        giveaway_g(kept),
    )
