"""Pull the cable out so many times, a quarter each between pieces, mid-piece, mid-line, mid-commit.

    python tests/benchmarks/two_hundred_unplugs.py [UNPLUGS] [SEED]

On a real pseudo-terminal that is torn down and made anew, with real threads and a real journal.
Prints what came of it; ends with an error where a piece was lost or invented.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "faults"))

from unplug_trial import unplug_trial


def main() -> None:
    unplugs = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    with tempfile.TemporaryDirectory() as folder:
        score = unplug_trial(Path(folder), unplugs=unplugs, seed=seed)
    print(score)
    assert score.counted_g == score.expected_g, "a piece was lost, invented or misweighed"
    assert score.gaps == score.unplugs, "a gap is not on record"


if __name__ == "__main__":
    main()
