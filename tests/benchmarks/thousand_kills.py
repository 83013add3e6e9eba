"""Kill a station so many times, a third of them at least inside a commit, and lose nothing.

    python tests/benchmarks/thousand_kills.py [KILLS] [SEED]

Prints what came of it; ends with an error at the first piece that was shown and is not on record,
the first journal that does not hold, or the first batch whose total is not the truth.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "faults"))

from kill_trial import KillTrial
from station_under_test import compiled_shim


def main() -> None:
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    began_s = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        trial = KillTrial(Path(folder), compiled_shim(Path(folder)), seed=seed, by_command=True)
        for mark in range(25, kills + 25, 25):
            score = trial.run(min(mark, kills))
            print(f"{score}  {time.monotonic() - began_s:.0f} s", flush=True)
    assert score.inside * 10 >= kills * 3, "too few kills fell inside a commit"
    print(
        f"{score.kills} kills, {score.inside} inside a commit; {score.batches} batches equal the"
        f" truth; {score.shown} pieces shown, all on record; after {score.unshown} kills a piece"
        " was on record that had not been shown yet."
    )


if __name__ == "__main__":
    main()
