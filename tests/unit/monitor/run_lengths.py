"""Average run lengths by chains and integral equations: nothing here is the package's own."""

from __future__ import annotations

import math
from collections import deque
from functools import cache
from itertools import pairwise
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

CDF = NormalDist().cdf
NODES = 48


@cache
def gauss() -> tuple[np.ndarray, np.ndarray]:
    """Return nodes and weights on -1 to 1."""
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    return nodes, weights


def density(z: np.ndarray) -> np.ndarray:
    bell: np.ndarray = np.exp(-z * z / 2)
    return bell / math.sqrt(2 * math.pi)


class Memory(NamedTuple):
    """What the zone rules remember: a run on one side, and flags of the last points."""

    run: int
    beyond_1: tuple[int, ...]
    beyond_2: tuple[int, ...]


def zone_rules_arl(rules: tuple[int, ...], shift: float) -> float:
    """Return the average run length of zone rules 1 to 4, after Champ and Woodall (1987).

    The chain's states are found by walking from the start.
    """
    zones = [-math.inf, -3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0, math.inf]
    parts = [(low, CDF(high - shift) - CDF(low - shift)) for low, high in pairwise(zones)]
    start = Memory(0, (0,) * 4, (0,) * 2)
    places, waiting, rows = {start: 0}, deque([start]), []
    while waiting:
        memory = waiting.popleft()
        row: dict[int, float] = {}
        for low, chance in parts:
            after = _after(memory, low, rules)
            if after is None:
                continue
            if after not in places:
                places[after] = len(places)
                waiting.append(after)
            row[places[after]] = row.get(places[after], 0.0) + chance
        rows.append(row)
    matrix = np.eye(len(rows))
    for place, row in enumerate(rows):
        for other, chance in row.items():
            matrix[place, other] -= chance
    return float(np.linalg.solve(matrix, np.ones(len(rows)))[0])


def _after(memory: Memory, low: float, rules: tuple[int, ...]) -> Memory | None:
    """Return what is remembered after a point in the zone from ``low`` up; None of a signal."""
    side = 1 if low >= 0 else -1
    far = {-math.inf: 3, -3.0: 2, -2.0: 1, -1.0: 0, 0.0: 0, 1.0: 1, 2.0: 2, 3.0: 3}[low]
    ones = (*memory.beyond_1, side * (far >= 1))
    twos = (*memory.beyond_2, side * (far >= 2))
    run = memory.run + side if memory.run * side > 0 else side
    met = {
        1: far == 3,
        2: any(twos.count(each) >= 2 for each in (1, -1)),
        3: any(ones.count(each) >= 4 for each in (1, -1)),
        4: abs(run) >= 8,
    }
    if any(met[rule] for rule in rules):
        return None
    return Memory(
        run if 4 in rules else 0,
        ones[1:] if 3 in rules else (0,) * 4,
        twos[1:] if 2 in rules else (0,) * 2,
    )


def one_sided_cusum_arl(k: float, h: float, shift: float, head_start: float = 0.0) -> float:
    """Return the average run length of an upper CUSUM by its integral equation (Page, 1954)."""
    nodes, weights = gauss()
    y, w = (nodes + 1) * h / 2, weights * h / 2
    starts = np.concatenate(([0.0], y))
    to_zero = np.array([CDF(k - start - shift) for start in starts.tolist()])
    matrix = np.eye(NODES + 1)
    matrix[:, 0] -= to_zero
    matrix[:, 1:] -= density(y + k - starts[:, None] - shift) * w
    solved = np.linalg.solve(matrix, np.ones(NODES + 1))
    at = CDF(k - head_start - shift) * solved[0]
    return float(1 + at + (density(y + k - head_start - shift) * w) @ solved[1:])


def cusum_arl(k: float, h: float, shift: float, head_start: float = 0.0) -> float:
    """Return that of a two-sided CUSUM from both sides; Lucas and Crosier (1982) with a start."""
    up, down = (one_sided_cusum_arl(k, h, each) for each in (shift, -shift))
    if not head_start:
        return 1 / (1 / up + 1 / down)
    from_up, from_down = (one_sided_cusum_arl(k, h, each, head_start) for each in (shift, -shift))
    return (from_up * down + from_down * up - up * down) / (up + down)


def ewma_arl(lam: float, width: float, shift: float) -> float:
    """Return that of an EWMA with steady limits by its integral equation (Crowder, 1987)."""
    reach = width * math.sqrt(lam / (2 - lam))
    nodes, weights = gauss()
    y, w = nodes * reach, weights * reach
    starts = np.concatenate(([0.0], y))
    kernel = density((y - (1 - lam) * starts[:, None]) / lam - shift) / lam * w
    matrix = np.eye(NODES + 1)
    matrix[:, 1:] -= kernel
    return float(np.linalg.solve(matrix, np.ones(NODES + 1))[0])
