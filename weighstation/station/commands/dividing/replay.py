"""``replay``: a recording through the pure stages, as fast as they go."""

from __future__ import annotations

import hashlib
import sys
from dataclasses import dataclass, replace
from datetime import UTC
from typing import TYPE_CHECKING

from weighstation import __version__
from weighstation.errors import RecordingError
from weighstation.journal import RunStarted, Why
from weighstation.quantities import mg_from_grams
from weighstation.specification import Product
from weighstation.station.bench.absence import SILENT, gap_text
from weighstation.station.bench.batch import Batch
from weighstation.station.bench.loop import Bench
from weighstation.station.bench.silence import PAUSE_S, Row
from weighstation.station.bench.timeline import VirtualTime
from weighstation.station.bench.vocabulary import Vocabulary, end_line
from weighstation.station.bench.wording import promised
from weighstation.station.recordings import read_recording
from weighstation.station.stores.memory import MemoryStore

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from weighstation.acquire.recording import Arrival, Recording
    from weighstation.events import Outcome
    from weighstation.journal import RunState
    from weighstation.station.bench.loop import BenchPlan

RUN = "replay"


@dataclass(frozen=True, slots=True)
class Replayed:
    """What a recording came to.

    Parameters
    ----------
    bench : Bench
        After its last byte.
    store : MemoryStore
        Its lines and totals.
    """

    bench: Bench
    store: MemoryStore

    @property
    def totals(self) -> RunState | None:
        """Totals of the one run; None when nothing was weighed."""
        return self.store.run(RUN)


def replayed(
    recording: Recording,
    plan: BenchPlan,
    *,
    journal_id: str,
    tell: Callable[[Outcome, Bench], None] | None = None,
) -> Replayed:
    """Put a recording through the bench and keep its lines in memory.

    Parameters
    ----------
    recording : Recording
    plan : BenchPlan
    journal_id : str
        What the digests start from.
    tell : callable or None
        Is told every outcome, in order.

    Returns
    -------
    Replayed
    """
    header = recording.header
    if header:
        plan = replace(plan, descriptor=header.descriptor, recipe=header.recipe)
        if plan.division_mg is None and header.division_g:
            plan = replace(plan, division_mg=mg_from_grams(header.division_g))
    bench = Bench(plan)
    store = MemoryStore(journal_id=journal_id, station=RUN)
    timeline = VirtualTime.since(header.started if header else None)
    batch = Batch(promise(plan), timeline)

    def gap(seconds: float) -> None:
        for line in batch.gap(gap_text(SILENT, bench), seconds, bench.sensing.last_t_s):
            store.append(line)
        bench.go_on()

    for outcomes in _outcomes(bench, recording.arrivals, gap):
        for outcome in outcomes:
            for line in batch.lines(outcome, bench.sensing.last_t_s):
                store.append(line)
            if tell:
                tell(outcome, bench)
    for line in batch.end(Why.DONE, bench.sensing.last_t_s):
        store.append(line)
    return Replayed(bench, store)


def promise(plan: BenchPlan) -> RunStarted:
    """Return the promise of a run that has limits and nothing else.

    Parameters
    ----------
    plan : BenchPlan

    Returns
    -------
    RunStarted
    """
    return RunStarted(
        run=RUN,
        product=Product(f"{promised(plan.limits.target_mg)} g", plan.limits),
        way=plan.way,
        lifted=plan.lifted,
        scale="replay://",
        software=__version__,
        division_mg=plan.division_mg,
    )


def run_replay(file: Path, plan: BenchPlan, *, events: bool) -> int:
    """Replay a recording and print its events or its batch sheet.

    Parameters
    ----------
    file : Path
    plan : BenchPlan
    events : bool
        JSON lines instead of the sheet.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    RecordingError
        If the file is not a recording.
    SpecificationError
        If the scale's division is too coarse for the band.
    """
    recording = read_recording(file)
    for warning in recording.warnings:
        sys.stderr.write(f"{warning}\n")
    journal_id = journal_id_of(file)
    if events:
        _print_events(recording, plan, journal_id)
    else:
        _print_sheet(replayed(recording, plan, journal_id=journal_id))
    return 0


def journal_id_of(file: Path) -> str:
    """Return the journal id of a replay, which follows from the recording's bytes alone.

    Parameters
    ----------
    file : Path

    Returns
    -------
    str

    Raises
    ------
    RecordingError
        If the file has gone.
    """
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest()[:32]
    except OSError as exc:
        raise RecordingError(f"'{file}' can no longer be read.", hint="Try again.") from exc


def _outcomes(
    bench: Bench, arrivals: Iterable[Arrival], gap: Callable[[float], None]
) -> Iterable[list[Outcome]]:
    feed, row, last_s = bench.feed, Row(), 0.0
    for t_s, data in arrivals:
        if t_s - last_s > PAUSE_S:
            silent_s = row.broken_by(t_s - last_s, bench.sensing.counts.frames)
            if silent_s:
                gap(silent_s)
        last_s = t_s
        outcomes = feed(data, t_s)
        if outcomes:
            yield outcomes
    yield bench.finish(bench.sensing.last_t_s)


def _print_events(recording: Recording, plan: BenchPlan, journal_id: str) -> None:
    vocabulary = Vocabulary()
    write = sys.stdout.write

    def tell(outcome: Outcome, bench: Bench) -> None:
        vocabulary.division_mg = bench.sensing.division_mg
        line = vocabulary.line(outcome)
        if line is not None:
            write(line + "\n")

    result = replayed(recording, plan, journal_id=journal_id, tell=tell)
    write(end_line(result.totals, result.bench.sensing.counts, result.store.head().digest) + "\n")
    sys.stdout.flush()


def _print_sheet(result: Replayed) -> None:
    from weighstation.station.commands.batches.sheet import batch_figures, show_sheet  # noqa: PLC0415 - not for events

    if result.totals is None:
        sys.stdout.write("Nothing was weighed.\n")
        return
    show_sheet(batch_figures(result.store, RUN), sys.stdout, zone=UTC)
