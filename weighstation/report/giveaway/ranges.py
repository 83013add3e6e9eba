"""Runs -> where a part of the give-away, or what a change saves, lies in days like these."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import normal_quantile, t_quantile
from weighstation.monitor.process.rare import rare_total_interval
from weighstation.report.giveaway.cuts import HEAVY, LIGHT, Cuts, Habits, first_of, hands_of, left
from weighstation.report.giveaway.lawful_range import CONFIDENCE
from weighstation.report.giveaway.parts import BENCH_PARTS, Part, given_away

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from weighstation.journal.sums import Sums
    from weighstation.report.giveaway.cuts import Hand
    from weighstation.report.giveaway.rows import RunRow

Interval = tuple[int, int]
_SIDES = {Part.HEAVY_OUT_OF_BAND: (1, HEAVY), Part.LIGHT_OUT_OF_BAND: (-1, LIGHT)}


@dataclass(frozen=True, slots=True)
class Boarded:
    """Pieces of one run that were boarded on one side of the band, none of them below nothing.

    Parameters
    ----------
    pieces : int
        Of the whole run.
    total_mg : float, milligrams
        What those boarded give away.
    squares_mg2 : float, milligrams squared
        The sum of its squares.
    largest_mg : float, milligrams
        0 where there is none.
    """

    pieces: int
    total_mg: float
    squares_mg2: float
    largest_mg: float

    @classmethod
    def of(cls, row: RunRow, part: Part, *, less_mg: float = 0.0) -> Boarded:
        """Return what a run boarded on one side of the band.

        Parameters
        ----------
        row : RunRow
        part : Part
            Heavy or light out of band.
        less_mg : float, milligrams
            Taken off what each of them gives away; less than any of them.

        Returns
        -------
        Boarded
        """
        side, verdicts = _SIDES[part]
        cells = [sums for key, sums in row.tally.items() if key.verdict in verdicts and sums.n]
        kept = left(row, verdicts)
        total_mg = side * kept.sum_d_mg
        return cls(
            pieces=row.state.kept.n,
            total_mg=total_mg - kept.n * less_mg,
            squares_mg2=kept.sum_d2_mg2 - 2 * less_mg * total_mg + kept.n * less_mg**2,
            largest_mg=max((side * cell.sum_d_mg / cell.n - less_mg for cell in cells), default=0),
        )


def part_interval_mg(rows: Sequence[RunRow], part: Part) -> Interval | None:
    """Return where a part of days like these lies, as far as its runs differ.

    Parameters
    ----------
    rows : sequence of RunRow
        Of one product.
    part : Part

    Returns
    -------
    (2,) tuple of int, milligrams, or None
        None where there are fewer than two runs, or a label without a range of its lawful weight.

    Notes
    -----
    The mean off the aim: the total of a ratio estimator over runs, x_r per n_r pieces, with
    SE^2 = R / (R - 1) sum (x_r - m n_r)^2 and Student's t (Cochran 1977, Sampling Techniques,
    section 6.4, without the finite population's factor: next week is drawn anew). Pieces out of
    band: `rare_boarded_interval_mg`. What the label asks for: the ends of the lawful scaling
    weight.
    """
    if part in _SIDES:
        found = rare_boarded_interval_mg(rows, part)
        return found if found is None or part is Part.HEAVY_OUT_OF_BAND else (-found[1], -found[0])
    if part in BENCH_PARTS:
        return _between_runs_mg([(given_away(r).part(part).mg, r.state.kept.n) for r in rows])
    return _label_interval_mg(rows, part)


def _label_interval_mg(rows: Sequence[RunRow], part: Part) -> Interval | None:
    low = high = 0
    for row in rows:
        if row.basis is None or row.basis.lawful_interval_mg is None:
            return None
        ends = [end - row.basis.lawful_mg for end in row.basis.lawful_interval_mg]
        if part is Part.AIM_ABOVE_LAWFUL:
            ends = [-ends[1], -ends[0]]
        low, high = low + row.state.kept.n * ends[0], high + row.state.kept.n * ends[1]
    middle = sum(given_away(row).part(part).mg for row in rows)
    return middle + low, middle + high


def giveaway_interval_mg(rows: Sequence[RunRow]) -> Interval | None:
    """Return where the give-away of days like these lies, as `part_interval_mg` does for a part.

    Parameters
    ----------
    rows : sequence of RunRow
        Of one product.

    Returns
    -------
    (2,) tuple of int, milligrams, or None
        None where there are fewer than two runs.
    """
    return _between_runs_mg([(row.state.kept.sum_d_mg, row.state.kept.n) for row in rows])


def _between_runs_mg(given: Sequence[tuple[int, int]]) -> Interval | None:
    """Return the interval of a total from what each run gave, in milligrams, and its pieces."""
    if len(given) < 2:
        return None
    total = sum(mg for mg, _ in given)
    reach = round(_t(len(given) - 1) * math.sqrt(_between_runs_mg2(given)))
    return total - reach, total + reach


def _between_runs_mg2(given: Sequence[tuple[float, int]]) -> float:
    """Return the variance of a total from what each run gave, in milligrams, and its pieces."""
    runs, pieces = len(given), sum(n for _, n in given)
    mean = Fraction(sum(mg for mg, _ in given)) / pieces if pieces else 0
    return runs / (runs - 1) * sum(float(mg - mean * n) ** 2 for mg, n in given)


def _t(df: float) -> float:
    return t_quantile((1 + CONFIDENCE) / 2, df=df)


def rare_boarded_interval_mg(
    rows: Sequence[RunRow], part: Part, *, less_mg: float = 0.0
) -> Interval | None:
    """Return where what pieces boarded on one side of the band come to lies, as a size.

    Parameters
    ----------
    rows : sequence of RunRow
        Of one product.
    part : Part
        Heavy or light out of band.
    less_mg : float, milligrams
        Taken off what each of them gives away.

    Returns
    -------
    (2,) tuple of int, milligrams, or None
        None where there are fewer than two runs.

    Notes
    -----
    A week may have few of them, or none, and still be one of many such weeks: the gamma interval
    of `weighstation.monitor.rare_total_interval`. Its variance is the larger of two: as if pieces
    came out of band one by one, ``sum x^2 - (sum x)^2 / n`` over all n pieces, and as runs differ,
    R / (R - 1) sum (x_r - m n_r)^2 times (t / z)^2, so that of many it is the interval between
    runs. The next one is as heavy as the largest that was seen or as a first cut out of band is on
    average, by the normal law of the first cuts; where those are not known, as twice the side of
    the band (house figure).
    """
    if len(rows) < 2:
        return None
    boarded = [Boarded.of(row, part, less_mg=less_mg) for row in rows]
    total_mg = sum(each.total_mg for each in boarded)
    variance_mg2 = _boarded_mg2(boarded, total_mg)
    if total_mg > 0 >= variance_mg2:
        return round(total_mg), round(total_mg)
    next_mg = max(_first_cut_out_mg(rows, part) - less_mg, *(each.largest_mg for each in boarded))
    low, high = rare_total_interval(
        total_mg, variance=variance_mg2, next_one=next_mg, confidence=CONFIDENCE
    )
    return round(low), round(high)


def _boarded_mg2(boarded: Sequence[Boarded], total_mg: float) -> float:
    if total_mg <= 0:
        return 0.0
    squares_mg2 = sum(each.squares_mg2 for each in boarded)
    one_by_one = squares_mg2 - total_mg**2 / sum(each.pieces for each in boarded)
    wider = _t(len(boarded) - 1) / normal_quantile((1 + CONFIDENCE) / 2)
    between = _between_runs_mg2([(each.total_mg, each.pieces) for each in boarded])
    return max(one_by_one, wider**2 * between)


def _first_cut_out_mg(rows: Sequence[RunRow], part: Part) -> float:
    """Return by how much a first cut out of band misses the scaling weight on average."""
    limits, division_mg = rows[-1].product.limits, rows[-1].state.division_mg
    side_mg = limits.over_mg if part is Part.HEAVY_OUT_OF_BAND else limits.under_mg
    usual_mg = 2.0 * max(side_mg, division_mg)
    cuts = Cuts.of(rows[-1], first_of(rows))
    if cuts is None:
        return usual_mg
    of_all_mg, share = (
        (cuts.above_mg, cuts.above)
        if part is Part.HEAVY_OUT_OF_BAND
        else (-cuts.below_mg, cuts.below)
    )
    return of_all_mg / share if share > 1e-9 else usual_mg


def trim_saving_mg(rows: Sequence[RunRow]) -> tuple[float, Interval | None]:
    """Return what is saved if each heavy piece is trimmed as others were, and where that lies.

    Parameters
    ----------
    rows : sequence of RunRow
        Of one product.

    Returns
    -------
    (float, (int, int) or None), milligrams
        Down to where touched pieces lay on average; to the scaling weight, where that is not known.
    """
    touched_mg = Habits.of(hands_of(rows)).touched_mg
    boarded = (Boarded.of(row, Part.HEAVY_OUT_OF_BAND, less_mg=touched_mg) for row in rows)
    interval = rare_boarded_interval_mg(rows, Part.HEAVY_OUT_OF_BAND, less_mg=touched_mg)
    return sum(each.total_mg for each in boarded), interval


def bias_saving_mg(rows: Sequence[RunRow]) -> tuple[float, Interval] | None:
    """Return what is saved if each hand cuts to the scaling weight on average, and where that lies.

    Parameters
    ----------
    rows : sequence of RunRow
        Of one product.

    Returns
    -------
    (float, (int, int)), milligrams, or None
        None where the first cuts are not known, are few, or are of one run.

    Notes
    -----
    Our own reckoning, no source. First cuts of a hand are taken as normal. In the band they are
    kept; of the others the share that was boarded is boarded, the rest comes to lie where touched
    pieces lay on average. That is worked out with the mean that each hand had and with none. Its
    standard error is the jackknife's, run by run within each hand, (R - 1) / R sum (s_r - s)^2
    (Wolter, Introduction to Variance Estimation, 2007, chapter 4, from memory), with Student's t
    and Satterthwaite's degrees of freedom (Biometrics Bulletin 2 (1946) 110, from memory). The
    variance of what just these pieces would save is added, so that the interval holds that as well
    as what such days save in the long run.
    """
    hands = hands_of(rows)
    if not hands or min(len(hand.rows) for hand in hands) < 2:
        return None
    habits = Habits.of(hands)

    def saves_mg(cuts: Cuts) -> float:
        return habits.leaves_mg(cuts) - habits.leaves_mg(cuts.without_bias())

    saving_mg = sum(hand.cuts.n * saves_mg(hand.cuts) for hand in hands)
    between = [_jackknifed(hand, [saves_mg(cuts) for cuts in _but_one(hand)]) for hand in hands]
    moved = [(hand.cuts.n * hand.cuts.moved_mg2(habits), hand.cuts.n) for hand in hands]
    reach_mg = _reach([*between, *moved])
    return saving_mg, (round(saving_mg - reach_mg), round(saving_mg + reach_mg))


def _reach(parts: Iterable[tuple[float, int]]) -> float:
    """Return how far a sum of independent things may lie off, of their variances and their df."""
    known = [(variance, df) for variance, df in parts if variance]
    whole = math.fsum(variance for variance, _ in known)
    if not whole:
        return 0.0
    df = whole**2 / math.fsum(variance**2 / df for variance, df in known)
    return _t(df) * math.sqrt(whole)


def _but_one(hand: Hand) -> Iterator[Cuts]:
    """Yield the first cuts of a hand without each of its runs."""
    whole = hand.first
    for row in hand.rows:
        yield Cuts.of(row, _less(whole, row.state.first)) or hand.cuts


def _less(whole: Sums, one: Sums) -> Sums:
    return whole + type(whole)(-one.n, -one.sum_d_mg, -one.sum_d2_mg2, -one.sum_over_mg)


def _jackknifed(hand: Hand, each_mg: Iterable[float]) -> tuple[float, int]:
    """Return the variance of what a hand saves, from a piece's saving without each run; its df."""
    values = list(each_mg)
    runs, mean = len(values), math.fsum(values) / len(values)
    squares = math.fsum((value - mean) ** 2 for value in values)
    return hand.cuts.n**2 * (runs - 1) / runs * squares, runs - 1
