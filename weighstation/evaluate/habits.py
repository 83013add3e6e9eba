"""What a batch has shown of the person's ways: spread of first cuts, pace, and lifted pieces."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

SHORTEST_GAP_S = 0.3


@dataclass(frozen=True, slots=True)
class Tally:
    """Count, sum and sum of squares; what was added can be taken away again.

    Parameters
    ----------
    n, total, squares : float
        Sums over what was added of its weight, weight times number, weight times square.
    """

    n: float = 0.0
    total: float = 0.0
    squares: float = 0.0

    def plus(self, number: float, weight: float = 1.0) -> Tally:
        """Return the tally with a number counted in.

        Parameters
        ----------
        number : float
        weight : float
            Less than 1 for a number that is not sure to belong; negative to take it out.

        Returns
        -------
        Tally
        """
        squares = self.squares + weight * number * number
        return Tally(self.n + weight, self.total + weight * number, squares)

    def blend(self, prior: Normal, weight: float) -> Normal:
        """Return mean and spread, a prior counting for ``weight`` numbers.

        Parameters
        ----------
        prior : Normal
        weight : float
            Positive.

        Returns
        -------
        Normal
        """
        n = self.n + weight
        mean = (self.total + weight * prior.mean) / n
        squares = self.squares + weight * (prior.mean**2 + prior.sd**2)
        return Normal(mean, math.sqrt(max(squares / n - mean * mean, 0.0)))


@dataclass(frozen=True, slots=True)
class Normal:
    """A normal distribution.

    Parameters
    ----------
    mean, sd : float
    """

    mean: float
    sd: float

    def log_density(self, x: float) -> float:
        """Return the natural logarithm of the density, without its constant.

        Parameters
        ----------
        x : float

        Returns
        -------
        float
        """
        return -0.5 * ((x - self.mean) / self.sd) ** 2 - math.log(self.sd)


@dataclass(frozen=True, slots=True)
class Belief:
    """How sure it is that a lifted piece came back.

    Parameters
    ----------
    back_share : float
        Probability, 0 to 1; exactly 0 or 1 once a person has said so.
    gap_s : float, seconds, or None
        From its lifting to the next load; None if none had come.
    is_slight : bool
        It was only slightly out of band.
    """

    back_share: float
    gap_s: float | None
    is_slight: bool

    @property
    def is_back(self) -> bool:
        """It more likely came back than not."""
        return self.back_share > 0.5


@dataclass(frozen=True, slots=True)
class Fates:
    """What became of lifted pieces, as far as believed.

    Parameters
    ----------
    came_back, boarded : float
        How many.
    """

    came_back: float = 0.0
    boarded: float = 0.0

    def plus(self, back_share: float, weight: float = 1.0) -> Fates:
        """Return the fates with one piece more, or with weight -1 one less.

        Parameters
        ----------
        back_share : float
            Probability that it came back.
        weight : float

        Returns
        -------
        Fates
        """
        back = weight * back_share
        return Fates(self.came_back + back, self.boarded + weight - back)


def log_gap(gap_s: float) -> float:
    """Return the natural logarithm of a gap between two loads.

    Parameters
    ----------
    gap_s : float, seconds
        Taken for at least 0.3 s.

    Returns
    -------
    float
    """
    return math.log(max(gap_s, SHORTEST_GAP_S))


@dataclass(frozen=True, slots=True)
class Habits:
    """What the batch has shown so far.

    Parameters
    ----------
    cuts_mg : Tally, milligrams
        First cuts, net minus scaling weight.
    fetches : Tally
        Logarithms of the gaps from a kept piece to the next one.
    returns : Tally
        Logarithms of the gaps from a lifted piece to its return, as far as believed.
    slight, gross : Fates
        Of pieces lifted slightly out of band, and of those further out.
    """

    cuts_mg: Tally = field(default_factory=Tally)
    fetches: Tally = field(default_factory=Tally)
    returns: Tally = field(default_factory=Tally)
    slight: Fates = field(default_factory=Fates)
    gross: Fates = field(default_factory=Fates)

    def cut(self, error_mg: int, weight: float = 1.0) -> Habits:
        """Return the habits with one first cut more, or with weight -1 one less.

        Parameters
        ----------
        error_mg : int, milligrams
        weight : float

        Returns
        -------
        Habits
        """
        return replace(self, cuts_mg=self.cuts_mg.plus(error_mg, weight))

    def fetched(self, gap_s: float) -> Habits:
        """Return the habits with one gap more from a kept piece to the next.

        Parameters
        ----------
        gap_s : float, seconds

        Returns
        -------
        Habits
        """
        return replace(self, fetches=self.fetches.plus(log_gap(gap_s)))

    def believed(self, belief: Belief | None, weight: float = 1.0) -> Habits:
        """Return the habits with one belief more, or with weight -1 one less.

        Parameters
        ----------
        belief : Belief or None
            None changes nothing.
        weight : float

        Returns
        -------
        Habits
        """
        if belief is None:
            return self
        habits = self
        if belief.gap_s is not None:
            gap = log_gap(belief.gap_s)
            habits = replace(self, returns=self.returns.plus(gap, weight * belief.back_share))
        if belief.is_slight:
            return replace(habits, slight=self.slight.plus(belief.back_share, weight))
        return replace(habits, gross=self.gross.plus(belief.back_share, weight))
