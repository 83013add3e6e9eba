"""First cuts that pile up just inside a limit are flagged; corrected pieces are not asked."""

from __future__ import annotations

import math
from random import Random

import numpy as np
import pytest
from honest_bench import LIMITS, first_cuts
from scipy import stats  # type: ignore[import-untyped]

from weighstation.monitor.plausibility import FlagKind, just_inside
from weighstation.specification import Limits


def pressed(cuts_mg: list[int], *, limit_mg: int, inward: int) -> list[int]:
    """Return cuts of which those up to 4 g outside a limit are shown up to 2 g inside."""
    rng = Random(1)
    return [
        limit_mg + inward * 1000 * rng.randrange(3)
        if 0 < inward * (limit_mg - cut) <= 4000
        else cut
        for cut in cuts_mg
    ]


@pytest.mark.parametrize(
    ("limit_mg", "inward", "name"), [(732_000, 1, "lower"), (748_000, -1, "upper")]
)
def test_pieces_pressed_into_the_band_are_flagged(limit_mg: int, inward: int, name: str) -> None:
    """The chance is SciPy's exact test against the share of the fitted normal law."""
    cuts = pressed(first_cuts(900, seed=1), limit_mg=limit_mg, inward=inward)
    flag = just_inside(cuts, division_mg=1000, limits=LIMITS)
    assert flag is not None
    outside = int(flag.figures["outside"])
    width = round(flag.figures["window_mg"] / 1000)
    mean, sd = float(np.mean(cuts)), float(np.std(cuts, ddof=1))
    away = 1.2 * inward * (mean - (limit_mg - inward * 500)) / sd
    step = 1000 * width / sd
    law = stats.norm.cdf([-away - step, -away, -away + step])
    share = (law[2] - law[1]) / (law[2] - law[0])
    both = flag.count + outside if flag.count else 0
    wanted = stats.binomtest(flag.count, both, share, alternative="greater").pvalue

    assert (FlagKind.INSIDE, 4) == (flag.kind, width)
    assert f"inside the {name} limit" in flag.text
    assert flag.p is not None
    assert math.isclose(wanted, flag.p, rel_tol=1e-6)


@pytest.mark.parametrize("sd_g", [3.0, 6.0, 15.0, 40.0])
def test_honest_weeks_are_not_flagged(sd_g: float) -> None:
    for seed in range(25):
        cuts = first_cuts(900, seed=seed, sd_g=sd_g)

        assert just_inside(cuts, division_mg=1000, limits=LIMITS) is None


def test_limits_off_the_marks_and_far_away_are_no_trouble() -> None:
    cuts = first_cuts(900, seed=3)
    close = first_cuts(900, seed=3, sd_g=3.0)
    far = Limits(740_000, 400_000, 400_000)

    assert just_inside(close, division_mg=1000, limits=far) is None
    assert just_inside(cuts, division_mg=1000, limits=Limits(740_500, 7300, 7300)) is None
    assert just_inside(cuts, division_mg=1000, limits=far) is None
    assert just_inside(cuts, division_mg=1000, limits=Limits(300_000, 8000, 8000)) is None


def test_equal_or_few_weights_are_not_asked() -> None:
    assert just_inside([732_000] * 500, division_mg=1000, limits=LIMITS) is None
    assert just_inside([732_000] * 29, division_mg=1000, limits=LIMITS) is None
