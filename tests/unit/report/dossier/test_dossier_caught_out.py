"""What somebody would rather hide from an auditor stands among the open points of a dossier."""

from __future__ import annotations

from datetime import UTC, timedelta
from typing import TYPE_CHECKING

import pytest
from audited_bench import COUNTRY, FAILED, Bench

from weighstation.events import Verdict
from weighstation.journal import (
    Kind,
    Line,
    PieceFacts,
    RunStarted,
    Why,
    codec,
    imported,
    scale_of_file,
)
from weighstation.monitor.plausibility import FlagKind
from weighstation.report.dossier import Evidence, Scope
from weighstation.report.dossier.batch_page import batch_page
from weighstation.report.dossier.figures import shown
from weighstation.report.dossier.open_points import open_points
from weighstation.report.dossier.questions import questions
from weighstation.report.dossier.record import dossier_record
from weighstation.report.giveaway import Span
from weighstation.report.page.tables import SheetTable
from weighstation.specification import LiftedPolicy, Way
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def bench() -> Bench:
    return Bench(MemoryStore(journal_id="0f" * 16, station="bench-1"))


def read(
    bench: Bench, folder: Path, *, with_people: bool = False, span: Span | None = None
) -> Evidence:
    scope = Scope("test", UTC, with_people)
    meant = Meant(product=COUNTRY.name, span=span)
    return evidence_of(bench.store, Home(folder), meant, scope, Patience(60.0))


def opened(evidence: Evidence) -> dict[str, tuple[str, str]]:
    return {row.label: (row.said, row.note) for row in open_points(evidence, ())}


def divided(bench: Bench, run: str) -> dict[str, object]:
    bench.begin(run, COUNTRY, person="AK")
    bench.pieces(5)
    last = bench.piece()
    bench.end()
    return dict(last)


def test_a_piece_struck_out_days_later_is_open_and_hides_no_failed_check(
    bench: Bench, tmp_path: Path
) -> None:
    bench.check()
    last = divided(bench, "aaaa0001")
    failed = bench.check(FAILED)
    bench.now += timedelta(days=2)
    void = bench.write(Kind.VOIDED, {**last, "reason": "a scraper"})  # type: ignore[dict-item]
    evidence = read(bench, tmp_path)
    (batch,) = evidence.batches

    assert batch.after is not None
    assert failed == batch.after.line
    assert ("1 piece", (void,)) == (
        opened(evidence)["Struck out late"][0],
        batch.struck_out_late,
    )

    bench.write(Kind.NOTED, {"about": void, "text": "seen on the camera", "person": "AK"})

    assert "Struck out late" not in opened(read(bench, tmp_path))


def test_a_piece_struck_out_at_the_bench_is_not_open(bench: Bench, tmp_path: Path) -> None:
    bench.check()
    bench.begin("aaaa0001", COUNTRY, person="AK")
    bench.write(Kind.VOIDED, {**bench.piece(), "reason": "it fell"})
    bench.piece()
    bench.end()

    assert "Struck out late" not in opened(read(bench, tmp_path))


def test_who_weighs_on_after_a_failed_check_is_told_of(bench: Bench, tmp_path: Path) -> None:
    bench.check()
    divided(bench, "aaaa0001")
    bench.check(FAILED)
    divided(bench, "bbbb0001")
    count, where = opened(read(bench, tmp_path))["Weighed on"]

    assert "1 batch" == count
    assert where.endswith("not fit: bbbb0001")


def test_a_check_that_failed_before_the_first_batch_of_the_days_asked_for_is_told(
    bench: Bench, tmp_path: Path
) -> None:
    """Mended and checked again before anything was divided: it lies between two weeks' batches."""
    bench.check()
    divided(bench, "aaaa0001")
    bench.now += timedelta(days=1)
    failed = bench.check(FAILED)
    bench.now += timedelta(minutes=20)
    bench.check()
    divided(bench, "bbbb0001")
    day = bench.now.date()
    evidence = read(bench, tmp_path, span=Span(day, day, UTC))

    assert ["bbbb0001"] == [batch.run for batch in evidence.batches]
    assert ("1 check", f"line {failed}") == opened(evidence)["Scale not fit"]
    assert evidence.proof.first_line <= failed


def test_an_old_check_does_not_look_like_one_of_the_day(bench: Bench, tmp_path: Path) -> None:
    bench.check()
    checked = bench.now
    bench.now += timedelta(days=90)
    divided(bench, "aaaa0001")
    (each,) = shown(read(bench, tmp_path))
    tables = batch_page(each, Scope("test", UTC)).parts
    notes = [
        row.note
        for table in tables
        if isinstance(table, SheetTable)
        for row in table.rows
        if row.label == "Check before"
    ]

    assert [f"{checked:%Y-%m-%d}"] == [note[:10] for note in notes]


@pytest.mark.parametrize(
    ("steps_h", "said"),
    [([2], "dated before the line before it, by 7080 s"), ([1, 3], "2 times, at most 10680 s")],
)
def test_every_step_back_of_the_clock_is_counted(
    bench: Bench, tmp_path: Path, steps_h: list[int], said: str
) -> None:
    """An end adds a minute, and a batch begins on a clock two hours back: 7,200 - 120 s."""
    divided(bench, "aaaa0000")
    for number, hours in enumerate(steps_h, 1):
        bench.now += timedelta(minutes=1) - timedelta(hours=hours)
        divided(bench, f"aaaa000{number}")
    evidence = read(bench, tmp_path)
    proof = dossier_record(evidence)["proof"]

    assert opened(evidence)["Clock"][1].endswith(said)
    assert isinstance(proof, dict)
    assert len(steps_h) == proof["set_back_times"]


def typed(bench: Bench, weights_mg: list[int]) -> None:
    """Write weights as a file is entered."""
    promise = RunStarted(
        run="tally",
        product=COUNTRY,
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale=scale_of_file("tally.csv"),
        software="0.1.0",
        person="AK",
        clock_utc_ms=bench.utc_ms,
        began_utc_ms=bench.utc_ms,
    )
    lines = [Line(Kind.RUN_STARTED, codec.run_started(promise), bench.utc_ms)]
    for number, mass in enumerate(weights_mg, 1):
        piece = PieceFacts(number, None, mass, None, None, 0, Verdict.KEEP, None)
        body = imported("tally", piece, at_utc_ms=bench.utc_ms, offset_min=0)
        lines.append(Line(Kind.IMPORTED, body, bench.utc_ms))
    lines.append(Line(Kind.RUN_ENDED, codec.run_ended("tally", Why.DONE), bench.utc_ms))
    bench.store.append_all(lines)


def test_round_weights_that_were_typed_do_not_hide_among_weighed_ones(
    bench: Bench, tmp_path: Path
) -> None:
    bench.check()
    bench.begin("aaaa0001", COUNTRY, person="AK")
    bench.pieces(400)
    bench.end()
    typed(bench, [735_000, 740_000, 745_000] * 12)
    asked = questions(read(bench, tmp_path, with_people=True))

    assert [(FlagKind.NEAT, ("tally",))] == [
        (each.flag.kind, each.runs) for each in asked if each.flag.kind is FlagKind.NEAT
    ]
    assert {f"{COUNTRY.name}, week 2024-W09, AK"} == {each.of for each in asked}


def test_weights_typed_from_what_was_weighed_before_are_found(bench: Bench, tmp_path: Path) -> None:
    bench.check()
    bench.begin("aaaa0001", COUNTRY, person="AK")
    weighed = [bench.piece()["final_mg"] for _ in range(60)]
    bench.end()
    typed(bench, [int(mass) for mass in weighed])  # type: ignore[arg-type]
    found = [each for each in questions(read(bench, tmp_path)) if "copied" in each.flag.text]

    assert [("tally",)] == [each.runs for each in found]
