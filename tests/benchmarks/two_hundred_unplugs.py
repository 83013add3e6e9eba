"""Pull the cable out so many times, a quarter each between pieces, mid-piece, mid-line, mid-commit.

    python tests/benchmarks/two_hundred_unplugs.py [UNPLUGS] [SEED]
    python tests/benchmarks/two_hundred_unplugs.py --threads [UNPLUGS] [SEED]

On a real pseudo-terminal that is torn down and made anew and a real journal; with the command
``divide`` in a process of its own (200 take about 20 minutes), or with its threads here, sped up.
Prints what came of it; ends with an error where a piece was lost or invented.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "faults"))

from divide_bench import DivideBench
from unplug_trial import ThreadedBench, unplug_trial


def main() -> None:
    words = sys.argv[1:]
    kind = ThreadedBench if words[:1] == ["--threads"] else DivideBench
    numbers = [int(word) for word in words if word.isdigit()]
    unplugs, seed = (numbers + [200, 1][len(numbers) :])[:2]
    with tempfile.TemporaryDirectory() as folder:
        score = unplug_trial(Path(folder), unplugs=unplugs, seed=seed, kind=kind)
    print(score)
    assert score.counted_g == score.expected_g, "a piece was lost, invented or misweighed"
    assert score.gaps == score.unplugs, "a gap is not on record"


if __name__ == "__main__":
    main()
