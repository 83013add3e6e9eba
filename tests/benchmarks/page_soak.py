"""A station that serves pages, watched for so many minutes: memory, handles, threads, its journal.

A real ``weighstation serve`` on the simulated scale at 20 times its speed, in a process of its own.
Batch after batch is begun as from a page, three viewers follow all the time, others come and go.
Memory is read from the system once a second; after the first fifth it must not rise. A line fitted
to what was read, the whole of it and each half, says so with twice its standard error. Run:
``python tests/benchmarks/page_soak.py [MINUTES, 60] [RECONNECTS, 100]`` (Linux).
"""

from __future__ import annotations

import argparse
import itertools
import os
import statistics
import sys
import tempfile
import threading
import time
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[1] / "end_to_end"))

from served_station import Station, served
from station_process import weighstation

PRODUCTS = 'currency = "EUR"\n' + "".join(
    f'[[product]]\nname = "{name}"\nscaling_weight_g = {grams}\nunder_g = 8\nover_g = 8\n'
    "board_places = 6\n"
    for name, grams in (("Hazel loaf", 740), ("Linden loaf", 480))
)
SCALE = "simulated://?seed=5&speed=20"
PIECES = 60
"""In each batch."""
STEADY = 3
WARM = 1 / 5
"""Share of the time after which all that is held is there."""


class Look(NamedTuple):
    """What the system says of the process at one time."""

    minutes: float
    kib: int
    handles: int
    threads: int


def look(pid: int, began_s: float) -> Look:
    """Return what the system says now."""
    here = Path(f"/proc/{pid}")
    pages = int((here / "statm").read_text().split()[1])
    return Look(
        (time.monotonic() - began_s) / 60,
        pages * os.sysconf("SC_PAGE_SIZE") // 1024,
        len(list((here / "fd").iterdir())),
        len(list((here / "task").iterdir())),
    )


def slope(looks: list[Look]) -> tuple[float, float]:
    """Return KiB a minute of the least-squares line, and twice its standard error.

    The error takes looks a second apart as independent, which they are not: it is too small.
    """
    x, y = [each.minutes for each in looks], [each.kib for each in looks]
    fit = statistics.linear_regression(x, y)
    left = [b - fit.intercept - fit.slope * a for a, b in zip(x, y, strict=True)]
    spread = sum(each * each for each in left) / (len(looks) - 2)
    across = statistics.pvariance(x) * len(x)
    return fit.slope, 2 * (spread / across) ** 0.5


def follow(station: Station, done: threading.Event) -> None:
    """Read a stream until told, and again whenever it ends."""
    while not done.is_set():
        with suppress(OSError):
            for _ in station.states():
                if done.is_set():
                    return


def divide(station: Station, done: threading.Event, batches: list[int]) -> None:
    """Begin batch after batch, and end each once its pieces are cut."""
    names = itertools.cycle(("Hazel loaf", "Linden loaf"))
    while not done.is_set():
        with suppress(OSError):
            station.state_when(lambda state: not state["batch"] and bool(state["idle"]))
            station.post("/bench/start", product=next(names), pieces=PIECES, batch=0)
            state = station.state_when(
                lambda state: done.is_set() or bool(state["batch"] and _counted(state) >= PIECES)
            )
            if done.is_set():
                return
            station.post("/bench/ask", control="end", batch=state["batch"])
            batches.append(_counted(state))


def _counted(state: dict[str, list[list[str]]]) -> int:
    return int(state["facts"][0][1].split(" ")[0])


def soak(home: Path, minutes: float, reconnects: int) -> int:
    """Watch a station; print what was seen, and return the exit code."""
    (home / "products.toml").write_text(PRODUCTS)
    done, batches, looks = threading.Event(), list[int](), list[Look]()
    with served("serve", "--port", "0", "--scale", SCALE, home=home) as station:
        people = [threading.Thread(target=follow, args=(station, done)) for _ in range(STEADY)]
        people.append(threading.Thread(target=divide, args=(station, done, batches)))
        for each in people:
            each.start()
        began_s = time.monotonic()
        came = 0
        while (now := look(station.process.pid, began_s)).minutes < minutes:
            looks.append(now)
            while came < reconnects * now.minutes / minutes:
                next(station.states())
                came += 1
            time.sleep(1.0)
        done.set()
        station.process.terminate()
        code = station.process.wait(10)
        for each in people:
            each.join(10)
    told(looks, sum(batches), len(batches), came)
    proof = weighstation("journal", "verify", home=home, timeout_s=600)
    print(f"left with {code}; journal verify: {proof.stdout or proof.stderr}")
    return proof.returncode


def told(looks: list[Look], pieces: int, batches: int, came: int) -> None:
    """Print what was seen."""
    warm = looks[round(len(looks) * WARM) :]
    half = len(warm) // 2
    print(f"{looks[-1].minutes:.1f} min, {batches} batches, {pieces} pieces, {came} viewers came")
    print(f"resident: {looks[0].kib / 1024:.1f} MiB at first, {warm[0].kib / 1024:.1f} once warm,")
    print(
        f"  {max(each.kib for each in looks) / 1024:.1f} at most, {looks[-1].kib / 1024:.1f} last"
    )
    for name, part in (("warm", warm), ("first half", warm[:half]), ("second half", warm[half:])):
        rise, error = slope(part)
        print(f"  {name}: {rise:+.2f} KiB a minute, give or take {error:.2f}")
    for name in ("handles", "threads"):
        seen = [getattr(each, name) for each in warm]
        print(f"{name}: {seen[0]} once warm, {max(seen)} at most, {seen[-1]} last")


def main() -> int:
    """Watch for as long as was said."""
    words = argparse.ArgumentParser()
    words.add_argument("minutes", nargs="?", type=float, default=60.0)
    words.add_argument("reconnects", nargs="?", type=int, default=100)
    asked = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        return soak(Path(folder), asked.minutes, asked.reconnects)


if __name__ == "__main__":
    sys.exit(main())
