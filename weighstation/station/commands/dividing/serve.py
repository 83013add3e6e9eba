"""``serve``: a station that waits for the next batch, begun from a page, for weeks."""

from __future__ import annotations

import gc
import sys
from contextlib import closing, suppress
from dataclasses import dataclass, replace
from queue import Empty, SimpleQueue
from typing import TYPE_CHECKING

from weighstation.errors import WeighstationError
from weighstation.quantities import grams_text
from weighstation.station.bench.wording import promised
from weighstation.station.commands.batches.resume import find_interrupted, last_weighed
from weighstation.station.commands.dividing.divide import DivideOrder, job_of
from weighstation.station.commands.dividing.paging import feed_at
from weighstation.station.commands.dividing.sitting import View, sit
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.days import initials_from
from weighstation.station.commands.terminal.options import dough_from
from weighstation.station.commands.terminal.stopping import STOPPED
from weighstation.station.panel.leaving import leaving_on_signals
from weighstation.station.stores import is_empty_file, open_for_reading

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.specification import Catalogue
    from weighstation.station.pages.bench.feed import Feed
    from weighstation.station.pages.bench.starting import Start
    from weighstation.station.pages.place import Place
    from weighstation.station.stores import SqliteStore

BEAT_S = 0.2
"""So often whoever waits for a batch shows that it is alive."""
LOOK_S = 2.0
"""So often products.toml is looked at while nothing is divided."""
TENTH_MG = 100


@dataclass(frozen=True, slots=True)
class ServeOrder:
    """The options of ``serve``.

    Parameters
    ----------
    place : Place
    scale : str or None
        URL of the scale; None for the one used last.
    home : Path or None
    """

    place: Place
    scale: str | None = None
    home: Path | None = None


def run_serve(order: ServeOrder) -> int:
    """Serve pages, and divide what is begun there, until told to go.

    Parameters
    ----------
    order : ServeOrder

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If nothing can be served there, or the extra ``pages`` is missing.
    JournalFullError
        If the home folder cannot be written to.
    """
    home = Home.find(order.home)
    home.make()
    starts: SimpleQueue[Start] = SimpleQueue()
    with leaving_on_signals(), feed_at(order.place, home.folder, starts) as feed:
        try:
            return _divide_on(_Station(home, order.scale, feed, starts))
        except KeyboardInterrupt:
            return STOPPED
        except SystemExit as exc:  # a signal told it to go
            return int(exc.code or STOPPED)


@dataclass(frozen=True, slots=True)
class _Station:
    home: Home
    scale: str | None
    feed: Feed
    starts: SimpleQueue[Start]


def _divide_on(station: _Station) -> int:
    """Divide one batch after another; return how it was stopped."""
    fault = ""
    while True:
        start = _next_start(station, fault)
        try:
            stopped, fault = _divide(station, start), ""
        except WeighstationError as exc:
            stopped, fault = 0, str(exc)
            sys.stderr.write(f"{fault}\n")
        gc.collect()  # nobody waits for a cue now, and what a batch left is let go of at once
        if stopped:
            return stopped


def _next_start(station: _Station, fault: str) -> Start:
    """Wait for what is to be divided next, and show what can be."""
    while True:
        station.feed.wait_with(_waiting(station, fault))
        for _ in range(round(LOOK_S / BEAT_S)):
            station.feed.turned()
            with suppress(Empty):
                return station.starts.get(timeout=BEAT_S)


def _divide(station: _Station, start: Start) -> int:
    order = DivideOrder(
        product=start.product,
        port=station.scale,
        pieces=start.pieces,
        dough_mg=dough_from(start.dough) if start.dough else None,
        person=initials_from(start.person, "The initials") if start.person else None,
        resume=start.resume,
        home=station.home.folder,
    )
    job = replace(job_of(order, station.home), view=View.PAGES)
    stopped = sit(job, station.home, station.feed)
    if not stopped:
        sys.stdout.write(f"{_before(station.home)[0]}\n")
        sys.stdout.flush()
    return stopped


# ---- what is shown meanwhile


def _waiting(station: _Station, fault: str) -> dict[str, object]:
    found: dict[str, object] = {"products": [], "last": "", "interrupted": None}
    try:
        found["products"] = _products(station.home.catalogue())
        found["last"], found["interrupted"] = _before(station.home)
    except WeighstationError as exc:
        fault = fault or str(exc)
    return {**found, "fault": fault}


def _products(catalogue: Catalogue) -> list[dict[str, str]]:
    return [
        {"name": product.name, "aim": f"{promised(product.limits.target_mg)} g"}
        for product in catalogue.products
    ]


def _before(home: Home) -> tuple[str, dict[str, object] | None]:
    """Return what was divided last, in one line, and the batch that can be gone on with."""
    path = home.journal_path
    if not path.exists() or is_empty_file(path):
        return "", None
    with closing(open_for_reading(path)) as store:
        found = find_interrupted(store)
        if found is None:
            return _last(store), None
        return "", {"product": found.promise.product.name, "pieces": found.pieces}


def _last(store: SqliteStore) -> str:
    run = last_weighed(store)
    if run is None or not run.kept.n:
        return ""
    mean_mg = run.target_mg + run.kept.sum_d_mg / run.kept.n
    pieces = "1 piece" if run.kept.n == 1 else f"{run.kept.n} pieces"
    return f"{run.product}: {pieces}, mean {grams_text(round(mean_mg), TENTH_MG)} g"
