"""How often lots pass, worked out without the package, for normal weights and a wandering mean."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from scipy import stats  # type: ignore[import-untyped]

CDF = NormalDist().cdf
STEP_G = 0.05
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(41)


@dataclass(frozen=True)
class Scene:
    """A baker who aims at a mean, and a lot of a rule."""

    rule: str
    lot_size: int
    sample: int
    nominal_g: float
    deficiency_g: float
    allowed: int
    off_pct: float
    sd_g: float = 8.0
    wander_g: float = 3.0
    confidence: float | None = None
    outer: bool = True

    @property
    def mean_g(self) -> float:
        return self.nominal_g * (1 - self.off_pct / 100)


def lots(scene: Scene, count: int, seed: int) -> np.ndarray:
    """Return samples of so many lots, to a hundredth of a gram."""
    draw = np.random.default_rng(seed)
    means = scene.mean_g + scene.wander_g * draw.standard_normal((count, 1))
    return np.round(means + scene.sd_g * draw.standard_normal((count, scene.sample)), 2)


def chance_mean(scene: Scene) -> float:
    """Return the chance that the mean passes: exactly, by the noncentral t over the wander."""
    if scene.confidence is None:
        spread_g = math.hypot(scene.sd_g / math.sqrt(scene.sample), scene.wander_g)
        return CDF((scene.mean_g - scene.nominal_g) / spread_g)
    n = scene.sample
    least_t = -stats.t.ppf(scene.confidence, n - 1)
    shifts = (scene.mean_g + scene.wander_g * _NODES - scene.nominal_g) / scene.sd_g * math.sqrt(n)
    chances = stats.nct.sf(least_t, n - 1, shifts)
    return float(_WEIGHTS @ chances / math.sqrt(2 * math.pi))


def chance_counts(scene: Scene) -> float:
    """Return the chance that the counts pass: multinomial over the wander."""
    total = 0.0
    for node, weight in zip(_NODES, _WEIGHTS, strict=True):
        mean_g = scene.mean_g + scene.wander_g * node
        inner = scene.nominal_g - scene.deficiency_g
        below = CDF((inner - mean_g) / scene.sd_g)
        outer = CDF((inner - scene.deficiency_g - mean_g) / scene.sd_g) if scene.outer else 0.0
        n = scene.sample
        total += weight * sum(
            math.comb(n, k) * (below - outer) ** k * (1 - below) ** (n - k)
            for k in range(scene.allowed + 1)
        )
    return float(total / math.sqrt(2 * math.pi))


def chance_both(scene: Scene) -> float:
    """Return the chance that plain mean and counts pass together, of a lot weighed whole.

    The sum of the weights and the count of short ones are carried together: densities on a grid,
    their transforms to the power n, and the binomial expansion in the short ones.
    """
    n = scene.sample
    cells = 1 << 16
    off_g = (np.arange(cells) - cells // 2) * STEP_G
    total = 0.0
    for node, weight in zip(_NODES, _WEIGHTS, strict=True):
        mean_g = scene.mean_g + scene.wander_g * node
        z = (scene.nominal_g + off_g - mean_g) / scene.sd_g
        density = np.exp(-z * z / 2) / math.sqrt(2 * math.pi) / scene.sd_g * STEP_G
        inner = off_g < -scene.deficiency_g - STEP_G / 4
        outer = off_g < -2 * scene.deficiency_g - STEP_G / 4
        fine, short = (
            np.fft.fft(np.fft.ifftshift(np.where(kept, density, 0.0)))
            for kept in (~inner, inner & ~outer)
        )
        together = sum(
            math.comb(n, k) * fine ** (n - k) * short**k for k in range(scene.allowed + 1)
        )
        sums = np.fft.fftshift(np.fft.ifft(together).real)
        total += weight * float(sums[off_g >= -STEP_G / 4].sum())
    return total / math.sqrt(2 * math.pi)


SCENES = [
    *(Scene("eu-76-211", 60, 60, 800, 15, 3, off) for off in (0, 1, 2, 4)),
    *(Scene("oiml-r87", 300, 50, 800, 15, 3, off, confidence=0.995) for off in (0, 1, 2, 4)),
    *(
        Scene("nist-hb133", 200, 12, 800, 29, 0, off, confidence=0.975, outer=False)
        for off in (0, 1, 2, 4)
    ),
]
