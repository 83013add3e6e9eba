"""Baked loaves of a batch -> what the rule says of them, in cells and in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.dossier.many import are_many, by_product
from weighstation.report.dossier.said import number
from weighstation.report.page.page import Grid
from weighstation.report.page.tables import NONE, SheetRow, SheetTable

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from weighstation.report.baked.batch import BakedBatch
    from weighstation.report.baked.lot import BakedLot
    from weighstation.report.dossier.evidence import BatchEvidence


_PASSES, _FAILS = "pass", "do NOT pass"
_HEADS = ("Batch", "Verdict", "Numbers", "Loaves", "Mean g", "Least g", "Rule", "Lines")
_REMARK = (
    "'Indicative' is a hint and no more; the page of the batch says why. No verdict here is"
    " legal proof. Least is the lowest mean that passes."
)


def lot_tables(batches: Sequence[BatchEvidence]) -> tuple[Grid | SheetTable, ...]:
    """Return the baked lots; of many those that do not pass, and how many there are.

    Parameters
    ----------
    batches : sequence of BatchEvidence

    Returns
    -------
    tuple of Grid or SheetTable
    """
    weighed = [batch for batch in batches if batch.baked is not None]
    if not weighed:
        return (SheetTable("Baked loaves", (SheetRow("None", NONE, "no loaf was weighed"),)),)
    if not are_many(weighed):
        return (_lots("Baked loaves", weighed),)
    failed = [batch for batch in weighed if _outcome(batch) == _FAILS]
    heads = ("Product", "Lots", "Pass", "Do NOT pass", "No verdict")
    rows = tuple(_lots_of(weighed))
    return (
        Grid("Baked loaves", heads, rows, "No verdict here is legal proof."),
        *((_lots("Baked loaves that do NOT pass", failed),) if failed else ()),
    )


def _lots(title: str, batches: Sequence[BatchEvidence]) -> Grid:
    rows = tuple(row for batch in batches for row in lot_cells(batch))
    return Grid(title, _HEADS, rows, _REMARK)


def _lots_of(batches: Sequence[BatchEvidence]) -> Iterator[tuple[str, ...]]:
    for name, found in by_product(batches).items():
        said = [_outcome(batch) for batch in found]
        yield (name, str(len(said)), *(str(said.count(each)) for each in (_PASSES, _FAILS, NONE)))


def _outcome(batch: BatchEvidence) -> str:
    lot = None if batch.lot is None else batch.lot.figure
    return NONE if lot is None else _numbers(lot)


def _numbers(lot: BakedLot) -> str:
    return {True: _PASSES, False: _FAILS, None: NONE}[lot.passes]


def lot_cells(batch: BatchEvidence) -> tuple[tuple[str, ...], ...]:
    """Return the row of a batch in a table of baked lots.

    Parameters
    ----------
    batch : BatchEvidence

    Returns
    -------
    tuple of tuple of str
        Verdict, what the numbers say, loaves, mean and least mean, rule and lines; empty where no
        loaf was weighed.
    """
    if batch.baked is None or batch.lot is None:
        return ()
    lines = [loaf.line for loaf in batch.baked.loaves]
    where = f"{lines[0]}\N{EN DASH}{lines[-1]}"
    lot = batch.lot.figure
    if lot is None:
        count = str(len(lines))
        return ((batch.run, NONE, NONE, count, number(_mean_g(batch.baked), 1), NONE, NONE, where),)
    return (
        (
            batch.run,
            lot.verdict.value,
            _numbers(lot),
            f"{lot.weighed} of {lot.lot_size}",
            number(lot.mean_g, 1),
            number(lot.least_mean_g, 1),
            lot.rule,
            where,
        ),
    )


def _mean_g(baked: BakedBatch) -> float:
    weights = [grams(loaf.loaf.baked_mg) for loaf in baked.loaves]
    return sum(weights) / len(weights)


def lot_rows(batch: BatchEvidence) -> tuple[SheetRow, ...]:
    """Return what the rule says of the baked loaves of a batch, in words.

    Parameters
    ----------
    batch : BatchEvidence

    Returns
    -------
    tuple of SheetRow
        Empty where none was weighed.
    """
    if batch.baked is None or batch.lot is None:
        return ()
    lot = batch.lot.figure
    if lot is None:
        return (SheetRow("Loaves", str(len(batch.baked.loaves)), batch.lot.why_not),)
    return (SheetRow(f"Rule {lot.rule}", lot.verdict.value, _why(lot)),)


def _why(lot: BakedLot) -> str:
    passes = "The numbers pass" if lot.passes else "The numbers do NOT pass"
    return (
        f"{passes}: {lot.weighed} of {lot.lot_size} loaves, mean {lot.mean_g:.1f} g of at least"
        f" {lot.least_mean_g:.1f} g; {lot.count_t1} short by more than {lot.deficiency_g:g} g"
        f" ({lot.allowed_t1} may be), {lot.count_t2} by more than the outer limit; declared"
        f" {lot.nominal_g:g} g. {' '.join(lot.reasons)}"
    )
