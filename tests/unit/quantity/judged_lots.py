"""Simulated lots as the package judges them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from characteristics import lots

from weighstation.quantity import judge_lot

if TYPE_CHECKING:
    from characteristics import Scene

    from weighstation.quantity import LotJudgement


@dataclass(frozen=True)
class Passing:
    """Shares of lots that pass: by the mean, by the counts, and by both."""

    mean: float
    counts: float
    both: float


def judge(scene: Scene, weights_g: list[float]) -> LotJudgement:
    """Return the judgement of some weights of a scene's lot."""
    return judge_lot(
        weights_g,
        nominal_g=scene.nominal_g,
        rule=scene.rule,
        lot_size=scene.lot_size,
        plan=scene.plan,
    )


def judge_counts(scene: Scene, weights_g: list[float]) -> LotJudgement:
    """Return the judgement that decides the counts, with the second sample where it is needed."""
    first = judge(scene, weights_g[: scene.sample])
    if scene.second and scene.allowed < first.count_t1 < scene.second.below:
        return judge(scene, weights_g)
    return first


def passing(scene: Scene, count: int, seed: int) -> Passing:
    """Return what share of so many lots passes."""
    judged = [judge_counts(scene, row) for row in lots(scene, count, seed).tolist()]
    return Passing(
        sum(each.mean_ok for each in judged) / count,
        sum(each.count_t1 <= each.allowed_t1 and not each.count_t2 for each in judged) / count,
        sum(each.passes is True for each in judged) / count,
    )
