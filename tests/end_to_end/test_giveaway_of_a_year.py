"""``weighstation giveaway`` over a simulated bakery's weeks, beside pandas on the raw pieces."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from datetime import UTC, datetime
from itertools import takewhile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from year_journal import priced_bakery, write_year

from weighstation.simulate.year import (
    PieceStruckOut,
    PieceWeighed,
    RunBegan,
    Year,
    YearCauses,
    YearFact,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

ENDS_MS = round(datetime(2025, 3, 10, tzinfo=UTC).timestamp() * 1000)
BAKERY = priced_bakery(pieces=10, struck_out=0.02, struck_out_late=0.02, boarded_anyway=0.1)
UTC_CLOCK = {**os.environ, "TZ": "UTC"}
SPANS = [
    ("2025-01-01", "2025-03-09"),
    ("2025-01-06", "2025-01-12"),
    ("2025-02-03", "2025-02-09"),
    ("2025-03-05", "2025-03-05"),
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Nine weeks in a journal, and their raw pieces beside it."""
    folder = tmp_path_factory.mktemp("year")
    year = Year(BAKERY, YearCauses().without("weights_are_typed"), seed=5)
    facts = tuple(takewhile(lambda fact: fact.t_utc_ms < ENDS_MS, year.facts()))
    write_year(folder / "home" / "journal.sqlite", facts)
    write_raw(folder / "pieces.csv", facts)
    return folder


def write_raw(path: Path, facts: Iterable[YearFact]) -> None:
    """Write every piece, and whether it was struck out: as the simulated bakery knows them."""
    runs: dict[str, RunBegan] = {}
    rows: dict[tuple[str, int], dict[str, object]] = {}
    for fact in facts:
        if isinstance(fact, RunBegan):
            runs[fact.run] = fact
        elif isinstance(fact, PieceWeighed):
            rows[fact.run, fact.piece.number] = raw_row(runs[fact.run], fact)
        elif isinstance(fact, PieceStruckOut):
            rows[fact.run, fact.piece.number]["struck_out"] = 1
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(next(iter(rows.values()))))
        writer.writeheader()
        writer.writerows(rows.values())


def raw_row(began: RunBegan, fact: PieceWeighed) -> dict[str, object]:
    return {
        "run": fact.run,
        "began": datetime.fromtimestamp(began.t_utc_ms / 1000, tz=UTC).isoformat(
            timespec="milliseconds"
        ),
        "product": began.product.name,
        "person": began.person,
        "cost_per_kg": began.product.dough_cost_per_kg,
        "target_mg": began.product.limits.target_mg,
        "final_mg": fact.piece.final_mg,
        "verdict": fact.piece.verdict.value,
        "dough_age_ms": fact.piece.dough_age_ms,
        "struck_out": 0,
    }


def told(*words: str | Path) -> dict[str, Any]:
    said = subprocess.run(
        [sys.executable, *map(str, words)],
        env=UTC_CLOCK,
        capture_output=True,
        text=True,
        check=True,
    )
    record: dict[str, Any] = json.loads(said.stdout)
    return record


def agree(ours: dict[str, Any], plain: dict[str, Any], *, is_mixed: bool) -> None:
    """Hold one set of figures against the other: integers exactly, money to its last digit.

    Loaves and rolls mixed have no mean and no spread.
    """
    for name in ("pieces", "light", "heavy"):
        assert plain[name] == ours[name], name
    for name in ("dough", "over_sum", "giveaway"):
        assert plain[f"{name}_mg"] == round(1000 * ours[f"{name}_g"]), name
    parts = {name: round(1000 * grams) for name, grams in ours["parts"].items()}
    assert plain["parts_mg"] == parts
    assert plain["giveaway_pct"] == pytest.approx(ours["giveaway_pct"], rel=1e-12)
    if is_mixed:
        assert (None, None) == (ours["mean_g"], ours["sd_g"])
    else:
        assert plain["mean_mg"] == pytest.approx(1000 * ours["mean_g"], rel=1e-12)
    if plain["pieces"] > 1 and not is_mixed:
        assert plain["sd_mg"] == pytest.approx(1000 * ours["sd_g"], rel=1e-9)
    for name in ("money", "over_money"):
        assert plain[name] == pytest.approx(float(ours[name]), abs=0.50001e-4)


@pytest.mark.parametrize(("first", "last"), SPANS)
def test_totals_are_those_of_the_raw_pieces(folder: Path, first: str, last: str) -> None:
    words = ("--from", first, "--to", last, "--json", "--home", folder / "home")
    ours = told("-m", "weighstation", "giveaway", *words)
    script = Path(__file__).with_name("plain_statement.py")
    plain = told(script, folder / "pieces.csv", first, last)

    assert plain["runs"] == ours["runs"]
    agree(ours, plain["all"], is_mixed=True)
    groups = {"product": ours["products"], **ours["by"]}
    for by, found in plain["by"].items():
        named = {each["name"]: each for each in groups[by]}
        assert found.keys() == named.keys()
        for name, figures in found.items():
            agree(named[name], figures, is_mixed=by != "product")


def test_there_is_something_to_get_wrong(folder: Path) -> None:
    """Pieces were struck out at the bench and late, and went out heavy and light."""
    rows = list(csv.DictReader((folder / "pieces.csv").read_text("utf-8").splitlines()))

    assert len(rows) > 5000
    assert sum(row["struck_out"] == "1" for row in rows) > 100
    assert min(sum(row["verdict"] == verdict for row in rows) for verdict in ("add", "trim")) > 20
