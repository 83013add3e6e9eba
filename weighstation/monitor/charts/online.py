"""The charts that remember, one weight at a time, on the standard library alone."""

from __future__ import annotations

from weighstation.monitor.charts.cusum import checked_sums
from weighstation.monitor.charts.ewma import checked_weight
from weighstation.monitor.given import checked_number


class OnlineEwma:
    """The exponentially weighted moving average as the weights come.

    Parameters
    ----------
    lam : float
        Weight of the newest, above 0 and at most 1.
    start : float, grams
        Where it starts.

    Attributes
    ----------
    value : float, grams
        The average so far; the same as the last point of `ewma`.

    Raises
    ------
    SpecificationError
        If ``lam`` makes no average.
    """

    __slots__ = ("_lam", "value")

    def __init__(self, lam: float, start: float = 0.0) -> None:
        checked_weight(lam)
        checked_number(start)
        self._lam = lam
        self.value = start

    def feed(self, x: float) -> float:
        """Take one weight in and return the average.

        Parameters
        ----------
        x : float, grams

        Returns
        -------
        float, grams
        """
        self.value += self._lam * (x - self.value)
        return self.value


class OnlineCusum:
    """The two-sided tabular CUSUM as the weights come; the same sums as `cusum`.

    Parameters
    ----------
    target : float, grams
    sigma : float, grams
    k, h, head_start : float
        In ``sigma``.

    Attributes
    ----------
    high, low : float, grams
        The sums so far.
    high_run, low_run : int
        How many weights each sum has been above 0 for.

    Raises
    ------
    SpecificationError
        If a number makes no sense.
    """

    __slots__ = ("_allowance", "_limit", "_target", "high", "high_run", "low", "low_run")

    def __init__(
        self, *, target: float, sigma: float, k: float, h: float, head_start: float = 0.0
    ) -> None:
        self._allowance, self._limit, start = checked_sums(
            target=target, sigma=sigma, k=k, h=h, head_start=head_start
        )
        self._target = target
        self.high = self.low = start
        self.high_run = self.low_run = 0

    def feed(self, x: float) -> int:
        """Take one weight in.

        Parameters
        ----------
        x : float, grams

        Returns
        -------
        int
            1 while the weights are heavy, -1 while they are light, by more than chance; else 0.
        """
        error = x - self._target
        self.high = max(0.0, self.high + error - self._allowance)
        self.low = max(0.0, self.low - error - self._allowance)
        self.high_run = self.high_run + 1 if self.high else 0
        self.low_run = self.low_run + 1 if self.low else 0
        if max(self.high, self.low) <= self._limit:
            return 0
        return 1 if self.high >= self.low else -1

    def mean_error(self, side: int) -> float:
        """Return how far off the target the weights of a sum have been on average.

        Parameters
        ----------
        side : int
            1 for the heavy, -1 for the light.

        Returns
        -------
        float, grams
            With its sign; 0 where the sum is 0.

        Notes
        -----
        Allowance plus sum over run: Montgomery, Introduction to Statistical Quality Control,
        equation 9.6 (from memory); after a head start it is too much.
        """
        total, run = (self.high, self.high_run) if side > 0 else (self.low, self.low_run)
        return side * (self._allowance + total / run) if run else 0.0

    def restart(self) -> None:
        """Begin both sums anew at 0."""
        self.high = self.low = 0.0
        self.high_run = self.low_run = 0
