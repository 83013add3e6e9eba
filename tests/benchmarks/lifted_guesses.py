"""How often a piece lifted out of band is taken for what it was: ``python lifted_guesses.py``.

For each pair of hands and each way with pieces out of band: how many were lifted, the share taken
rightly when nobody touches the key and when every wrong guess is turned round at once, the same
for the two fixed answers, and whether the turned mornings come out exactly as they were.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from lifted_mornings import (
    LIMITS,
    Baker,
    Morning,
    Outcomes,
    bakers,
    dough_sum,
    morning,
    play,
)

from weighstation.evaluate import Evaluator, dough_balance
from weighstation.events import TookFor

SEEDS = range(1, 21)
TIMES = {
    "a corrected piece is back as fast as the next is fetched": (5.0, 5.0),
    "a corrected piece is back sooner (3 s against 6 s)": (6.0, 3.0),
    "a corrected piece takes longer (8 s against 4 s)": (4.0, 8.0),
}


@dataclass
class Row:
    """Sums over the seeds of one baker."""

    lifted: int = 0
    back: int = 0
    right_alone: int = 0
    right_taught: int = 0
    back_called_boarded: int = 0
    boarded_called_back: int = 0
    mornings: int = 0
    mornings_exact: int = 0
    slips: int = 0
    slips_named: int = 0

    def add(self, other: Row) -> None:
        """Add the sums of another row."""
        for name in vars(other):
            setattr(self, name, getattr(self, name) + getattr(other, name))


def evaluator() -> Evaluator:
    """Return the evaluator as a station makes it."""
    return Evaluator(LIMITS, division_mg=1000)


def row(baker: Baker) -> Row:
    """Play all seeds of one baker."""
    found = Row()
    for seed in SEEDS:
        played = morning(baker, seed)
        alone = play(played, evaluator(), turns_wrong=False)
        taught = play(played, evaluator(), turns_wrong=True)
        slipped = play(played, evaluator(), turns_wrong=True, leaves_wrong=1)
        found.mornings += 1
        found.lifted += alone.asked
        found.back += sum(fate is TookFor.CAME_BACK for fate in played.fates.values())
        found.right_alone += alone.right
        found.right_taught += taught.right
        found.back_called_boarded += taught.wrong[TookFor.CAME_BACK]
        found.boarded_called_back += taught.wrong[TookFor.BOARDED]
        found.mornings_exact += sorted(map(str, taught.facts())) == sorted(map(str, played.pieces))
        found.slips += len(slipped.left_wrong)
        found.slips_named += sum(is_named(fate, slipped, played) for fate in slipped.left_wrong)
    return found


def is_named(fate: TookFor, slipped: Outcomes, played: Morning) -> bool:
    """Say whether the dough balance names the batch with one wrong guess left, and its kind."""
    missing = 1 if fate is TookFor.BOARDED else -1
    return dough_balance(dough_sum(played, slipped)).pieces == missing


def line(name: str, found: Row) -> str:
    """Return one line of the table."""
    back = found.back / max(1, found.lifted)
    return (
        f"{name:38s} {found.lifted:6d} {found.right_alone / found.lifted:7.3f}"
        f" {found.right_taught / found.lifted:7.3f} {min(back, 1):8.3f} {1 - min(back, 1):8.3f}"
        f" {found.back_called_boarded:6d} {found.boarded_called_back:6d}"
        f" {found.mornings_exact:4d}/{found.mornings}  {found.slips_named}/{found.slips}"
    )


def main() -> None:
    """Print the tables."""
    head = "alone  taught  all-back all-board b->brd brd->b  exact  slips named"
    for title, (fetch_s, return_s) in TIMES.items():
        print(f"\n{title}\n{'':38s} lifted   {head}")
        total, rows = Row(), []
        for baker in bakers():
            found = row(replace(baker, fetch_s=fetch_s, return_s=return_s))
            rows.append((found.right_alone / found.lifted, baker.name))
            total.add(found)
            print(line(baker.name, found))
        print(line("all", total))
        print("worst: {1}, {0:.3f}".format(*min(rows)))


if __name__ == "__main__":
    main()
