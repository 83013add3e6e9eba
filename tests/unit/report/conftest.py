"""A batch of six pieces in two runs, its figures worked out by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from weighstation.events import Verdict
from weighstation.journal import PieceFacts, RunState, Sums
from weighstation.report import BatchFigures, Bench
from weighstation.specification import Limits, Product

TARGET_MG = 740_000
# First and final error in grams, touches, seconds on the pan.
CUTS = (
    (12, 4, 1, 6),
    (-2, -2, 0, 3),
    (8, 8, 0, 3),
    (-20, -8, 2, 9),
    (-12, -12, 0, 4),
    (16, 16, 0, 5),
)


def piece(number: int, cut: tuple[int, int, int, int]) -> PieceFacts:
    first, final, touches, seconds = cut
    verdict = Verdict.KEEP if final != -12 else Verdict.ADD
    placed_ms = number * 10_000
    return PieceFacts(
        number=number,
        first_mg=TARGET_MG + first * 1000,
        final_mg=TARGET_MG + final * 1000,
        touches=touches,
        ms=seconds * 1000,
        placed_ms=placed_ms,
        verdict=verdict,
        dough_age_ms=placed_ms,
    )


def run(name: str, pieces: tuple[PieceFacts, ...], ended: str, lifted: tuple[int, ...]) -> RunState:
    kept = first = Sums()
    for each in pieces:
        kept = kept.counted(each.final_mg - TARGET_MG, 1)
        first = first.counted((each.first_mg or 0) - TARGET_MG, 1)
    return RunState(
        run=name,
        started_seq=1,
        product="Farmhouse white",
        target_mg=TARGET_MG,
        division_mg=1000,
        began_utc_ms=0,
        kept=kept,
        first=first,
        touches=sum(each.touches or 0 for each in pieces),
        ms=sum(each.ms or 0 for each in pieces),
        out_of_band=sum(each.verdict is not Verdict.KEEP for each in pieces),
        open_lifted=lifted,
        counts={"piece_kept": len(pieces), "voided": int(name == "a1")},
        ended=ended,
    )


@pytest.fixture
def figures() -> BatchFigures:
    pieces = tuple(piece(number, cut) for number, cut in enumerate(CUTS, start=1))
    limits = Limits(TARGET_MG, 8_000, 16_000)
    return BatchFigures(
        product=Product("Farmhouse white", limits, None, Decimal("0.62")),
        currency="EUR",
        started_utc_ms=1_772_424_600_000,  # 2026-03-02 04:10 UTC
        last_utc_ms=1_772_425_200_000,
        runs=(run("a1", pieces[:4], "interrupted", (7, 2)), run("a2", pieces[4:], "done", ())),
        pieces=pieces,
        as_of_line=57,
        head="0123456789abcdef" * 4,
        benches=(Bench("serial:///dev/ttyUSB0?baud=9600", 1000, "0.1.0"),),
        gaps_ms=(12_400, 800),
    )
