"""Runs of an invented bakery, by their integers."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.journal import PieceFacts, RunState, Sums, tally_of
from weighstation.report.giveaway import LabelBasis, RunRow
from weighstation.specification import Limits, Product

if TYPE_CHECKING:
    from collections.abc import Iterable

TARGET_MG = 740_000
BASIS = LabelBasis(731_000, 733_000, 736_000, Fraction(650, 731), (735_000, 737_000), "Said so.")
PRODUCT = Product(
    "Country loaf",
    Limits(TARGET_MG, 8000, 8000),
    declared_mg=650_000,
    dough_cost_per_kg=Decimal("0.92"),
    sale_price_each=Decimal("3.40"),
)


def verdict_of(d_mg: int) -> Verdict:
    limits = PRODUCT.limits
    if d_mg < -limits.under_mg:
        return Verdict.ADD
    return Verdict.TRIM if d_mg > limits.over_mg else Verdict.KEEP


def pieces(errors_mg: Iterable[int], *, age_h: int = 0) -> tuple[PieceFacts, ...]:
    return tuple(
        PieceFacts(
            number=number,
            first_mg=TARGET_MG + d_mg,
            final_mg=TARGET_MG + d_mg,
            touches=0,
            ms=4000,
            placed_ms=number * 10_000,
            verdict=verdict_of(d_mg),
            dough_age_ms=age_h * 3_600_000,
        )
        for number, d_mg in enumerate(errors_mg, 1)
    )


def row(
    errors_mg: Iterable[int] = (),
    *,
    of: tuple[PieceFacts, ...] = (),
    began_utc_ms: int = 0,
    basis: LabelBasis | None = BASIS,
    product: Product = PRODUCT,
    person: str = "",
) -> RunRow:
    counted = of or pieces(errors_mg)
    state = RunState("a1", 1, product.name, TARGET_MG, 1000, began_utc_ms)
    sums = Sums()
    for piece in counted:
        sums = sums.counted(piece.final_mg - TARGET_MG, 1)
    return RunRow(
        state=replace(state, kept=sums, first=sums, ms=4000 * len(counted)),
        tally=tally_of(state, counted),
        product=product,
        currency="EUR",
        person=person,
        basis=basis,
    )
