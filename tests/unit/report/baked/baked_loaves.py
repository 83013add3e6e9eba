"""Batches of baked loaves, for the tests of this folder."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weighstation.journal import BakedLoaf, CountedLoaf
from weighstation.quantity import Circumstances, published_rule
from weighstation.report.baked.batch import BakedBatch
from weighstation.report.baked.figures import BakedFigures, Found
from weighstation.specification import Limits, Product

if TYPE_CHECKING:
    from collections.abc import Sequence

BEGAN_MS = 1_772_424_600_000  # 2026-03-02 04:10 UTC
SAID = Circumstances(random_sample=True, verified_scale=True, tare_known=True, right_moment=True)


def batch_of(
    raw_g: Sequence[float],
    baked_g: Sequence[float],
    *,
    pieces: Sequence[int | None] | None = None,
    minutes: Sequence[float | None] | float | None = None,
    declared_g: float | None = 800,
    name: str = "r1",
) -> BakedBatch:
    """Return a batch: pieces of dough by number from 1, and loaves, marked where they are said."""
    marks = [None] * len(baked_g) if pieces is None else list(pieces)
    out = (
        [minutes] * len(baked_g) if minutes is None or isinstance(minutes, int | float) else minutes
    )
    loaves = [
        BakedLoaf(
            batch=name,
            product="Country loaf",
            number=number,
            baked_mg=round(grams * 1000),
            scale="serial:///dev/ttyUSB0",
            scale_identity="usb:1:2",
            software="0.1.0",
            declared_mg=None if declared_g is None else round(declared_g * 1000),
            division_mg=1000,
            piece=piece,
            out_of_oven_ms=None if span is None else round(span * 60_000),
        )
        for number, (grams, piece, span) in enumerate(
            zip(baked_g, marks, out, strict=True), start=1
        )
    ]
    return BakedBatch(
        batch=name,
        product=Product("Country loaf", Limits(909_000, 9_000, 9_000)),
        began_utc_ms=BEGAN_MS,
        raw_mg={number: round(g * 1000) for number, g in enumerate(raw_g, start=1)},
        loaves=tuple(
            CountedLoaf(20 + place, BEGAN_MS + 7_200_000 + 15_000 * place, loaf)
            for place, loaf in enumerate(loaves)
        ),
    )


def marked(raw_g: Sequence[float], baked_g: Sequence[float], **more: Any) -> BakedBatch:
    """Return a batch in which every piece is a marked loaf, in order."""
    return batch_of(raw_g, baked_g, pieces=list(range(1, len(raw_g) + 1)), **more)


def figures_of(
    *batches: BakedBatch,
    rule: str = "eu-76-211",
    cooling: float | None = None,
    said: Circumstances | None = None,
    taught_by: tuple[BakedBatch, ...] | None = None,
) -> BakedFigures:
    """Return the figures of batches."""
    return BakedFigures(
        product="Country loaf",
        batches=batches,
        taught_by=batches if taught_by is None else taught_by,
        rule=Found(published_rule(rule)),
        as_of_line=30,
        head="ab" * 32,
        cooling_loss_per_h=cooling,
        said=said or Circumstances(),
    )
