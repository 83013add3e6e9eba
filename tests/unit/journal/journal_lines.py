"""A short morning as lines, for the tests of this folder."""

from __future__ import annotations

from weighstation.events import LiftedTurned, Piece, TookFor, Verdict, Voided
from weighstation.journal import (
    Body,
    Entry,
    Head,
    Kind,
    Line,
    PieceFacts,
    RunStarted,
    RunState,
    Why,
    codec,
    follow,
)
from weighstation.specification import LiftedPolicy, Limits, Product, Way

JOURNAL_ID = "c0ffee" * 5


def promised(run: str = "r1", continues: str = "", division_mg: int | None = 1000) -> RunStarted:
    return RunStarted(
        run=run,
        product=Product("Rye", Limits(740_000, 8000, 8000)),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="simulated://?seed=1",
        software="0.1.0",
        division_mg=division_mg,
        continues=continues,
    )


def piece(number: int, first_mg: int = 752_000, final_mg: int = 741_000, touches: int = 1) -> Piece:
    if final_mg < 732_000:
        verdict = Verdict.ADD
    else:
        verdict = Verdict.KEEP if final_mg <= 748_000 else Verdict.TRIM
    return Piece(number, number * 10.0, number * 10.0 - 4.5, first_mg, final_mg, touches, verdict)


def started(run: str = "r1", continues: str = "") -> Line:
    return Line(Kind.RUN_STARTED, codec.run_started(promised(run, continues)), 0)


def kept(what: Piece, run: str = "r1") -> Line:
    return Line(Kind.PIECE_KEPT, codec.piece_kept(run, what, dough_t_s=0.0), 1000 * what.number)


def lifted(what: Piece, run: str = "r1") -> Line:
    return Line(Kind.PIECE_LIFTED, codec.piece_lifted(run, what, dough_t_s=0.0), 1000 * what.number)


def voided(what: Piece, run: str = "r1") -> Line:
    return Line(Kind.VOIDED, codec.voided(run, Voided(99.0, what, "floor"), dough_t_s=0.0), 99_000)


def turned(
    number: int, took_for: TookFor, removes: tuple[Piece, ...], adds: tuple[Piece, ...]
) -> Line:
    event = LiftedTurned(99.0, number, took_for, removes, adds)
    return Line(Kind.LIFTED_TURNED, codec.lifted_turned("r1", event, dough_t_s=0.0), 99_000)


def ended(run: str = "r1", why: Why = Why.DONE) -> Line:
    return Line(Kind.RUN_ENDED, codec.run_ended(run, why), 100_000)


def noted(about: int, text: str = "wet floor") -> Line:
    body: Body = codec.noted(about, text)
    return Line(Kind.NOTED, body, 100_000)


def written(*lines: Line) -> tuple[list[Entry], dict[str, RunState]]:
    """Return the lines as entries, and the totals of their runs."""
    head, entries = Head(0, JOURNAL_ID), []
    states: dict[str, RunState] = {}
    pieces: dict[str, dict[int, PieceFacts]] = {}
    for line in lines:
        run = str(line.body.get("run", ""))
        counted = pieces.setdefault(run, {})
        step = follow(head, "bench-1", line, states.get(run), counted.get)
        change = codec.change(line.kind, line.body)
        for gone in change.removes:
            del counted[gone.number]
        counted |= {came.number: came for came in change.adds}
        if step.state is not None:
            states[run] = step.state
        entries.append(step.entry)
        head = Head(step.entry.seq, step.entry.digest)
    return entries, states
