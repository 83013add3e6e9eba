"""Gauge study: how much of the spread that is seen belongs to the weighing, not to the pieces."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import fmean
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.distributions import f_sf
from weighstation.monitor.weights import MOST, not_finite

if TYPE_CHECKING:
    from collections.abc import Sequence

ONE_OVER_D2 = dict(
    zip(
        range(2, 11),
        (0.8862, 0.5908, 0.4857, 0.4299, 0.3946, 0.3698, 0.3512, 0.3367, 0.3249),
        strict=True,
    )
)
"""Factor of a mean range over many ranges; K1 for 2 and 3 trials."""

ONE_OVER_D2_OF_ONE = dict(
    zip(
        range(2, 11),
        (0.7071, 0.5231, 0.4467, 0.4030, 0.3742, 0.3534, 0.3375, 0.3249, 0.3146),
        strict=True,
    )
)
"""Factor of a single range, 1 / sqrt(d2^2 + d3^2); K2 by persons, K3 by parts."""

POOLED_ABOVE = 0.25
"""An interaction with a greater p is chance and joins the error; common practice, no source."""

Readings = tuple[tuple[tuple[float, ...], ...], ...]


@dataclass(frozen=True, slots=True)
class GaugeStudy:
    """The parts of a spread, as standard deviations.

    Parameters
    ----------
    repeatability_g : float, grams
        Of one person with one part (EV).
    reproducibility_g : float, grams
        Between persons, with their interaction with parts (AV).
    part_g : float, grams
        Between parts (PV).
    interaction_p : float or None
        Chance of so great an interaction of persons and parts; None where it was not looked at.
    """

    repeatability_g: float
    reproducibility_g: float
    part_g: float
    interaction_p: float | None = None

    @property
    def gauge_g(self) -> float:
        """Repeatability and reproducibility together (GRR)."""
        return math.hypot(self.repeatability_g, self.reproducibility_g)

    @property
    def total_g(self) -> float:
        """Gauge and parts together (TV)."""
        return math.hypot(self.gauge_g, self.part_g)

    @property
    def gauge_pct(self) -> float:
        """GRR in percent of the total."""
        return 100 * self.gauge_g / self.total_g

    @property
    def categories(self) -> int:
        """How many kinds of parts the gauge tells apart (ndc), at least 1.

        Raises
        ------
        SpecificationError
            If the gauge shows no spread of its own.
        """
        if self.gauge_g == 0:
            raise SpecificationError(
                "All repeated weighings are equal; the division hides what the scale does."
            )
        return max(1, math.floor(1.41 * self.part_g / self.gauge_g))

    @property
    def text(self) -> str:
        """One plain sentence with the usual judgement."""
        if self.gauge_pct < 10:
            judged = "good"
        else:
            judged = "marginal" if self.gauge_pct <= 30 else "not acceptable"
        return (
            f"Weighing makes {self.gauge_pct:.1f} % of the spread that is seen, which is usually"
            f" called {judged}."
        )


def gauge_by_variances(readings: Sequence[Sequence[Sequence[float]]]) -> GaugeStudy:
    """Return a gauge study by analysis of variance.

    Parameters
    ----------
    readings : (persons, trials, parts) float, grams
        The same parts weighed by each person in each trial; at least two of each.

    Returns
    -------
    GaugeStudy

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two persons, trials or parts.
    SpecificationError
        If the rows are not equally long, a reading is not a finite number, or all are equal.

    Notes
    -----
    Two-way random effects with interaction, AIAG Measurement Systems Analysis (from memory,
    recomputed); the interaction joins the error where its p is above 0.25. A negative estimate
    of a variance is taken as zero.
    """
    table = _checked(readings)
    k, r, n = len(table), len(table[0]), len(table[0][0])
    squares, interaction, error = _mean_squares(table)
    interaction_df, error_df = (k - 1) * (n - 1), k * n * (r - 1)
    p = f_sf(interaction / error, df=interaction_df, df_below=error_df) if error > 0 else 0.0
    if p > POOLED_ABOVE:
        whole = interaction * interaction_df + error * error_df
        error = interaction = whole / (interaction_df + error_df)
    between = max(0.0, squares[0] - interaction) / (n * r) + max(0.0, interaction - error) / r
    parts = max(0.0, squares[1] - interaction) / (k * r)
    return GaugeStudy(math.sqrt(error), math.sqrt(between), math.sqrt(parts), p)


def gauge_by_ranges(readings: Sequence[Sequence[Sequence[float]]]) -> GaugeStudy:
    """Return a gauge study by averages and ranges, as it is done on paper.

    Parameters
    ----------
    readings : (persons, trials, parts) float, grams
        The same parts weighed by each person in each trial; two to ten of each.

    Returns
    -------
    GaugeStudy

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two persons, trials or parts.
    SpecificationError
        If there are more than ten of one, the rows are not equally long, a reading is not a
        finite number, or all are equal.

    Notes
    -----
    AIAG Measurement Systems Analysis, average and range method (from memory, recomputed). It sees
    no interaction; `gauge_by_variances` does.
    """
    table = _checked(readings)
    k, r, n = len(table), len(table[0]), len(table[0][0])
    if max(k, r, n) > 10:
        raise SpecificationError("Ranges of more than 10 are not used; take the variances.")
    ranges = [_range([trial[part] for trial in person]) for person in table for part in range(n)]
    repeat = fmean(ranges) * ONE_OVER_D2[r]
    people = _range([fmean(x for trial in person for x in trial) for person in table])
    between = (people * ONE_OVER_D2_OF_ONE[k]) ** 2 - repeat**2 / (n * r)
    parts = _range([fmean(t[part] for person in table for t in person) for part in range(n)])
    return GaugeStudy(repeat, math.sqrt(max(0.0, between)), parts * ONE_OVER_D2_OF_ONE[n])


def _mean_squares(table: Readings) -> tuple[tuple[float, float], float, float]:
    """Return the mean squares of persons and of parts, of their interaction, and of the error."""
    k, r, n = len(table), len(table[0]), len(table[0][0])
    cells = [[fmean(trial[part] for trial in person) for part in range(n)] for person in table]
    persons = [fmean(row) for row in cells]
    parts = [fmean(row[part] for row in cells) for part in range(n)]
    grand = fmean(persons)
    of_persons = n * r * math.fsum((mean - grand) ** 2 for mean in persons) / (k - 1)
    of_parts = k * r * math.fsum((mean - grand) ** 2 for mean in parts) / (n - 1)
    crossed = (
        (cells[i][j] - persons[i] - parts[j] + grand) ** 2 for i in range(k) for j in range(n)
    )
    within = (
        (trial[j] - cells[i][j]) ** 2
        for i, person in enumerate(table)
        for trial in person
        for j in range(n)
    )
    interaction = r * math.fsum(crossed) / ((k - 1) * (n - 1))
    return (of_persons, of_parts), interaction, math.fsum(within) / (k * n * (r - 1))


def _checked(readings: Sequence[Sequence[Sequence[float]]]) -> Readings:
    try:
        table = tuple(tuple(tuple(map(float, trial)) for trial in person) for person in readings)
    except (TypeError, ValueError, OverflowError) as exc:
        raise SpecificationError(
            "A gauge study takes numbers, as in readings[person][trial][part]."
        ) from exc
    trials = {len(person) for person in table}
    parts = {len(trial) for person in table for trial in person}
    least = min(len(table), *(trials or {0}), *(parts or {0}))
    if least < 2:
        raise NotEnoughDataError(
            "A gauge study needs at least 2 persons, 2 trials and 2 parts.", have=least, need=2
        )
    if len(trials) > 1 or len(parts) > 1:
        raise SpecificationError("In a gauge study everybody weighs every part equally often.")
    if not all(-MOST <= x <= MOST for person in table for trial in person for x in trial):
        raise not_finite("A gauge study")
    if len({x for person in table for trial in person for x in trial}) == 1:
        raise SpecificationError(
            "A gauge study needs a spread, and all readings are equal.",
            hint="Weigh parts that differ, on a scale with a finer division.",
        )
    return table


def _range(values: list[float]) -> float:
    return max(values) - min(values)
