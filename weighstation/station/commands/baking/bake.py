"""``bake``: baked loaves of a batch on the scale of the bench, and the sheet they make."""

from __future__ import annotations

import secrets
import sys
import time
from contextlib import ExitStack, closing
from dataclasses import dataclass
from datetime import date, datetime
from functools import partial
from typing import TYPE_CHECKING

from weighstation import __version__
from weighstation.evaluate import LoafCounter, Marks
from weighstation.events import Loaf
from weighstation.quantities import grams
from weighstation.station.bench.loaf_bench import LoafPlan
from weighstation.station.bench.loaf_lines import LoafPromise
from weighstation.station.bench.loaf_session import LoafSession, LoafSessionPlan
from weighstation.station.bench.loaf_vocabulary import loaves_end_line
from weighstation.station.bench.pace import speed_of
from weighstation.station.bench.runner import Runner, Scale
from weighstation.station.bench.timeline import WallTime
from weighstation.station.commands.baking.baked import loaves_of
from weighstation.station.commands.baking.batch import (
    Divided,
    batch_meant,
    nothing_divided,
    with_declared,
)
from weighstation.station.commands.baking.options import marks_from, out_of_oven_from, said_from
from weighstation.station.commands.baking.sheet import sheet_of, show_baked, show_report
from weighstation.station.commands.batches.resume import close_open_run
from weighstation.station.commands.checking.standing import which_scale
from weighstation.station.commands.checking.state import check_notice, check_state
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.here import HERE
from weighstation.station.commands.terminal.options import refuse_no_text
from weighstation.station.commands.terminal.stopping import say_stopped, shown_until_over
from weighstation.station.devices.opening import find, key_of
from weighstation.station.panel.leaving import leaving_on_signals
from weighstation.station.panel.viewer import has_keys, watch_loaves, write_events
from weighstation.station.ports import Address, with_defaults
from weighstation.station.stores import (
    is_empty_file,
    open_for_reading,
    open_for_writing,
)

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.journal import Loaves
    from weighstation.specification import Product
    from weighstation.station.commands.checking.state import CheckState
    from weighstation.station.devices.opening import Finding
    from weighstation.station.stores import Store


@dataclass(frozen=True, slots=True)
class BakeOrder:
    """The options of ``bake``.

    Parameters
    ----------
    product : str
        Name of a product that was divided; empty for the last.
    batch : str
        One of its runs; empty for the newest batch.
    out_of_oven : str or None
        When the loaves left the oven: a time, or minutes ago.
    mark : str or None
        Which pieces the loaves are, in the order they are weighed.
    port : str or None
        URL of the scale; None for the last.
    pieces : int or None
        Loaves wanted.
    division_mg : int, milligrams, or None
    said : tuple of str
        What is so of the lot.
    report : bool
        Tell what is on record, and weigh nothing.
    since, until : date or None
        Of a report: first and last day on which its batches were begun.
    events, as_json, plain : bool
    home : Path or None
    """

    product: str = ""
    batch: str = ""
    out_of_oven: str | None = None
    mark: str | None = None
    port: str | None = None
    pieces: int | None = None
    division_mg: int | None = None
    said: tuple[str, ...] = ()
    report: bool = False
    since: date | None = None
    until: date | None = None
    events: bool = False
    as_json: bool = False
    plain: bool = False
    home: Path | None = None


def run_bake(order: BakeOrder) -> int:
    """Weigh baked loaves, or tell what is on record of them.

    Parameters
    ----------
    order : BakeOrder

    Returns
    -------
    int
        Exit code: 1 where the numbers of a batch do not pass the rule it is sold under.

    Raises
    ------
    SpecificationError
        If it is not clear which batch or which scale is meant, or an option makes no sense.
    ScaleError
        If the scale cannot be opened.
    JournalError
        If the journal cannot be read or written.
    """
    for text, what in ((order.product, "The name of the product"), (order.batch, "The batch")):
        refuse_no_text(text, what)
    home, said = Home.find(order.home), said_from(order.said)
    path = home.journal_path
    if not path.exists() or is_empty_file(path):
        raise nothing_divided()
    if order.report:
        with closing(open_for_reading(path)) as store:
            batch = batch_meant(store, order.product, order.batch).run if order.batch else ""
            return show_report(order, store, home, batch, said)
    out_min = out_of_oven_from(order.out_of_oven, datetime.now(HERE))
    url = which_scale(order.port, home)
    with ExitStack() as stack:
        stack.enter_context(leaving_on_signals())
        store = open_for_writing(path, journal_id=secrets.token_hex(16), station="bench")
        stack.callback(store.close)
        divided = with_declared(batch_meant(store, order.product, order.batch), home)
        loaves, next_number = loaves_of(store, divided.runs)
        counter = _counter(order, divided, loaves, next_number)
        close_open_run(store)
        runner = _runner(order, home, store, _Weighed(divided, url, out_min, counter, loaves))
        stopped = shown_until_over(runner, partial(_show, order, runner))
        if stopped:
            say_stopped(_stopped(runner))
            return stopped
        return _told(order, home, store, divided, runner)


@dataclass(frozen=True, slots=True)
class _Weighed:
    """All that is known before the first loaf."""

    divided: Divided
    url: str
    out_min: float | None
    counter: LoafCounter
    loaves: Loaves


def _counter(order: BakeOrder, divided: Divided, loaves: Loaves, next_number: int) -> LoafCounter:
    before = [counted.loaf for counted in loaves.counted.values()]
    taken = {loaf.piece: loaf.number for loaf in before if loaf.piece is not None}
    pieces = sorted(divided.raw_mg)
    marks = Marks(pieces, taken, marks_from(order.mark, pieces, taken))
    return LoafCounter(
        divided.raw_mg,
        marks,
        (Loaf(loaf.number, 0.0, loaf.baked_mg, loaf.piece) for loaf in before),
        next_number=next_number,
    )


# ---- on which scale


def _runner(order: BakeOrder, home: Home, store: Store, weighed: _Weighed) -> Runner[LoafSession]:
    url, product = weighed.url, weighed.divided.product
    profiles, address = home.profiles(), Address.parse(url)
    profile = profiles.get(key_of(address))
    state = check_state(
        store, scale=key_of(address), due_h=profile.check_due_h if profile else None
    )
    usual_mg = product.declared_mg or product.limits.target_mg
    finding = find(_with_loaves(url, usual_mg), profiles)
    scale = _scale(url, finding, time.monotonic())
    plan = LoafSessionPlan(
        bench=LoafPlan(
            raw_mg=product.limits.target_mg,
            usual_mg=usual_mg,
            division_mg=order.division_mg or finding.recipe.division_mg,
            recipe=finding.recipe,
            descriptor=scale.port.descriptor,
        ),
        promise=_promise(weighed, state),
        title=_title(product, address),
        planned=order.pieces,
        ends_at_planned=order.events or not has_keys(),
        notice=_noticed(order, address, state),
    )
    timeline = WallTime(speed_of(url))
    session_of = partial(LoafSession, plan, weighed.counter, weighed.loaves, timeline)
    return Runner(session_of, scale, store)


def _noticed(order: BakeOrder, address: Address, state: CheckState) -> str:
    """Say what is not well with the scale, and return it for the panel too."""
    if order.port is None and address.stand_in:
        said = f"Going on with {address}: no real weight is read. Give a scale by --port."
        sys.stderr.write(f"{said}\n")
    notice = check_notice(state, str(address), time.time_ns() // 1_000_000)
    if notice:
        sys.stderr.write(f"{notice}\n")
    return notice


def _scale(url: str, finding: Finding, began_s: float) -> Scale:
    def clock() -> float:
        return time.monotonic() - began_s

    return Scale(url, finding.open(clock), partial(finding.open_again, clock), finding.recipe)


def _with_loaves(url: str, usual_mg: int) -> str:
    """Return the URL; a simulated scale is given loaves of about the usual weight."""
    if Address.parse(url).scheme != "simulated":
        return url
    usual_g = grams(usual_mg)
    band = {"under": f"{usual_g / 4:g}", "over": f"{usual_g / 4:g}"}
    return with_defaults(url, target=f"{usual_g:g}", bias="0", spread="0.008", **band)


def _promise(weighed: _Weighed, state: CheckState) -> LoafPromise:
    product = weighed.divided.product
    return LoafPromise(
        batch=weighed.divided.run,
        product=product.name,
        scale=weighed.url,
        scale_identity=state.scale,
        software=__version__,
        declared_mg=product.declared_mg,
        out_of_oven_min=weighed.out_min,
    )


def _title(product: Product, address: Address) -> str:
    return f"{product.name}, {address.stand_in}" if address.stand_in else product.name


# ---- watched, and told


def _show(order: BakeOrder, runner: Runner[LoafSession]) -> None:
    if order.events:
        write_events(runner, sys.stdout, sys.stderr)
    elif order.as_json:
        watch_loaves(runner, sys.stderr, plain=True)
    else:
        watch_loaves(runner, sys.stdout, plain=order.plain)


def _told(
    order: BakeOrder, home: Home, store: Store, divided: Divided, runner: Runner[LoafSession]
) -> int:
    session = runner.session
    if order.events:
        line = loaves_end_line(session.standing, session.bench.sensing.counts, store.head().digest)
        sys.stdout.write(line + "\n")
        sys.stdout.flush()
    if not session.standing.counted:
        if not order.events:
            sys.stdout.write("null\n" if order.as_json else "No loaf was weighed.\n")
        return 0
    figures = sheet_of(store, home, divided.run, said_from(order.said))
    if not order.events:
        show_baked(figures, as_json=order.as_json)
    return 1 if figures.fails else 0


def _stopped(runner: Runner[LoafSession]) -> str:
    counted = runner.session.standing.counted
    if not counted:
        return "\nStopped: no loaf was weighed.\n"
    loaves = "1 loaf is" if counted == 1 else f"{counted} loaves are"
    return f"\nStopped: {loaves} on record, and 'weighstation bake' goes on with the batch.\n"
