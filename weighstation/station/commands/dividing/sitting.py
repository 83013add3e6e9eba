"""One batch from the opened journal to its sheet: what ``divide`` and ``demo`` have in common."""

from __future__ import annotations

import sys
import time
from contextlib import ExitStack
from dataclasses import dataclass, replace
from enum import Enum
from functools import partial
from typing import TYPE_CHECKING

from weighstation import __version__
from weighstation.errors import WeighstationError
from weighstation.journal import RunStarted
from weighstation.quantities import grams
from weighstation.specification import LiftedPolicy, Product, Way
from weighstation.station.bench.batch import Batch
from weighstation.station.bench.keeper import ClockPlan, opening_lines
from weighstation.station.bench.loop import BenchPlan
from weighstation.station.bench.offer import DoughToDivide
from weighstation.station.bench.pace import speed_of
from weighstation.station.bench.runner import Runner, Scale
from weighstation.station.bench.session import Session
from weighstation.station.bench.session_plan import SessionPlan
from weighstation.station.bench.standing import Standing
from weighstation.station.bench.timeline import VirtualTime, WallTime
from weighstation.station.bench.vocabulary import end_line
from weighstation.station.bench.watch import usual_spread_mg
from weighstation.station.commands.batches.dough_clock import Start, boards_so_far, start_of
from weighstation.station.commands.batches.naming import new_run
from weighstation.station.commands.batches.resume import (
    Interrupted,
    choose,
    close_open_run,
    find_interrupted,
)
from weighstation.station.commands.batches.sheet import batch_figures, show_sheet
from weighstation.station.commands.checking.state import CheckState, check_notice, check_state
from weighstation.station.commands.dividing.begun import ASKING, JOURNAL, SCALE, Begun
from weighstation.station.commands.dividing.guarding import guard_text, guarded
from weighstation.station.commands.journals.opening import making
from weighstation.station.commands.scales.record import RecordingFile, RecordingThread, header_of
from weighstation.station.commands.shop.quantity_rules import about_rule, with_rule
from weighstation.station.commands.terminal.stopping import say_stopped, shown_until_over
from weighstation.station.devices.opening import find, key_of
from weighstation.station.panel.leaving import leaving_on_signals
from weighstation.station.panel.viewer import has_keys, wait, watch, write_events
from weighstation.station.ports import Address, with_defaults
from weighstation.station.stores import is_empty_file

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.specification import Guard
    from weighstation.station.commands.planning.bench_floor import BenchFloor
    from weighstation.station.commands.shop.home import Home
    from weighstation.station.devices.opening import Finding
    from weighstation.station.pages.bench.feed import Feed
    from weighstation.station.ports import Clock
    from weighstation.station.stores import Store


class View(Enum):
    """How a batch is watched."""

    PANEL = "panel, or plain lines where there is no screen for one"
    PLAIN = "plain lines"
    EVENTS = "JSON lines"
    NOTHING = "nothing until its sheet"
    PAGES = "pages alone"


@dataclass(frozen=True, slots=True)
class Job:
    """A batch to be divided.

    Parameters
    ----------
    product : Product
    currency : str
    url : str
        The scale.
    planned : int or None
        Pieces wanted.
    dough_mg : int, milligrams, or None
        On the bench when dividing begins.
    way : Way
    lifted : LiftedPolicy
    division_mg : int, milligrams, or None
    resume : bool or None
        Go on with an interrupted batch; None to ask.
    record : Path or None
    view : View
    virtual : bool
        The scale's time stands for the clock, because it runs faster.
    guard : Guard or None
        How the product's band was drawn in.
    changeover : tuple of str
        What may not travel from the batch before, one plain sentence each.
    mixed_ms : int, milliseconds since 1970, or None
        When the dough was mixed; None where nobody said.
    person : str or None
        Initials of who divides; None where nobody said.
    floor : BenchFloor or None
        What no offer goes below; None where dough or pieces were not said.
    """

    product: Product
    currency: str
    url: str
    planned: int | None = None
    dough_mg: int | None = None
    way: Way = Way.SINGLE
    lifted: LiftedPolicy = LiftedPolicy.GUESS
    division_mg: int | None = None
    resume: bool | None = None
    record: Path | None = None
    view: View = View.PANEL
    virtual: bool = False
    guard: Guard | None = None
    changeover: tuple[str, ...] = ()
    mixed_ms: int | None = None
    person: str | None = None
    floor: BenchFloor | None = None


def sit(job: Job, home: Home, feed: Feed | None = None) -> int:
    """Divide a batch and print its sheet.

    Parameters
    ----------
    job : Job
    home : Home
        Can be written to.
    feed : Feed or None
        Shows the batch on pages too, whose touches are keys.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If the scale's URL makes no sense, or the recording's file exists.
    ScaleError
        If the scale cannot be opened.
    JournalError
        If the journal cannot be written.
    """
    with ExitStack() as stack:
        stack.enter_context(leaving_on_signals())
        with Begun(feed, job.product.name) as begun:
            job, runner, store = _begin(job, home, stack, begun)
            if feed is not None:
                feed.follow(runner)
                stack.callback(feed.leave)
        return _weigh(job, runner, store)


def _begin(
    job: Job, home: Home, stack: ExitStack, begun: Begun
) -> tuple[Job, Runner[Session], Store]:
    """Open journal and scale; return the job as it is now known, and who will weigh."""
    if is_empty_file(home.journal_path):
        said = f"{home.journal_path.name} was empty: a new journal begins in it."
        sys.stderr.write(f"{said}\n")
    store = making(home)
    stack.callback(store.close)
    checks = _checks(job, home, store)
    job = _guarded(replace(job, product=with_rule(job.product, home)), checks)
    began_s, began_ms = time.monotonic(), time.time_ns() // 1_000_000
    begun.does(SCALE)
    finding = find(_with_band(job), home.profiles())
    scale = _scale(job, finding, lambda: time.monotonic() - began_s, stack)
    if not finding.address.stand_in:
        scale = replace(scale, began_s=began_s)
    begun.does(JOURNAL)
    found = find_interrupted(store)
    close_open_run(store)
    begun.does(ASKING if found and job.resume is None else JOURNAL)
    going_on = choose(found, job.product, job.way, resume=job.resume)
    begun.does(JOURNAL)
    job = _floored(job, going_on, store, home)
    _say(job, checks, about_rule(job.product, home))
    start = start_of(began_ms, boards_so_far(store, began_ms), going_on, job.mixed_ms)
    job = _settled(job, finding)
    is_deaf = not begun.has_pages and (_tells_only(job.view) or not has_keys())
    runner = _runner(job, scale, store, (going_on, checks, start), ends_at_planned=is_deaf)
    return job, runner, store


def _checks(job: Job, home: Home, store: Store) -> CheckState:
    """Return how it stands with the checks of this scale."""
    address = Address.parse(job.url)
    profile = home.profiles().get(key_of(address))
    due_h = profile.check_due_h if profile else None
    return check_state(store, scale=key_of(address), due_h=due_h)


def _guarded(job: Job, checks: CheckState) -> Job:
    """Return the job with its band drawn in where that was asked for."""
    product, guard = guarded(job.product, job.way, checks)
    return replace(job, product=product, guard=guard)


def _say(job: Job, checks: CheckState, rule_said: str) -> None:
    """Say what is to be minded, and that the band was drawn in."""
    guard_said = guard_text(job.product, job.guard) if job.guard else ""
    for said in (*_notices(job, checks), rule_said, guard_said):
        if said:
            sys.stderr.write(f"{said}\n")


def _check_notice(job: Job, state: CheckState) -> str:
    return check_notice(state, job.url, time.time_ns() // 1_000_000)


def _notices(job: Job, state: CheckState) -> tuple[str, ...]:
    """Return what is to be minded before the first piece, one sentence or two each."""
    check = _check_notice(job, state)
    floor = job.floor.said if job.floor else ""
    return tuple(said for said in (check, floor, *job.changeover) if said)


def _settled(job: Job, finding: Finding) -> Job:
    """Return the job with the division that the scale was learned to have."""
    return replace(job, division_mg=job.division_mg or finding.recipe.division_mg)


def _scale(job: Job, finding: Finding, clock: Clock, stack: ExitStack) -> Scale:
    url, recipe = str(finding.address), finding.recipe
    port, reopen = finding.open(clock), partial(finding.open_again, clock)
    if job.record is None:
        return Scale(url, port, reopen, recipe)
    header = header_of(job.url, port.descriptor, recipe)
    try:
        thread = stack.enter_context(RecordingThread(RecordingFile(job.record, header)))
    except WeighstationError:
        port.close()
        raise
    return Scale(url, port, reopen, recipe, thread.keep)


def _with_band(job: Job) -> str:
    """Return the URL; a simulated baker is told what is being divided."""
    if Address.parse(job.url).scheme != "simulated":
        return job.url
    limits = job.product.limits
    band = {"target": limits.target_mg, "under": limits.under_mg, "over": limits.over_mg}
    options = {name: f"{grams(mg):g}" for name, mg in band.items()}
    return with_defaults(job.url, **options, way=job.way.value)


def _tells_only(view: View) -> bool:
    """Return whether nobody can answer what is shown."""
    return view in (View.EVENTS, View.NOTHING)


def _runner(
    job: Job,
    scale: Scale,
    store: Store,
    before: tuple[Interrupted | None, CheckState, Start],
    *,
    ends_at_planned: bool,
) -> Runner[Session]:
    going_on, checks, start = before
    timeline = VirtualTime(start.began_ms) if job.virtual else WallTime(speed_of(job.url))
    promise = _promise(job, going_on, checks, start)
    opening = opening_lines(
        *(start.boards, promise.run),
        places=job.product.board_places,
        goes_on=going_on is not None,
    )
    dough_t_s = start.station_s(going_on.first_cut_ms) if going_on else None
    batch = Batch(promise, timeline, dough_t_s=dough_t_s, opening=opening)
    plan = SessionPlan(
        bench=BenchPlan(
            limits=job.product.limits,
            way=job.way,
            lifted=job.lifted,
            division_mg=job.division_mg,
            next_number=going_on.next_number if going_on else 1,
            recipe=scale.recipe,
            descriptor=scale.port.descriptor,
        ),
        product=_title(job),
        planned=_planned(job, going_on),
        first_spread_mg=usual_spread_mg(
            store.newest_runs(), job.product.name, job.product.limits.target_mg
        ),
        notice=" ".join(_notices(job, checks)),
        dough=_dough_to_divide(job, going_on),
        ends_at_planned=ends_at_planned,
        clocks=ClockPlan(
            before=start.boards,
            opening=opening,
            mixed_s=None if start.mixed_ms is None else start.station_s(start.mixed_ms),
        ),
    )
    standing = going_on.standing(store) if going_on else Standing()
    return Runner(partial(Session, plan, batch, standing), scale, store)


def _title(job: Job) -> str:
    """Return what the panel is headed with: the product, and what stands for a scale."""
    stand_in = Address.parse(job.url).stand_in
    return f"{job.product.name}, {stand_in}" if stand_in else job.product.name


def _promise(
    job: Job, going_on: Interrupted | None, checks: CheckState, start: Start
) -> RunStarted:
    return RunStarted(
        run=new_run(),
        product=job.product,
        way=job.way,
        lifted=job.lifted,
        scale=job.url,
        software=__version__,
        division_mg=job.division_mg,
        currency=job.currency,
        continues=going_on.promise.run if going_on else "",
        planned=_planned(job, going_on),
        dough_mg=_dough_mg(job, going_on),
        scale_identity=checks.scale,
        last_check=checks.known,
        guard=job.guard,
        clock_utc_ms=start.clock_ms,
        mixed_utc_ms=start.mixed_ms,
        person=_person(job, going_on),
    )


def _person(job: Job, going_on: Interrupted | None) -> str:
    """Return who divides: who did before, where a batch is gone on with and nobody said."""
    return going_on.promise.person if job.person is None and going_on else job.person or ""


def _planned(job: Job, going_on: Interrupted | None) -> int | None:
    """Return how many pieces are wanted in the whole batch."""
    return going_on.promise.planned if job.planned is None and going_on else job.planned


def _dough_mg(job: Job, going_on: Interrupted | None) -> int | None:
    """Return the dough of the whole batch as it was before the first piece."""
    return going_on.promise.dough_mg if job.dough_mg is None and going_on else job.dough_mg


def _dough_to_divide(job: Job, going_on: Interrupted | None) -> DoughToDivide | None:
    """Return what is needed to offer another weight; None where none can be offered."""
    dough_mg, planned = _dough_mg(job, going_on), _planned(job, going_on)
    if job.floor is None or job.floor.said or not dough_mg or not planned:
        return None
    return DoughToDivide(dough_mg, planned, job.floor.floor_g)


def _floored(job: Job, going_on: Interrupted | None, store: Store, home: Home) -> Job:
    """Return the job with its floor, where dough and pieces were said."""
    if not _dough_mg(job, going_on) or not _planned(job, going_on):
        return job
    from weighstation.station.commands.planning.bench_floor import bench_floor  # noqa: PLC0415 - all of planning, and most batches have no dough weighed

    return replace(job, floor=bench_floor(job.product, store, home))


def _weigh(job: Job, runner: Runner[Session], store: Store) -> int:
    stopped = shown_until_over(runner, partial(_show, job.view, runner))
    if stopped:
        say_stopped(_stopped(runner))
        return stopped
    totals = runner.session.standing.totals
    if job.view is View.EVENTS:
        line = end_line(totals, runner.session.bench.sensing.counts, store.head().digest)
        sys.stdout.write(line + "\n")
        sys.stdout.flush()
    elif job.view is View.PAGES:
        return 0
    elif totals is None:
        sys.stdout.write("Nothing was weighed.\n")
    else:
        show_sheet(batch_figures(store, totals.run), sys.stdout)
    return 0


def _show(view: View, runner: Runner[Session]) -> None:
    match view:
        case View.EVENTS:
            write_events(runner, sys.stdout, sys.stderr)
        case View.NOTHING | View.PAGES:
            wait(runner)
        case View.PANEL | View.PLAIN:
            watch(runner, plain=view is View.PLAIN)


def _stopped(runner: Runner[Session]) -> str:
    counted = runner.session.standing.counted
    if not counted:
        return "\nStopped: nothing was weighed.\n"
    pieces = "1 piece is" if counted == 1 else f"{counted} pieces are"
    return f"\nStopped: {pieces} on record, and 'weighstation divide' goes on with the batch.\n"
