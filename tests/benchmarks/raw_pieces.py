"""Raw pieces of a history in Parquet, and who was how heavy at which dough age, asked three ways.

Run by history_of_ten_million.py: python tests/benchmarks/raw_pieces.py WHO FOLDER FIRST BEFORE
"""

from __future__ import annotations

import importlib
import json
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from weighstation.simulate.year import PieceStruckOut, PieceWeighed, RunBegan

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weighstation.simulate.year import YearFact

TALLIES, DUCKDB, PANDAS = "tallies", "duckdb", "pandas"
AT_ONCE = 200_000
MS_PER_H = 3_600_000


def needed(name: str) -> Any:
    """Import a module of the extra ``bench``."""
    try:
        return importlib.import_module(name)
    except ModuleNotFoundError:
        sys.exit(f"This needs {name}: python -m pip install -e '.[bench]'.")


class RawPieces:
    """Writes pieces and voids into two Parquet files while facts go by."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self._pieces = Columns(folder / "pieces.parquet")
        self._voids = Columns(folder / "voids.parquet")
        self._runs: dict[str, tuple[int, RunBegan]] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._pieces.close()
        self._voids.close()

    def of(self, facts: Iterable[YearFact]) -> Iterator[YearFact]:
        """Yield facts as they come, and write down the pieces."""
        for fact in facts:
            if isinstance(fact, RunBegan):
                self._runs[fact.run] = (len(self._runs), fact)
            elif isinstance(fact, PieceWeighed):
                self._piece(fact)
            elif isinstance(fact, PieceStruckOut):
                self._voids.add({"run": self._runs[fact.run][0], "number": fact.piece.number})
            yield fact

    def _piece(self, fact: PieceWeighed) -> None:
        number, began = self._runs[fact.run]
        self._pieces.add(
            {
                "run": number,
                "began_utc_ms": began.t_utc_ms,
                "product": began.product.name,
                "person": began.person,
                "target_mg": began.product.limits.target_mg,
                "number": fact.piece.number,
                "final_mg": fact.piece.final_mg,
                "verdict": fact.piece.verdict.value,
                "dough_age_ms": fact.piece.dough_age_ms,
            }
        )


class Columns:
    """A Parquet file that is written some rows at a time."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._columns: dict[str, list[Any]] = {}
        self._writer: Any = None

    def add(self, row: dict[str, Any]) -> None:
        """Take one row."""
        for name, value in row.items():
            self._columns.setdefault(name, []).append(value)
        if len(self._columns["run"]) >= AT_ONCE:
            self._write()

    def _write(self) -> None:
        table = needed("pyarrow").table(self._columns)
        writer = needed("pyarrow.parquet").ParquetWriter
        self._writer = self._writer or writer(self._path, table.schema)
        self._writer.write_table(table)
        self._columns = {}

    def close(self) -> None:
        """Write what is left."""
        if self._columns:
            self._write()
        self._writer.close()


def by_tallies(folder: Path, first: date, before: date) -> list[tuple[str, int, int, int]]:
    """Return person, hour, pieces and d in milligrams from the cells of the tallies."""
    from weighstation.report.giveaway import Span  # noqa: PLC0415
    from weighstation.station.stores import open_for_reading  # noqa: PLC0415

    store = open_for_reading(folder / "history" / "journal.sqlite")
    found: dict[tuple[str, int], list[int]] = {}
    with store.one_moment():
        for state in store.runs_begun(*Span(first, before - timedelta(days=1), UTC).utc_ms):
            person = store.started(state.run).person
            for cell, sums in store.tally(state.run).items():
                group = found.setdefault((person, cell.dough_age_h), [0, 0])
                group[0] += sums.n
                group[1] += sums.sum_d_mg
    return [(*key, n, d_mg) for key, (n, d_mg) in sorted(found.items())]


def by_duckdb(folder: Path, first: date, before: date) -> list[tuple[Any, ...]]:
    """Return the same from the raw pieces, by DuckDB."""
    found: list[tuple[Any, ...]] = (
        needed("duckdb")
        .execute(
            """
        SELECT person, (dough_age_ms // 3600000)::BIGINT AS hour, count(*),
               sum(final_mg - target_mg)::BIGINT
        FROM read_parquet(?) AS piece ANTI JOIN read_parquet(?) AS void USING (run, number)
        WHERE began_utc_ms >= ? AND began_utc_ms < ? GROUP BY ALL ORDER BY ALL
        """,
            [str(folder / "pieces.parquet"), str(folder / "voids.parquet"), ms(first), ms(before)],
        )
        .fetchall()
    )
    return found


def by_pandas(folder: Path, first: date, before: date) -> list[tuple[Any, ...]]:
    """Return the same from the raw pieces, by pandas."""
    pd = needed("pandas")
    names = ["run", "number", "person", "target_mg", "final_mg", "dough_age_ms"]
    asked = [("began_utc_ms", ">=", ms(first)), ("began_utc_ms", "<", ms(before))]
    pieces = pd.read_parquet(folder / "pieces.parquet", columns=names, filters=asked)
    voids = pd.read_parquet(folder / "voids.parquet").assign(void=True)
    pieces = pieces.merge(voids, on=["run", "number"], how="left")
    pieces = pieces[pieces["void"].isna()]
    d_mg = pieces["final_mg"] - pieces["target_mg"]
    groups = d_mg.groupby([pieces["person"], pieces["dough_age_ms"] // MS_PER_H])
    found = groups.agg(["size", "sum"]).reset_index()
    return [tuple(row) for row in found.astype(object).to_numpy().tolist()]


def ms(day: date) -> int:
    """Return the first millisecond of a day, UTC."""
    return round(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp() * 1000)


def main() -> None:
    """Answer one question."""
    who, folder, first, before = sys.argv[1:]
    ask = {TALLIES: by_tallies, DUCKDB: by_duckdb, PANDAS: by_pandas}[who]
    found = ask(Path(folder), date.fromisoformat(first), date.fromisoformat(before))
    print(json.dumps(found))


if __name__ == "__main__":
    main()
