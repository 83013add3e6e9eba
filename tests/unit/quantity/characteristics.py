"""How often lots pass, worked out without the package, for normal weights and a wandering mean."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np
from scipy import stats  # type: ignore[import-untyped]

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

CDF = NormalDist().cdf
STEP_G = 0.05
LEAST_WEIGHT = 1e-9
SUMS, SQUARES = 96, 384
NEVER_SHORT_G = 200
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(41)
_LEGENDRE = np.polynomial.legendre.leggauss(240)


@dataclass(frozen=True)
class Second:
    """The second sample of a plan, and how many short ones it stands."""

    below: int
    sample: int
    allowed: int


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
    plan: str = "single"
    second: Second | None = None
    drift_g: float = 0.0
    """The mean walks evenly through the lot, from so much below to so much above."""

    @property
    def is_whole(self) -> bool:
        return self.sample == self.lot_size

    @property
    def mean_g(self) -> float:
        return self.nominal_g * (1 - self.off_pct / 100)

    @property
    def most_short(self) -> int:
        """So many may be short in the first sample without the lot failing at once."""
        return self.second.below - 1 if self.second else self.allowed


def lots(scene: Scene, count: int, seed: int) -> np.ndarray:
    """Return both samples of so many lots, to a hundredth of a gram.

    Where the mean walks, a piece of a sample comes from anywhere in the lot.
    """
    draw = np.random.default_rng(seed)
    size = scene.sample + (scene.second.sample if scene.second else 0)
    means = scene.mean_g + scene.wander_g * draw.standard_normal((count, 1))
    if scene.drift_g:
        places = walk(scene) if scene.is_whole else draw.uniform(-1, 1, (count, size))
        means = means + scene.drift_g * places
    return np.round(means + scene.sd_g * draw.standard_normal((count, size)), 2)


def walk(scene: Scene) -> np.ndarray:
    """Return where the pieces of a lot that is weighed whole stand in it, from -1 to 1."""
    n = scene.sample
    return (2 * np.arange(n) + 1) / n - 1


def chance_mean(scene: Scene) -> float:
    """Return the chance that the mean passes: exactly, by the noncentral t over the wander.

    Weights of a walking mean are not normal; there it is the chance of both, where none is short.
    """
    if scene.drift_g and scene.confidence is not None:
        return chance_both(replace(scene, deficiency_g=NEVER_SHORT_G, outer=False))
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
    if scene.drift_g and scene.is_whole:
        return float(sum(weight * sum(_by_place(scene, m)) for weight, m in wandering(scene)))
    return sum(
        weight * _decided(scene, by_count(scene.sample, *shares, scene.most_short), *shares)
        for weight, mean_g in wandering(scene)
        for shares in [_shares(scene, mean_g)]
    )


def _by_place(scene: Scene, mean_g: float) -> np.ndarray:
    """Return the chances that 0, 1 and so on are short, each piece with a mean of its own."""
    chances = np.zeros(scene.most_short + 1)
    chances[0] = 1.0
    for place in walk(scene):
        short, fine = _shares_at(scene, mean_g + scene.drift_g * place)
        chances = chances * fine + short * np.concatenate([[0.0], chances[:-1]])
    return chances


def chance_both(scene: Scene) -> float:
    """Return the chance that the mean and the counts pass together."""
    first = _whole if scene.confidence is None else _sampled
    return sum(
        weight * _decided(scene, first(scene, mean_g), *_shares(scene, mean_g))
        for weight, mean_g in wandering(scene)
    )


def wandering(scene: Scene) -> Iterator[tuple[float, float]]:
    """Yield the means of batches, each with its weight."""
    if not scene.wander_g:
        yield 1.0, scene.mean_g
        return
    for node, weight in zip(_NODES, _WEIGHTS / math.sqrt(2 * math.pi), strict=True):
        if weight > LEAST_WEIGHT:
            yield float(weight), scene.mean_g + scene.wander_g * float(node)


def by_count(n: int, short: float, fine: float, most: int) -> list[float]:
    """Return the chances that 0, 1 and so on of n are short and the others fine."""
    return [math.comb(n, k) * short**k * fine ** (n - k) for k in range(most + 1)]


def _shares(scene: Scene, mean_g: float) -> tuple[float, float]:
    """Return what share is short but not far short, and what share is not short.

    Of a sample from a walking mean: by Gauss' quadrature over the places.
    """
    if not scene.drift_g:
        return _shares_at(scene, mean_g)
    at, weights = _LEGENDRE
    shares = np.array([_shares_at(scene, mean_g + scene.drift_g * float(x)) for x in at])
    short, fine = weights @ shares / 2
    return float(short), float(fine)


def _shares_at(scene: Scene, mean_g: float) -> tuple[float, float]:
    inner_g = scene.nominal_g - scene.deficiency_g
    below = CDF((inner_g - mean_g) / scene.sd_g)
    far = CDF((inner_g - scene.deficiency_g - mean_g) / scene.sd_g) if scene.outer else 0.0
    return below - far, 1 - below


def _decided(scene: Scene, first: Sequence[float], short: float, fine: float) -> float:
    """Return the chance of passing from those of the first sample by its short ones."""
    passing = sum(first[: scene.allowed + 1])
    if scene.second is None:
        return passing
    second = by_count(scene.second.sample, short, fine, scene.second.allowed)
    return passing + sum(
        first[k] * sum(second[: scene.second.allowed - k + 1])
        for k in range(scene.allowed + 1, scene.second.below)
    )


def _whole(scene: Scene, mean_g: float) -> list[float]:
    """Return the chances that the plain mean passes and so many are short, none far.

    The sum of the weights and the count of short ones are carried together: densities on a grid,
    their transforms to the power n, and the binomial expansion in the short ones.
    """
    cells = 1 << 16
    off_g = (np.arange(cells) - cells // 2) * STEP_G
    inner = off_g < -scene.deficiency_g - STEP_G / 4
    outer = off_g < -2 * scene.deficiency_g - STEP_G / 4

    def transforms(mean_g: float) -> list[np.ndarray]:
        z = (scene.nominal_g + off_g - mean_g) / scene.sd_g
        density = np.exp(-z * z / 2) / math.sqrt(2 * math.pi) / scene.sd_g * STEP_G
        return [
            np.fft.fft(np.fft.ifftshift(np.where(kept, density, 0.0)))
            for kept in (~inner, inner & ~outer)
        ]

    if scene.drift_g:
        each_mean = (mean_g + scene.drift_g * float(place) for place in walk(scene))
        samples = _product(scene, map(transforms, each_mean))
    else:
        samples = list(_expansion(scene, *transforms(mean_g)))
    return [
        float(np.fft.fftshift(np.fft.ifft(each).real)[off_g >= -STEP_G / 4].sum())
        for each in samples
    ]


def _product(scene: Scene, pieces: Iterable[Sequence[np.ndarray]]) -> list[np.ndarray]:
    """Return the transforms of a sample of which 0, 1 and so on are short, piece by piece."""
    none: np.ndarray | float = 0.0
    found: list[np.ndarray | float] = [1.0, *[none] * scene.most_short]
    for fine, short in pieces:
        found = [
            one * fine + fewer * short
            for one, fewer in zip(found, [none, *found[:-1]], strict=True)
        ]
    return [np.asarray(each) for each in found]


def _expansion(scene: Scene, fine: np.ndarray, short: np.ndarray) -> Iterator[np.ndarray]:
    """Yield the transforms of a sample of which 0, 1 and so on are short."""
    n = scene.sample
    for k in range(scene.most_short + 1):
        yield math.comb(n, k) * fine ** (n - k) * short**k


def _sampled(scene: Scene, mean_g: float) -> list[float]:
    """Return the chances that mean + k s passes and so many are short, none far.

    With z the weights less the batch's mean, over the spread, the test of the mean looks at the
    sum of z and the sum of z squared alone. Their transform over fine pieces, and over short ones,
    comes by Gauss' quadrature; a sample's by the binomial expansion; its density by the inverse
    transform. For each sum the squares pass from a threshold on.
    """
    inner = (scene.nominal_g - scene.deficiency_g - mean_g) / scene.sd_g
    outer = inner - scene.deficiency_g / scene.sd_g if scene.outer else -math.inf
    drift = scene.drift_g / scene.sd_g
    fine = _transform(scene.sample, inner, math.inf, drift)
    short = _transform(scene.sample, outer, inner, drift)
    return [_passing(scene, mean_g, each) for each in _expansion(scene, fine, short)]


@cache
def _grid(n: int) -> tuple[np.ndarray, np.ndarray]:
    """Return the sums of z from seven standard deviations below, and those of the squares."""
    sums = math.sqrt(n) * np.linspace(-7, 7, SUMS, endpoint=False)
    squares = (n + 12 * math.sqrt(2 * n)) * np.linspace(0, 1, SQUARES, endpoint=False)
    return sums, squares


@cache
def _frequencies(n: int) -> tuple[np.ndarray, np.ndarray]:
    sums, squares = _grid(n)
    u = np.fft.fftfreq(sums.size, sums[1] - sums[0])
    v = np.fft.rfftfreq(squares.size, squares[1] - squares[0])
    return 2 * math.pi * u, 2 * math.pi * v


def _transform(n: int, low: float, high: float, drift: float) -> np.ndarray:
    """Return the mean of exp(-i (u z + v z z)) over z between two limits.

    z is normal, or normal about a mean that is anywhere between -drift and drift.
    """
    u, v = _frequencies(n)
    low, high = max(low, -9.0), min(high, 9.0)
    if low >= high:
        return np.zeros((u.size, v.size))
    at, weights = _LEGENDRE
    z = (high + low) / 2 + (high - low) / 2 * at
    density = np.exp(-z * z / 2) / math.sqrt(2 * math.pi)
    if drift:
        density = (stats.norm.cdf(z + drift) - stats.norm.cdf(z - drift)) / (2 * drift)
    mass = (high - low) / 2 * weights * density
    across = np.exp(-1j * np.outer(u, z)) * mass
    return across @ np.exp(-1j * np.outer(z * z, v))


def _passing(scene: Scene, mean_g: float, transform: np.ndarray) -> float:
    n = scene.sample
    sums, squares = _grid(n)
    u, _ = _frequencies(n)
    along = np.fft.ifft(transform * np.exp(1j * u * sums[0])[:, None], axis=0)
    density = np.fft.irfft(along, squares.size, axis=1)
    reach = stats.t.ppf(scene.confidence, n - 1) / math.sqrt(n)
    off = (mean_g - scene.nominal_g) / scene.sd_g + sums / n
    least = np.where(off < 0, sums**2 / n + (n - 1) * (off / reach) ** 2, 0.0)
    below = np.cumsum(density, axis=1) - density / 2
    failing = sum(
        np.interp(least[row], squares, below[row]) for row in range(sums.size) if off[row] < 0
    )
    return max(0.0, float(density.sum() - failing))


SCENES = [
    *(Scene("eu-76-211", 60, 60, 800, 15, 3, off) for off in (0, 1, 2, 4)),
    *(Scene("oiml-r87", 300, 50, 800, 15, 3, off, confidence=0.995) for off in (0, 1, 2, 4)),
    *(
        Scene("nist-hb133", 200, 12, 800, 29, 0, off, confidence=0.975, outer=False)
        for off in (0, 1, 2, 4)
    ),
    *(
        Scene(
            "eu-76-211",
            lot,
            sample,
            800,
            15,
            allowed,
            off,
            sd_g=6,
            confidence=0.995,
            plan="double",
            second=Second(below, sample, both),
        )
        for lot, sample, allowed, below, both in ((300, 30, 1, 3, 4), (2000, 50, 2, 5, 6))
        for off in (0, 0.5, 1)
    ),
    *(
        Scene("eu-76-211", 300, 20, 800, 15, 1, off, confidence=0.995, plan="destructive")
        for off in (0, 1, 2)
    ),
    *(
        replace(scene, off_pct=off, sd_g=6, wander_g=0, drift_g=6)
        for scene in (
            Scene("eu-76-211", 60, 60, 800, 15, 3, 0),
            Scene("eu-76-211", 3200, 80, 800, 15, 5, 0, confidence=0.995),
            Scene("oiml-r87", 3200, 80, 800, 15, 5, 0, confidence=0.995),
            Scene("nist-hb133", 3200, 24, 800, 29, 0, 0, confidence=0.975, outer=False),
        )
        for off in (0, 0.5, 1)
    ),
]
"""At the declared weight and below it; the mean wanders from lot to lot, or walks within each."""
QUICK = [scene for scene in SCENES if scene.off_pct <= (0 if scene.drift_g else 1)]
"""Those in which something passes now and then."""
