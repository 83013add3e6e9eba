"""When a dough was mixed and cut, and how fast -> its age, what still fits, and what helps."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan.boards.board import checked_time
from weighstation.plan.clock.pace import CLOSE, TimeLimit, largest_dough, time_limit
from weighstation.plan.clock.remedies import before_mixing, while_cutting

if TYPE_CHECKING:
    from weighstation.plan.clock.pace import Pace
    from weighstation.plan.clock.remedies import Suggestion


class Fit(Enum):
    """Whether what is left of a dough can be scaled in its time."""

    UNKNOWN = "unknown"
    IN_TIME = "in time"
    TIGHT = "tight"
    TOO_LONG = "too long"


@dataclass(frozen=True, slots=True)
class Outlook:
    """How a dough stands against its time.

    Parameters
    ----------
    since_mix_s : float, seconds, or None
        Since it was mixed; None where nobody said when.
    dough_age_s : float, seconds
        Since its first cut; 0 before it.
    limit : TimeLimit
    every_s : float, seconds, or None
        Measured pace; None while there is none.
    pieces_left : int or None
        Still to be cut; None where no number was planned.
    suggestions : tuple of Suggestion
        Empty unless it takes too long.
    """

    since_mix_s: float | None
    dough_age_s: float
    limit: TimeLimit
    every_s: float | None
    pieces_left: int | None
    suggestions: tuple[Suggestion, ...] = ()

    @property
    def left_s(self) -> float:
        """Seconds to the end of the limit; negative beyond it."""
        return self.limit.most_s - self.dough_age_s

    @property
    def pieces_that_fit(self) -> int | None:
        """Pieces that one scaler still cuts within the limit; None without a pace."""
        if self.every_s is None:
            return None
        return largest_dough(self.every_s, limit_s=max(0.0, self.left_s))

    @property
    def ends_s(self) -> float | None:
        """Seconds from the first cut to the last at this pace; None where that is not known."""
        if self.every_s is None or self.pieces_left is None:
            return None
        return self.dough_age_s + self.pieces_left * self.every_s

    @property
    def fit(self) -> Fit:
        """Whether all that is left can be scaled in time."""
        ends_s = self.ends_s
        if self.dough_age_s > self.limit.most_s and self.pieces_left != 0:
            return Fit.TOO_LONG
        if ends_s is None:
            return Fit.UNKNOWN
        if ends_s > self.limit.most_s + CLOSE:
            return Fit.TOO_LONG
        return Fit.TIGHT if ends_s > self.limit.aim_s + CLOSE else Fit.IN_TIME

    @property
    def text(self) -> str:
        """One plain sentence."""
        so_far = f"This dough has been on the scale for {self.dough_age_s / 60:.0f} min"
        if self.dough_age_s == 0:
            so_far = "This dough is not cut yet"
        if self.left_s < 0:
            return f"{so_far}, {-self.left_s / 60:.0f} min longer than it should."
        fits = self.pieces_that_fit
        if fits is None:
            return f"{so_far}; {self.left_s / 60:.0f} min are left."
        many = "1 more piece fits" if fits == 1 else f"{fits} more pieces fit"
        wanted = "" if self.pieces_left is None else f", {self.pieces_left} are wanted"
        return f"{so_far}; at this pace {many}{wanted}."


@dataclass(frozen=True, slots=True)
class DoughClock:
    """When a dough was mixed and first cut, on the clock of its pieces.

    Parameters
    ----------
    mixed_s : float, seconds, or None
        End of mixing; negative where that was before the clock began, None where nobody said.
    first_cut_s : float, seconds, or None
        None before it.
    dough_c : float, degrees Celsius, or None
        Temperature of the dough, where it was taken.
    limit : TimeLimit or None
        None is the usual one at that temperature.

    Raises
    ------
    SpecificationError
        If a time is not finite, the first cut comes before the mix, or the temperature is none.
    """

    mixed_s: float | None = None
    first_cut_s: float | None = None
    dough_c: float | None = None
    limit: TimeLimit | None = None

    def __post_init__(self) -> None:
        """Refuse times that cannot be."""
        time_limit(self.dough_c)
        given = [t_s for t_s in (self.mixed_s, self.first_cut_s) if t_s is not None]
        if [checked_time(t_s) for t_s in given] != sorted(given):
            raise SpecificationError(
                "A dough is mixed before it is cut.", hint="Say again when it was mixed."
            )

    def outlook(self, t_s: float, *, pace: Pace | None, pieces_left: int | None) -> Outlook:
        """Return how this dough stands against its time.

        Parameters
        ----------
        t_s : float, seconds
            Now, on the same clock.
        pace : Pace or None
        pieces_left : int or None
            Still to be cut, where a number was planned.

        Returns
        -------
        Outlook

        Raises
        ------
        SpecificationError
            If the time is not finite, or fewer than no pieces are left.

        Examples
        --------
        >>> dough = DoughClock(mixed_s=-3600.0, first_cut_s=0.0)
        >>> dough.outlook(600.0, pace=None, pieces_left=80).text
        'This dough has been on the scale for 10 min; 10 min are left.'
        """
        checked_time(t_s)
        if pieces_left is not None and pieces_left < 0:
            raise SpecificationError(
                f"{pieces_left} pieces cannot be left.", hint="Give how many are still to be cut."
            )
        found = Outlook(
            since_mix_s=None if self.mixed_s is None else max(0.0, t_s - self.mixed_s),
            dough_age_s=0.0 if self.first_cut_s is None else max(0.0, t_s - self.first_cut_s),
            limit=time_limit(self.dough_c) if self.limit is None else self.limit,
            every_s=None if pace is None else pace.every_s,
            pieces_left=pieces_left,
        )
        if found.fit is not Fit.TOO_LONG:
            return found
        return replace(found, suggestions=self._helps(found))

    def _helps(self, found: Outlook) -> tuple[Suggestion, ...]:
        if found.every_s is None or found.pieces_left is None:
            return ()
        if self.first_cut_s is None:
            return before_mixing(
                found.pieces_left, every_s=found.every_s, limit=found.limit, dough_c=self.dough_c
            )
        return while_cutting(found.pieces_left, every_s=found.every_s, left_s=found.left_s)
