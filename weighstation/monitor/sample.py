"""A sample of weights, checked: how many, their mean and their spread."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.weights import plain_floats, too_few
from weighstation.quantities import in_words, is_count, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Sample:
    """Weights in the order they came, with mean and sample standard deviation.

    Parameters
    ----------
    points : (n,) tuple of float, grams
    mean_g : float, grams
    sd_g : float, grams
        With n - 1; zero where all are equal.
    """

    points: tuple[float, ...]
    mean_g: float
    sd_g: float

    @property
    def n(self) -> int:
        """How many there are."""
        return len(self.points)


def checked(x: Iterable[float], *, what: str, need: int = 2) -> Sample:
    """Return a sample of weights, or refuse it in one sentence.

    Parameters
    ----------
    x : (n,) float, grams
    what : str
        Who asks, as the beginning of that sentence.
    need : int
        The fewest that mean anything there, at least 2.

    Returns
    -------
    Sample

    Raises
    ------
    NotEnoughDataError
        If there are fewer weights than needed.
    SpecificationError
        If they are not in one row, or one of them is not a finite number.

    Notes
    -----
    Sums of differences from the first weight, correctly rounded: a mean far from zero takes
    nothing from the spread.
    """
    points = plain_floats(x, what=what, least=need)
    mean = points[0] + math.fsum(value - points[0] for value in points) / len(points)
    squares = math.fsum((value - mean) ** 2 for value in points)
    return Sample(points, mean, math.sqrt(squares / (len(points) - 1)))


def spread(x: Iterable[float], *, what: str, need: int = 2) -> Sample:
    """Return a sample whose weights are not all equal, or refuse it in one sentence.

    Parameters
    ----------
    x : (n,) float, grams
    what : str
        Who asks, as the beginning of that sentence.
    need : int
        The fewest that mean anything there, at least 2.

    Returns
    -------
    Sample

    Raises
    ------
    NotEnoughDataError
        If there are fewer weights than needed.
    SpecificationError
        If one is not a finite number, or all are equal.
    """
    sample = checked(x, what=what, need=need)
    if not sample.sd_g:
        raise SpecificationError(
            f"{what} needs a spread, and all {sample.n} weights are equal.",
            hint="Weigh on a scale with a finer division.",
        )
    return sample


def check_summary(mean_g: float, sd_g: float, n: int, *, what: str) -> None:
    """Refuse a mean, a standard deviation and a number that are none.

    Parameters
    ----------
    mean_g : float, grams
    sd_g : float, grams
    n : int
    what : str
        Who asks, as the beginning of the sentence.

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If the mean is not finite, or the standard deviation not positive and finite.
    """
    checked_size(n, what=what)
    if not (is_number(mean_g, sd_g) and sd_g > 0):
        raise SpecificationError(
            f"{what} needs a finite mean and a positive standard deviation,"
            f" not {in_words(mean_g)} and {in_words(sd_g)}."
        )


def checked_size(n: int, *, what: str) -> None:
    """Refuse a number of weights that is none, or below two.

    Parameters
    ----------
    n : int
    what : str
        Who asks, as the beginning of the sentence.

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If it is no whole number.
    """
    if not is_count(n):
        raise SpecificationError(f"{what} needs a whole number of weights, not {in_words(n)}.")
    if n < 2:
        raise too_few(n, what=what, need=2)
