"""What is to be minded of the weights of some runs: the same as from reading a whole journal."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from random import Random
from typing import TYPE_CHECKING

import pytest

from weighstation.events import Verdict
from weighstation.journal import (
    CheckStep,
    Doubts,
    HeldAgainst,
    Kind,
    Line,
    PieceFacts,
    RunStarted,
    ScaleChecked,
    Settled,
    Why,
    codec,
    imported,
    scale_checked,
    scale_of_file,
    settled,
)
from weighstation.journal.piece_lines import piece_part
from weighstation.report.giveaway import RunRow
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.commands.statements.minded import minded
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.station.stores import Store

RYE = Product("Rye", Limits(740_000, 8000, 8000))


CHECK = ScaleChecked(
    scale="",
    port="",
    person="",
    is_fit=True,
    text="Fit.",
    held_against=HeldAgainst("division", "One division.", 1000),
    weights=(),
    steps=(CheckStep("zero", 0),),
    findings=(),
    good_line=0,
    software="0.1.0",
)
SCALES = ("left", "right")


def journal(rng: Random) -> Store:
    """Return runs on either scale, checks that fail now and then, and words that settle one."""
    store = MemoryStore(journal_id="0" * 32, station="bench")
    failed = 0
    for place in range(12):
        for _ in range(rng.randrange(3)):
            scale, is_fit = rng.choice(SCALES), rng.random() < 0.6
            check = scale_checked(replace(CHECK, scale=scale, port=scale, is_fit=is_fit))
            line = store.append(Line(Kind.SCALE_CHECKED, check, 0)).seq
            failed = failed if is_fit else line
            if failed and rng.random() < 0.3:
                said = settled(Settled(failed, line, "Ada", "the pan was not empty"))
                store.append(Line(Kind.NOTED, said, 0))
        weigh(store, f"r{place}", rng.choice(SCALES), pieces=rng.randrange(2, 5))
    return store


def weigh(store: Store, run: str, scale: str, *, pieces: int) -> None:
    promise = RunStarted(
        run, RYE, Way.SINGLE, LiftedPolicy.GUESS, scale, "0.1.0", scale_identity=scale
    )
    store.append(Line(Kind.RUN_STARTED, codec.run_started(promise), 0))
    for number in range(1, pieces + 1):
        piece = PieceFacts(number, 740_000, 740_000, 0, 4000, 0, Verdict.KEEP, 0)
        body = {"run": run, **piece_part(piece)}
        store.append(Line(Kind.PIECE_KEPT, body, 0))
    store.append(Line(Kind.RUN_ENDED, codec.run_ended(run, Why.DONE), 0))


def rows(store: Store, runs: Iterable[str]) -> list[RunRow]:
    states = [state for state in store.runs() if state.run in set(runs)]
    return [RunRow(state, store.tally(state.run), RYE) for state in states]


def entered(pieces: int) -> Store:
    store = MemoryStore(journal_id="0" * 32, station="bench")
    scale = scale_of_file("week 45.csv")
    promise = RunStarted("r1", RYE, Way.SINGLE, LiftedPolicy.GUESS, scale, "0.1.0")
    store.append(Line(Kind.RUN_STARTED, codec.run_started(promise), 0))
    for number in range(1, pieces + 1):
        piece = PieceFacts(number, None, 740_000, None, None, 0, Verdict.KEEP, None)
        store.append(Line(Kind.IMPORTED, imported("r1", piece, at_utc_ms=0, offset_min=0), 0))
    store.append(Line(Kind.RUN_ENDED, codec.run_ended("r1", Why.DONE), 0))
    return store


@pytest.mark.parametrize("seed", range(40))
def test_doubtful_runs_are_those_of_a_whole_reading(seed: int) -> None:
    rng = Random(seed)
    store = journal(rng)
    some = {state.run for state in store.runs() if rng.random() < 0.5}
    doubts = Doubts()
    for entry in store.entries():
        doubts.feed(entry)
    pieces = [what for what in doubts.pieces.doubtful if what[0] in some]
    by_check = Counter(doubts.pieces.failed_line[what] for what in pieces)
    runs = {
        line: {what[0] for what in pieces if doubts.pieces.failed_line[what] == line}
        for line in by_check
    }

    found = minded(store, rows(store, some))

    assert [
        (f"{by_check[line]} pieces in {len(runs[line])} run", f"line {line} found it unfit")
        for line in sorted(by_check)
    ] == [
        (said.partition(" run")[0] + " run", said.split(", and ")[1].partition(":")[0])
        for said in found
    ]


def test_that_would_notice_a_doubt_left_out() -> None:
    said = [minded(s, rows(s, (r.run for r in s.runs()))) for s in stores()]

    assert any(said)
    assert not all(said)


def stores() -> list[Store]:
    return [journal(Random(seed)) for seed in range(40)]


@pytest.mark.parametrize(
    ("pieces", "said"),
    [
        (1, "1 piece in 1 run was entered from week 45.csv, and weighed by no scale here."),
        (3, "3 pieces in 1 run were entered from week 45.csv, and weighed by no scale here."),
    ],
)
def test_what_no_scale_weighed_is_said(pieces: int, said: str) -> None:
    store = entered(pieces)

    assert (said,) == minded(store, rows(store, ("r1",)))


@pytest.mark.parametrize("scale", ["simulated://?seed=1", "replay://morning.jsonl"])
def test_what_a_simulation_or_a_recording_weighed_is_said(scale: str) -> None:
    store = MemoryStore(journal_id="0" * 32, station="bench")
    weigh(store, "r1", scale, pieces=3)
    weigh(store, "r2", "left", pieces=2)
    (said,) = minded(store, rows(store, ("r1", "r2")))

    assert said.startswith("3 pieces in 1 run were weighed by no scale here: a simulation")
