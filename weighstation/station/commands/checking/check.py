"""``check``: known weights on the scale of the bench -> fit or not, on record."""

from __future__ import annotations

import secrets
import sys
import time
from contextlib import ExitStack, closing
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError, WeighstationError
from weighstation.journal import Kind, Line, scale_checked
from weighstation.metrology import check_weight_suits, judge, plain_grams
from weighstation.quantities import grams
from weighstation.station.bench.check_watch import CheckWatch
from weighstation.station.commands.batches.resume import close_open_run, last_weighed
from weighstation.station.commands.checking.as_json import check_json
from weighstation.station.commands.checking.declared import declared_weights
from weighstation.station.commands.checking.plan import (
    Who,
    division_shown_mg,
    known_limits,
    loads_for,
    placements_for,
    record_of,
    shown_by,
    watch_plan,
)
from weighstation.station.commands.checking.remarks import remarks, weighed_g
from weighstation.station.commands.checking.standing import doubt_text, scale_text, which_scale
from weighstation.station.commands.checking.state import (
    check_state,
    doubtful_batches,
)
from weighstation.station.commands.checking.texts import filled, findings_text, opening_text
from weighstation.station.commands.checking.watching import watch_scale
from weighstation.station.commands.checking.weights import which_weights
from weighstation.station.commands.journals.settling import unlike_text
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.options import refuse_no_text
from weighstation.station.devices.opening import find, key_of
from weighstation.station.devices.profiles import Profile
from weighstation.station.panel.keyboard import NoKeyboard, open_keyboard
from weighstation.station.panel.leaving import leaving_on_signals
from weighstation.station.ports import Address
from weighstation.station.stores import is_empty_file, open_for_writing

if TYPE_CHECKING:
    from decimal import Decimal
    from pathlib import Path

    from weighstation.journal import ScaleChecked
    from weighstation.metrology import CheckWeight, Plate, ScaleLimits
    from weighstation.station.devices.opening import Finding
    from weighstation.station.stores import SqliteStore

_NOTHING_WRITTEN = "Stopped: nothing is on record.\n"
_AFTER_FAILING = (
    "Check it once more, with the right weights on a clean and level pan. If it fails again, do not"
    " go on with it: tag it, and take another scale."
)
STOPPED = 130


@dataclass(frozen=True, slots=True)
class CheckOrder:
    """The options of ``check``.

    Parameters
    ----------
    port : str or None
        URL of the scale; None for the last.
    weights : tuple of str
        Names of weights.toml or ``GRAMS:CLASS``; empty for all of weights.toml.
    corners : bool
    person : str
    plate : Plate or None
        As somebody read it; None for what scales.toml knows.
    limit_g : Decimal, grams, or None
        A limit of the house, in the plate's stead.
    division_mg : int, milligrams, or None
    due_h : float or None, hours
        How often this scale is to be checked; kept.
    as_json : bool
    home : Path or None
    """

    port: str | None = None
    weights: tuple[str, ...] = ()
    corners: bool = False
    person: str = ""
    plate: Plate | None = None
    limit_g: Decimal | None = None
    division_mg: int | None = None
    due_h: float | None = None
    as_json: bool = False
    home: Path | None = None


@dataclass(frozen=True, slots=True)
class _Job:
    """A check that can begin.

    Parameters
    ----------
    finding : Finding
    url, scale : str
    profile : Profile
    loads : tuple of (CheckWeight, str)
    division_mg : int, milligrams, or None
        None where it is learned from the lines.
    limits : ScaleLimits or None
        None where the division alone gives them, until it is learned.
    """

    finding: Finding
    url: str
    scale: str
    profile: Profile
    loads: tuple[tuple[CheckWeight, str], ...]
    division_mg: int | None
    limits: ScaleLimits | None


def run_check(order: CheckOrder) -> int:
    """Check a scale and write down what came of it.

    Parameters
    ----------
    order : CheckOrder

    Returns
    -------
    int
        Exit code: 1 where the scale is not fit.

    Raises
    ------
    SpecificationError
        If it is not clear which scale or which weights are meant, or a weight cannot judge it.
    ScaleError
        If the scale cannot be opened or read.
    JournalError
        If the journal cannot be written.
    """
    refuse_no_text(order.person, "The person")
    if order.plate is not None and order.limit_g is not None:
        raise SpecificationError(
            "--limit and --class say two things.",
            hint="Give the plate of the scale or a limit of your own, not both.",
        )
    home = Home.find(order.home)
    home.make()
    job = _job(order, home)
    _warn_of_certificates(job.loads)
    with ExitStack() as stack:
        stack.enter_context(leaving_on_signals())
        store = None if _is_new(home) else stack.enter_context(closing(_open(home)))
        person = order.person or _who_checks()
        watch, broken_off = _watch(order, job)
        who = Who(job.scale, job.url, person, 0)
        find_out = _found if broken_off is None else _found_wrong
        try:
            check = find_out(order, job, watch, who)
        except WeighstationError:
            sys.stderr.write(_NOTHING_WRITTEN)
            raise
        if check is None:
            sys.stderr.write(_NOTHING_WRITTEN)
            return _left(broken_off)
        store = store or stack.enter_context(closing(_open(home)))
        state = check_state(store, scale=job.scale)
        good_line = state.last_good.line if state.last_good else 0
        code = _keep(order, job, home, store, replace(check, good_line=good_line))
        return code if broken_off is None else _left(broken_off)


_BrokenOff = KeyboardInterrupt | SystemExit | WeighstationError


def _found(order: CheckOrder, job: _Job, watch: CheckWatch, who: Who) -> ScaleChecked:
    limits = _settled_limits(order, job, watch)
    shown = shown_by(watch.taken, job.loads)
    return record_of(judge(shown, limits=limits), shown, job.loads, limits, who)


def _found_wrong(order: CheckOrder, job: _Job, watch: CheckWatch, who: Who) -> ScaleChecked | None:
    """Return a check that was broken off, if something was found wrong; else None.

    A check that fails is not taken back by stopping it, or by pulling the cable.
    """
    try:
        check = _found(order, job, watch, who)
    except WeighstationError:  # not even one load, or none that can be judged
        return None
    done = sum(taken.placement is not None for taken in watch.taken)
    text = f"{check.text} It was broken off after {done} of {watch.count} loads."
    return None if check.is_fit else replace(check, text=text)


def _left(broken_off: _BrokenOff | None) -> int:
    """Return the exit code of a check that a key or a signal broke off; raise what else did."""
    if isinstance(broken_off, WeighstationError):
        raise broken_off
    return int(broken_off.code or STOPPED) if isinstance(broken_off, SystemExit) else STOPPED


def _job(order: CheckOrder, home: Home) -> _Job:
    url = which_scale(order.port, home)
    address = Address.parse(url)
    profiles = home.profiles()
    scale = key_of(address)
    profile = profiles.get(scale, Profile(scale))
    plate = None if order.limit_g is not None else order.plate or profile.plate
    finding = find(url, profiles)
    weights = which_weights(order.weights, home)
    max_g = None if plate is None else plate.max_g
    division_mg = order.division_mg or finding.recipe.division_mg
    limits = known_limits(division_mg, plate, order.limit_g)
    job = _Job(
        finding=finding,
        url=url,
        scale=scale,
        profile=replace(profile, plate=plate, check_due_h=order.due_h or profile.check_due_h),
        loads=loads_for(weights, corners=order.corners, max_g=max_g),
        division_mg=division_mg,
        limits=limits,
    )
    if limits is not None:
        _refuse_poor_weights(job, limits)
    return job


def _refuse_poor_weights(job: _Job, limits: ScaleLimits) -> None:
    """Say before anything is weighed that a weight cannot judge this scale."""
    for weight, _ in job.loads:
        check_weight_suits(weight.mass_g, weight.error_g, limits=limits)


def _may_judge(order: CheckOrder, job: _Job, division_mg: int) -> None:
    """Say the same as soon as the lines have told the division; a plate was looked at before."""
    limits = None if job.limits else known_limits(division_mg, None, order.limit_g)
    if limits is None:
        return
    try:
        _refuse_poor_weights(job, limits)
    except SpecificationError as exc:
        raise SpecificationError(
            f"The scale seems to count in {plain_grams(limits.division_g)} g. {exc}",
            hint="Or say what stands on the scale with --class, --e and --max, or in what it counts"
            " with --division.",
        ) from exc


def _warn_of_certificates(loads: tuple[tuple[CheckWeight, str], ...]) -> None:
    today = datetime.now().astimezone().date().isoformat()
    for weight in dict.fromkeys(weight for weight, _ in loads):
        if weight.certified_on > today:
            sys.stderr.write(
                f"The certificate of '{weight.name}' is dated {weight.certified_on}, which is yet"
                " to come: the check goes on record so; see whether the date is right.\n"
            )
        if weight.is_due(today):
            sys.stderr.write(
                f"The certificate of '{weight.name}' ran out on {weight.due_on}: the check goes on"
                " record so; have the weight certified anew.\n"
            )


def _is_new(home: Home) -> bool:
    return not home.journal_path.exists() or is_empty_file(home.journal_path)


def _open(home: Home) -> SqliteStore:
    return open_for_writing(
        home.journal_path,
        journal_id=secrets.token_hex(16),
        station=f"bench-{secrets.token_hex(2)}",
    )


def _who_checks() -> str:
    """Ask who checks, where somebody can be asked."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return ""
    sys.stderr.write("Who checks? (just Enter: nobody is named) ")
    sys.stderr.flush()
    name = sys.stdin.readline().strip()
    refuse_no_text(name, "The person")
    return name


def _watch(order: CheckOrder, job: _Job) -> tuple[CheckWatch, _BrokenOff | None]:
    """Follow the scale; return what was seen, and what broke it off, if anything did."""
    began_s = time.monotonic()

    def clock() -> float:
        return time.monotonic() - began_s

    port = job.finding.open(clock)
    keyboard = open_keyboard()
    placements = placements_for(job.loads)
    against = job.limits.text if job.limits else "Its division is learned meanwhile."
    with closing(port), keyboard:
        plan = watch_plan(
            placements,
            job.limits,
            (job.division_mg, job.finding.recipe, port.descriptor),
            has_keys=not isinstance(keyboard, NoKeyboard),
        )
        watch = CheckWatch(plan)
        sys.stderr.write(opening_text(scale_text(job.url), placements, against))
        try:
            watch_scale(watch, port, keyboard, clock, partial(_may_judge, order, job))
        except (KeyboardInterrupt, SystemExit, WeighstationError) as exc:
            return watch, exc  # a key, a signal that told it to go, or the scale
    return watch, None


def _settled_limits(order: CheckOrder, job: _Job, watch: CheckWatch) -> ScaleLimits:
    """Return what the scale is held against, now that its lines have told how it counts."""
    if job.division_mg is not None and job.limits is not None:
        return job.limits
    plate = job.limits.plate if job.limits else None
    limits = known_limits(division_shown_mg(watch, plate), plate, order.limit_g)
    if limits is None:
        raise SpecificationError(
            "The scale's division could not be told from what it sent.",
            hint="Give it with --division, or the plate with --class, --e and --max.",
        )
    return limits


def _keep(order: CheckOrder, job: _Job, home: Home, store: SqliteStore, check: ScaleChecked) -> int:
    """Write the line, keep what was said of the scale, and tell."""
    close_open_run(store)
    now_ms = time.time_ns() // 1_000_000
    entry = store.append(Line(Kind.SCALE_CHECKED, scale_checked(check), now_ms))
    state = check_state(store, scale=job.scale)
    batches = doubtful_batches(store, state, now_ms)
    run = last_weighed(store)
    limits = store.started(run.run).product.limits if run else None
    declared = declared_weights(home, grams(check.held_against.division_mg))
    if order.as_json:
        load_g = weighed_g(check, limits)
        sys.stdout.write(check_json(check, entry.seq, batches, load_g, declared) + "\n")
    else:
        sys.stdout.write(_told(check, entry.seq))
        fit = (*remarks(check, run, limits), *declared.texts)
        said = fit if check.is_fit else (_AFTER_FAILING,)
        unlike = unlike_text(store, entry.seq) if check.is_fit else ""
        said = (*said, unlike) if unlike else said
        sys.stdout.write("".join(map(filled, said)) + doubt_text(store, state, batches))
    if order.plate is not None or order.due_h is not None:
        home.keep_profile(job.profile)
    return 0 if check.is_fit else 1


def _told(check: ScaleChecked, line: int) -> str:
    verdict = filled(f"{check.text} It is on record as line {line}.")
    return f"\n{findings_text(check)}{verdict}"
