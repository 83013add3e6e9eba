"""A check of the scale, and lines of a journal around it."""

from __future__ import annotations

from dataclasses import replace

from journal_lines import promised

from weighstation.events import Verdict
from weighstation.journal import (
    Body,
    CheckFinding,
    CheckStep,
    Entry,
    HeldAgainst,
    Kind,
    LastCheck,
    RunStarted,
    ScaleChecked,
    UsedWeight,
    body_text,
    codec,
    scale_checked,
)

CHECK = ScaleChecked(
    scale="usb:0403:6001:A1",
    port="serial:///dev/ttyUSB0?baud=4800",
    person="Ada Krume",
    is_fit=True,
    text="The scale is fit.",
    held_against=HeldAgainst("plate", "Held against class III.", 1000, "III", 1_000_000, 3 * 10**9),
    weights=(UsedWeight("box 1", 500_000_000, 25_000, "M1", "2026-01-15", "2027-01-15"),),
    steps=(
        CheckStep("zero", 0),
        CheckStep("load", 500_000, 500_000_000, "box 1"),
        CheckStep("corner", 501_000, 500_000_000, "box 1", "front left"),
        CheckStep("return", -1000),
    ),
    findings=(
        CheckFinding("zero", True, "Empty, the scale shows 0 g.", 0, 0, 250_000),
        CheckFinding("corners", True, "At four corners.", 500_000_000, 1_000_000, 1_000_000),
    ),
    good_line=3,
    software="0.1.0",
)


def entry(seq: int, kind: Kind, body: Body) -> Entry:
    return Entry("bench", seq, 1000 * seq, kind, body_text(body), "0" * 64)


def run_started(run: str, *, scale: str = CHECK.scale, last: LastCheck | None = None) -> Body:
    promise: RunStarted = replace(promised(run), scale_identity=scale, last_check=last)
    return codec.run_started(promise)


def kept(run: str, number: int) -> Body:
    return {
        "run": run,
        "number": number,
        "first_mg": 741_000,
        "final_mg": 741_000,
        "touches": 0,
        "ms": 1,
        "placed_ms": 1,
        "verdict": Verdict.KEEP.value,
        "dough_age_ms": 0,
    }


def checked(*, fit: bool, scale: str = CHECK.scale) -> Body:
    return scale_checked(replace(CHECK, is_fit=fit, scale=scale))
