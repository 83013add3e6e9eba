"""Does the same sequence of weights come twice: a day that was copied."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.monitor.plausibility.equal import AGREEMENT
from weighstation.monitor.plausibility.flag import ALPHA, Flag, FlagKind, rarely

if TYPE_CHECKING:
    from collections.abc import Sequence

WINDOW = 10
"""Weights that must agree before a match is looked at; house figure."""

Place = tuple[int, int]
"""A run, and a weight of it; both from 0."""


@dataclass(frozen=True, slots=True)
class _Match:
    first: Place
    again: Place
    length: int
    log_chance: float


def repeated(
    latest_mg: Sequence[Sequence[int]],
    *,
    former_mg: Sequence[Sequence[int]] = (),
    alpha: float = ALPHA,
) -> Flag | None:
    """Return a flag if a sequence of weights comes twice.

    Parameters
    ----------
    latest_mg : sequence of (n,) sequences of int, milligrams
        Weights in the order they came, run by run, of one person or product.
    former_mg : sequence of (m,) sequences of int, milligrams
        Earlier runs that they are held against; the latest are held against one another too.
    alpha : float

    Returns
    -------
    Flag or None
        Its figures name runs and weights by their places, from 0, the former runs first.

    Notes
    -----
    A sequence of marks comes again somewhere with a chance of at most the pairs of places times
    the product of the shares of its marks, each taken 1.5 times, because neighbours hang together
    (Boole's inequality). So ten pieces of 70 g that a coarse scale shows alike are nothing, and a
    dozen of loaves is much.

    Not seen: a copy in another order, or one in which every tenth weight was changed; a match of
    fewer than ten.
    """
    runs = [*map(tuple, former_mg), *map(tuple, latest_mg)]
    total = sum(map(len, runs))
    pairs = total * sum(map(len, latest_mg))
    best = _best(runs, first_new=len(former_mg), logs=_logs(runs, total))
    if best is None:
        return None
    p = math.exp(min(0.0, math.log(pairs) + best.log_chance))
    if p >= alpha:
        return None
    text = (
        f"{best.length} weights in a row are those of an earlier place, one by one"
        f" ({rarely(p)} by chance): were they copied?"
    )
    figures = {
        "first_run": best.first[0],
        "first_place": best.first[1],
        "again_run": best.again[0],
        "again_place": best.again[1],
    }
    return Flag(FlagKind.REPEATED, text, total, figures, p, best.length, alpha)


def _logs(runs: list[tuple[int, ...]], total: int) -> dict[int, float]:
    """Return the logarithm of the chance that a given weight comes, at most."""
    seen = Counter(weight for run in runs for weight in run)
    return {weight: math.log(min(1.0, AGREEMENT * count / total)) for weight, count in seen.items()}


def _best(runs: list[tuple[int, ...]], *, first_new: int, logs: dict[int, float]) -> _Match | None:
    """Return the least likely match of a later place with an earlier one."""
    known: dict[tuple[int, ...], Place] = {}
    best: _Match | None = None
    for number, run in enumerate(runs):
        for place in range(len(run) - WINDOW + 1):
            window = run[place : place + WINDOW]
            first = known.setdefault(window, (number, place))
            if number < first_new or first == (number, place):
                continue
            match = _extended(runs, first, (number, place), logs)
            if best is None or match.log_chance < best.log_chance:
                best = match
    return best


def _extended(
    runs: list[tuple[int, ...]], first: Place, again: Place, logs: dict[int, float]
) -> _Match:
    """Return a match as far as it goes; within one run it does not overlap itself."""
    one, two = runs[first[0]][first[1] :], runs[again[0]][again[1] :]
    most = min(len(one), len(two))
    if first[0] == again[0]:
        most = min(most, again[1] - first[1])
    length = next((at for at in range(most) if one[at] != two[at]), most)
    return _Match(first, again, length, math.fsum(logs[weight] for weight in two[:length]))
