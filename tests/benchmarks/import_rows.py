"""`journal import` beside a plain loop over the same rows, and what a long journal costs later.

The plain loop reads the CSV by `csv`, makes integers of it and gives it to one `executemany` of
sqlite3 in one synced transaction: no fault is told by its line, no row is known again, no line is
chained, no total kept. A second one seals each row in a chain of digests as well, by the recipe of
the journal, and writes it as text. Then the commands of a day are timed in a journal that holds
that many rows, and in one that holds the rows of its last day alone.

Run: python tests/benchmarks/import_rows.py [rows, 100000] [pairs, 5]
"""

from __future__ import annotations

import csv
import os
import random
import shutil
import statistics
import sys
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

MIB = 1024
HEADER = "time,product,grams,first_grams,touches,person,dough_age_min"
PRODUCTS = {"Tin loaf": (920, 4), "Hearth loaf": (1195, 6), "Sesame roll": (70, 1)}
"""Scaling weight and spread in grams; the products that `init` writes."""

A_RUN, FIRST_DAY, S_APART = 130, datetime(2024, 1, 2, 4, tzinfo=UTC), 9
RECORDING = Path(__file__).parents[2] / "fixtures" / "recordings" / "single.jsonl"

PLAIN = """
import csv, sqlite3, sys
from datetime import datetime
def rows():
    with open(sys.argv[1], newline="") as file:
        for row in csv.DictReader(file):
            at_ms = round(datetime.fromisoformat(row["time"]).timestamp() * 1000)
            yield (at_ms, row["product"], round(1000 * float(row["grams"])),
                   round(1000 * float(row["first_grams"])), int(row["touches"]), row["person"],
                   round(60_000 * float(row["dough_age_min"])))
store = sqlite3.connect(sys.argv[2], isolation_level=None)
store.execute("PRAGMA journal_mode = WAL")
store.execute("PRAGMA synchronous = FULL")
store.execute("CREATE TABLE piece (at_ms, product, final_mg, first_mg, touches, person, age_ms)")
store.execute("BEGIN")
store.executemany("INSERT INTO piece VALUES (?, ?, ?, ?, ?, ?, ?)", rows())
store.execute("COMMIT")
"""
CHAINED = (
    PLAIN.replace("import csv,", "import csv, hashlib, json,")
    .replace(
        "rows())",
        "chained())",
    )
    .replace("VALUES (?, ?, ?, ?, ?, ?, ?)", "VALUES (?, ?, ?)")
    .replace("(at_ms, product, final_mg, first_mg, touches, person, age_ms)", "(seq, body, digest)")
    .replace(
        "store = ",
        """NAMES = "at_ms", "product", "final_mg", "first_mg", "touches", "person", "age_ms"
def chained():
    digest = "0" * 32
    for seq, row in enumerate(rows(), 1):
        body = json.dumps(dict(zip(NAMES, row)), sort_keys=True, separators=(",", ":"))
        digest = hashlib.sha256(f"{digest}\\n{seq}\\n{body}".encode()).hexdigest()
        yield seq, body, digest
store = """,
    )
)


def write_rows(path: Path, count: int) -> datetime:
    """Write rows as a bakery would have them; return the last day."""
    seeded, written, day = random.Random(1), 0, FIRST_DAY
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.writer(file)
        out.writerow(HEADER.split(","))
        while True:
            for product, (target_g, sd_g) in PRODUCTS.items():
                for person in ("AB", "CD"):
                    for number in range(min(A_RUN, count - written)):
                        at = day + timedelta(seconds=number * S_APART)
                        final_g = round(seeded.gauss(target_g, sd_g))
                        first_g = round(seeded.gauss(target_g, 3 * sd_g))
                        minutes = round(number * S_APART / 60, 1)
                        touches = seeded.randrange(3)
                        out.writerow(
                            [at.isoformat(), product, final_g, first_g, touches, person, minutes]
                        )
                        written += 1
            if written >= count:
                return day
            day += timedelta(days=1)


def of_day(path: Path, day: datetime, into: Path) -> None:
    """Write the rows of one day into another file."""
    lines = path.read_text(encoding="utf-8").splitlines()
    same = [line for line in lines[1:] if line.startswith(f"{day:%Y-%m-%d}")]
    into.write_text("\n".join((lines[0], *same, "")), encoding="utf-8")


def spent(words: Sequence[str]) -> tuple[float, float]:
    """Run a command; return its processor seconds, and the most it held in MiB."""
    child = os.posix_spawn(
        sys.executable,
        [sys.executable, *words],
        os.environ | {"TZ": "UTC"},
        file_actions=[(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)],
    )
    _, status, used = os.wait4(child, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        raise SystemExit(f"{' '.join(words)} failed")
    return used.ru_utime + used.ru_stime, used.ru_maxrss / MIB


def station(home: Path, *words: str) -> tuple[float, float]:
    """Run a command of the package on a home."""
    return spent(("-m", "weighstation", *words, "--home", str(home)))


def entered(folder: Path, source: Path, name: str) -> tuple[float, float]:
    """Enter a file into a new journal."""
    home = folder / name
    shutil.rmtree(home, ignore_errors=True)
    station(home, "init")
    return station(home, "journal", "import", str(source))


def plainly(folder: Path, source: Path, script: str) -> tuple[float, float]:
    """Put a file into a table by a loop of its own."""
    table = folder / "plain.sqlite"
    for path in folder.glob("plain.sqlite*"):
        path.unlink()
    return spent(("-c", script, str(source), str(table)))


def compare_imports(folder: Path, source: Path, pairs: int) -> None:
    """Print what entering costs, beside the loops."""
    ours, bare, chained = [], [], []
    for _ in range(pairs):
        ours.append(entered(folder, source, "many"))
        bare.append(plainly(folder, source, PLAIN))
        chained.append(plainly(folder, source, CHAINED))
    again = station(folder / "many", "journal", "import", str(source))
    for name, found in (("plain loop", bare), ("chained loop", chained)):
        ratio = statistics.median(o[0] / f[0] for o, f in zip(ours, found, strict=True))
        print(f"journal import {ratio:.1f} x the {name} in processor time")
    for name, found in (
        ("journal import", ours),
        ("the same file again", [again]),
        ("plain loop", bare),
        ("chained loop", chained),
    ):
        cpu_s = statistics.median(cpu_s for cpu_s, _ in found)
        print(f"  {name:20} {cpu_s:6.2f} s, {max(mib for _, mib in found):5.0f} MiB", flush=True)


def compare_commands(folder: Path, day: datetime, pairs: int) -> None:
    """Print what commands cost in the long journal, beside the short one."""
    span = ("--from", f"{day:%Y-%m-%d}", "--to", f"{day:%Y-%m-%d}")
    port = f"replay://{RECORDING}?speed=1000"
    commands = {
        "divide, a replay": ("divide", "Tin loaf", "--port", port, "--fresh", "--events"),
        "giveaway of a day": ("giveaway", *span),
        "dossier of a day": ("dossier", *span),
        "journal import, a row": ("journal", "import", str(folder / "row.csv")),
        "journal verify": ("journal", "verify"),
    }
    for name, words in commands.items():
        long, short = [], []
        for _ in range(pairs):
            long.append(station(folder / "many", *words)[0])
            short.append(station(folder / "few", *words)[0])
        ratio = statistics.median(one / other for one, other in zip(long, short, strict=True))
        print(
            f"{name}: {ratio:.2f} x the short journal;"
            f" {statistics.median(long):.2f} s, {statistics.median(short):.2f} s",
            flush=True,
        )


def main() -> None:
    """Enter rows, and time what comes after."""
    rows, pairs = [int(word) for word in (*sys.argv[1:], *("100000", "5")[len(sys.argv) - 1 :])]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        source, last = folder / "rows.csv", folder / "last.csv"
        day = write_rows(source, rows)
        of_day(source, day, last)
        row = f"{datetime(2024, 1, 1, 5, tzinfo=UTC).isoformat()},Tin loaf,921,930,1,AB,1"
        (folder / "row.csv").write_text(f"{HEADER}\n{row}\n", encoding="utf-8")
        print(f"{rows} rows, {pairs} pairs in turns")
        compare_imports(folder, source, pairs)
        entered(folder, last, "few")
        compare_commands(folder, day, pairs)


if __name__ == "__main__":
    main()
