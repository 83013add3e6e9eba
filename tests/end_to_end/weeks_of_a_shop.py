"""Weeks of an invented bakery in a journal: its lines are made, no scale is waited for."""

from __future__ import annotations

import json
import random
from contextlib import closing
from datetime import UTC, datetime, timedelta
from itertools import count
from typing import TYPE_CHECKING

from weighstation.events import Piece, Verdict
from weighstation.journal import Kind, Line, RunStarted, Why, codec
from weighstation.specification import LiftedPolicy, Way, parse_catalogue
from weighstation.station.commands.shop.first_products import FIRST_PRODUCTS
from weighstation.station.stores import open_for_writing

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from weighstation.specification import Catalogue, Product

FIRST_MONDAY = datetime(2026, 3, 2, 4, 10, tzinfo=UTC)
SPAN = ("--from", "2026-03-02", "--to", "2026-03-29")
PIECES = 40
_ERROR_G = {"Tin loaf": (1.6, 3.0), "Hearth loaf": (2.4, 4.0)}


def weeks(
    home: Path,
    *,
    top: str = "",
    renamed: tuple[str, str] = ("", ""),
    changed: tuple[str, str] = ("", ""),
    weeks: int = 4,
) -> Path:
    """Write a home with a products file and weeks of pieces, and return it.

    ``top`` stands before the first key of the products file; one product may have another name,
    and a line another text. Always the same lines.
    """
    home.mkdir(parents=True, exist_ok=True)
    old, new = (json.dumps(name) for name in renamed)
    text = top + FIRST_PRODUCTS.replace(f"name = {old}", f"name = {new}").replace(*changed)
    (home / "products.toml").write_text(text, encoding="utf-8")
    store = open_for_writing(home / "journal.sqlite", journal_id="c0ffee" * 5, station="bench")
    with closing(store):
        store.append_all(_lines(parse_catalogue(text), weeks))
    return home


def _lines(catalogue: Catalogue, weeks: int) -> Iterator[Line]:
    seeded, number = random.Random(7), count(1)
    for week in range(weeks):
        for day in (0, 2, 4):
            began = FIRST_MONDAY + timedelta(days=7 * week + day)
            for hour, product in enumerate(catalogue.products):
                at_ms = round((began + timedelta(hours=hour)).timestamp() * 1000)
                run = f"r{next(number)}"
                yield from _run(seeded, product, run, at_ms, week)


def _run(
    seeded: random.Random, product: Product, run: str, at_ms: int, week: int
) -> Iterator[Line]:
    division_mg = 500 if product.limits.target_mg < 100_000 else 1000
    promise = RunStarted(
        run,
        product,
        Way.SINGLE,
        LiftedPolicy.GUESS,
        "simulated://?seed=7",
        "0.1.0",
        division_mg=division_mg,
        currency="EUR",
    )
    yield Line(Kind.RUN_STARTED, codec.run_started(promise), at_ms)
    mean_g, sd_g = _ERROR_G.get(product.name, (0.3, 0.8))
    mean_g += (2 - week) * sd_g / 6
    for number in range(1, PIECES + 1):
        error_mg = round(seeded.gauss(mean_g, sd_g) * 1000 / division_mg) * division_mg
        piece = _piece(product, number, error_mg)
        yield Line(
            Kind.PIECE_KEPT, codec.piece_kept(run, piece, dough_t_s=0.0), at_ms + number * 9000
        )
    yield Line(Kind.RUN_ENDED, codec.run_ended(run, Why.DONE), at_ms + PIECES * 9000 + 1)


def _piece(product: Product, number: int, error_mg: int) -> Piece:
    limits = product.limits
    verdict = Verdict.KEEP
    if not -limits.under_mg <= error_mg <= limits.over_mg:
        verdict = Verdict.TRIM if error_mg > 0 else Verdict.ADD
    mg = limits.target_mg + error_mg
    return Piece(number, number * 9.0, number * 9.0 - 4.0, mg, mg, 0, verdict)
