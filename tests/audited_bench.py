"""Three days of an invented bench with a real scale, line by line, for an auditor."""

from __future__ import annotations

import random
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.journal import (
    BakedLoaf,
    Body,
    CheckFinding,
    CheckStep,
    HeldAgainst,
    Kind,
    LastCheck,
    Line,
    RunStarted,
    ScaleChecked,
    UsedWeight,
    Why,
    baked,
    codec,
    scale_checked,
)
from weighstation.specification import Guard, LiftedPolicy, Limits, Product, Way
from weighstation.station.stores import open_for_writing

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.stores import Store

PORT, SCALE = "serial:///dev/ttyUSB0?baud=4800", "usb:0403:6001:A1"
FIRST_DAY, LAST_DAY = "2024-03-02", "2024-03-04"
COUNTRY = Product("Country loaf", Limits(740_000, 8_000, 8_000), declared_mg=650_000)
RYE = Product("=Rye <b>#1</b> & \\emph", Limits(1_000_000, 12_000, 12_000))
CHECK = ScaleChecked(
    scale=SCALE,
    port=PORT,
    person="Ada Krume",
    is_fit=True,
    text="The scale is fit.",
    held_against=HeldAgainst("plate", "Held against class III.", 1000, "III", 1_000_000, 3 * 10**9),
    weights=(UsedWeight("box 1", 500_000_000, 25_000, "M1", "2024-01-15", "2025-01-15"),),
    steps=(CheckStep("zero", 0), CheckStep("load", 500_000, 500_000_000, "box 1")),
    findings=(CheckFinding("zero", True, "Empty, the scale shows 0 g.", 0, 0, 250_000),),
    good_line=0,
    software="0.1.0",
)
FAILED = replace(
    CHECK,
    is_fit=False,
    text="The scale is NOT fit: 4 g off at 500 g.",
    findings=(CheckFinding("500 g", False, "It shows 504 g.", 500_000_000, 4_000_000, 1_000_000),),
)


class Bench:
    """Writes lines as a station would, at times that are told."""

    def __init__(self, store: Store, seed: int = 5) -> None:
        self.store = store
        self.random = random.Random(seed)
        self.now = datetime(2024, 3, 2, 4, 0, tzinfo=UTC)
        self.check_line = LastCheck(0, 0, is_fit=True)
        self.number = 0
        self.port = PORT
        self.guard: Guard | None = None

    @property
    def utc_ms(self) -> int:
        return round(self.now.timestamp() * 1000)

    def day(self, day: int, hour: int = 4) -> None:
        self.now = datetime(2024, 3, day, hour, tzinfo=UTC)

    def write(self, kind: Kind, body: Body) -> int:
        return self.store.append(Line(kind, body, self.utc_ms)).seq

    def check(self, said: ScaleChecked = CHECK) -> int:
        line = self.write(Kind.SCALE_CHECKED, scale_checked(said))
        self.check_line = LastCheck(line, self.utc_ms, said.is_fit)
        self.now += timedelta(minutes=5)
        return line

    def begin(self, run: str, product: Product, *, person: str, continues: str = "") -> None:
        self.began = self.now
        self.number = self.number if continues else 0
        self.run, self.product = run, product
        promise = RunStarted(
            run=run,
            product=product,
            way=Way.SINGLE,
            lifted=LiftedPolicy.GUESS,
            scale=self.port,
            software="0.1.0",
            guard=self.guard,
            division_mg=1000,
            continues=continues,
            scale_identity=SCALE,
            last_check=self.check_line,
            clock_utc_ms=self.utc_ms,
            person=person,
        )
        self.write(Kind.RUN_STARTED, codec.run_started(promise))

    def facts(self, first_g: int, final_g: int, verdict: Verdict) -> Body:
        own_ms = round((self.now - self.began).total_seconds() * 1000)
        return {
            "run": self.run,
            "number": self.number,
            "first_mg": first_g * 1000,
            "final_mg": final_g * 1000,
            "touches": int(first_g != final_g),
            "ms": 3000,
            "placed_ms": own_ms - 3000,
            "verdict": verdict.value,
            "dough_age_ms": own_ms - 3000,
        }

    def piece(self, bias_g: float = 0.0, *, kind: Kind = Kind.PIECE_KEPT) -> Body:
        self.now += timedelta(seconds=12)
        self.number += 1
        target_g = self.product.limits.target_mg // 1000
        room_g = self.product.limits.under_mg // 1000
        first_g = round(self.random.gauss(target_g + bias_g, 7))
        d_g = first_g - target_g
        final_g = first_g if abs(d_g) <= room_g else target_g + round(self.random.gauss(0, 2))
        verdict = Verdict.KEEP
        if kind is Kind.PIECE_LIFTED:
            first_g = final_g = target_g - 30
            verdict = Verdict.ADD
        body = self.facts(first_g, final_g, verdict)
        self.write(kind, body)
        return body

    def kept(self, grams: int) -> None:
        """Write a piece that was kept as it was cut."""
        self.now += timedelta(seconds=12)
        self.number += 1
        self.write(Kind.PIECE_KEPT, self.facts(grams, grams, Verdict.KEEP))

    def pieces(self, count: int, bias_g: float = 0.0) -> None:
        for _ in range(count):
            self.piece(bias_g)

    def end(self, why: Why = Why.DONE) -> None:
        self.write(Kind.RUN_ENDED, codec.run_ended(self.run, why))
        self.now += timedelta(minutes=1)

    def signal(self, text: str = "First cuts run 4 g heavy.") -> int:
        body = codec.signal(
            self.run,
            pieces=(self.number - 7, self.number),
            error_mg=4000,
            text=text,
            reaction="Cut a finger narrower.",
        )
        return self.write(Kind.SIGNAL, body)

    def loaves(self, count: int, mean_g: float) -> None:
        for number in range(1, count + 1):
            self.now += timedelta(seconds=8)
            loaf = BakedLoaf(
                batch=self.run,
                product=self.product.name,
                number=number,
                baked_mg=round(self.random.gauss(mean_g, 3)) * 1000,
                scale=self.port,
                scale_identity=SCALE,
                software="0.1.0",
                declared_mg=650_000,
                division_mg=1000,
                out_of_oven_ms=3_600_000,
            )
            self.write(Kind.BAKED, baked(loaf))


def write_days(store: Store, rye: Product = RYE) -> None:
    """Write three days with all that a dossier has to tell."""
    bench = Bench(store)
    bench.check()
    bench.begin("aaaa0001", COUNTRY, person="AK")
    bench.pieces(20)
    bench.write(Kind.GAP, codec.gap(bench.run, "the scale was silent", 14_200))
    bench.pieces(12, 4)
    signal = bench.signal()
    bench.pieces(8)
    struck = bench.piece()
    bench.write(Kind.VOIDED, {**struck, "reason": "it fell on the floor"})
    bench.end()
    bench.write(
        Kind.NOTED,
        {
            "about": signal,
            "text": "softer dough than usual",
            "action": "second mix made with 1 % less water",
            "person": "AK",
        },
    )
    bench.check()
    bench.day(3)
    bench.check()
    bench.begin("bbbb0001", COUNTRY, person="JS")
    bench.pieces(12)
    bench.end(Why.INTERRUPTED)
    bench.begin("bbbb0002", COUNTRY, person="JS", continues="bbbb0001")
    bench.pieces(30)
    bench.piece(kind=Kind.PIECE_LIFTED)
    bench.end()
    bench.day(3, 7)
    bench.loaves(10, 653)
    bench.day(4)
    bench.check()
    bench.begin("cccc0001", rye, person="=1+1")
    bench.pieces(36)
    bench.signal("First cuts run 4 g light.")
    bench.end()
    bench.check(FAILED)


def audited_home(folder: Path, *, product: str = RYE.name) -> Path:
    """Return a home whose journal holds those days, the last with a product of some name."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "journal.sqlite"
    with closing(open_for_writing(path, journal_id="0f" * 16, station="=bench-1")) as store:
        write_days(store, replace(RYE, name=product))
    return folder
