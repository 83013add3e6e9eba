"""Temperatures of dough over time -> how much proof that was, and when a board is ready."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan.proof.fermentation import (
    Law,
    checked_reference,
    checked_temperature,
    mean_rate,
    rate,
)
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

CORE_C = 16.0
"""What the middle of a retarded piece should have passed before the oven: trade compendium,
"Retarded fermentation" (excerpt read)."""

_HALVINGS = 60


@dataclass(frozen=True, slots=True)
class TemperatureLog:
    """Temperatures of dough as they were noted; between two notes they go evenly.

    Parameters
    ----------
    minutes : (n,) tuple of float, minutes
        When, on any clock; never backward. Two notes of one minute are a step, as when a rack is
        moved from the cold to the warm and the probe with it.
    temps_c : (n,) tuple of float, degrees Celsius
        Of the dough, not of the air.

    Raises
    ------
    SpecificationError
        If there is no note, their numbers differ, a time runs backward, or a value is not finite
        or outside what the laws of fermentation hold for.
    """

    minutes: tuple[float, ...]
    temps_c: tuple[float, ...]

    def __post_init__(self) -> None:
        """Refuse a log that cannot be."""
        if not self.minutes or len(self.minutes) != len(self.temps_c):
            raise SpecificationError(
                f"A log has a temperature for every time, and here are {len(self.minutes)} times"
                f" and {len(self.temps_c)} temperatures.",
                hint="Give at least one of each, and as many of the one as of the other.",
            )
        for place, minute in enumerate(self.minutes, start=1):
            if not is_number(minute):
                raise SpecificationError(
                    f"The time of note {place} is {minute}.", hint="Give minutes, or leave it out."
                )
            if place > 1 and minute < self.minutes[place - 2]:
                raise SpecificationError(
                    f"Time runs backward at note {place}, from {self.minutes[place - 2]:g} to"
                    f" {minute:g} min.",
                    hint="Put the notes in order, or look whether the clock was set.",
                )
        for temp_c in self.temps_c:
            checked_temperature(temp_c)

    def since(self, minute: float) -> TemperatureLog:
        """Return what was noted from a time on, beginning with the temperature then.

        Parameters
        ----------
        minute : float, minutes
            On the clock of the log. After its end, the last temperature goes on.

        Returns
        -------
        TemperatureLog

        Raises
        ------
        SpecificationError
            If it is not finite, or before the log.
        """
        if not is_number(minute) or minute < self.minutes[0]:
            raise SpecificationError(
                f"The log begins at {self.minutes[0]:g} min and knows nothing of {minute:g} min.",
                hint="Begin where temperatures were noted.",
            )
        later = [i for i, noted in enumerate(self.minutes) if noted > minute]
        if not later:
            return TemperatureLog((minute,), self.temps_c[-1:])
        first = later[0]
        step = _Step(*self.minutes[first - 1 : first + 1], *self.temps_c[first - 1 : first + 1])
        minutes, temps_c = self.minutes[first:], self.temps_c[first:]
        return TemperatureLog((minute, *minutes), (step.temp_c(minute), *temps_c))

    def steps(self) -> Iterator[_Step]:
        """Yield the spans from note to note.

        Yields
        ------
        _Step
        """
        notes = pairwise(zip(self.minutes, self.temps_c, strict=True))
        for (begin, from_c), (end, to_c) in notes:
            yield _Step(begin, end, from_c, to_c)


@dataclass(frozen=True, slots=True)
class _Step:
    """A span in which the temperature goes evenly."""

    begin: float
    end: float
    from_c: float
    to_c: float

    def temp_c(self, minute: float) -> float:
        share = (minute - self.begin) / (self.end - self.begin)
        return self.from_c + share * (self.to_c - self.from_c)

    def equivalent(self, until: float, reference_c: float, law: Law) -> float:
        """Return the equivalent minutes from the begin until a minute of the span."""
        if until == self.begin:
            return 0.0
        to_c = self.to_c if until == self.end else self.temp_c(until)
        return (until - self.begin) * mean_rate(self.from_c, to_c, reference_c=reference_c, law=law)


def equivalent_minutes(
    minutes: Iterable[float],
    temps_c: Iterable[float],
    reference_c: float,
    *,
    law: Law = Law.SQUARE,
) -> float:
    """Return how many minutes at one temperature ferment as much as a log of temperatures did.

    Parameters
    ----------
    minutes : (n,) iterable of float, minutes
        When each temperature was noted; uneven steps are fine, backward ones are not.
    temps_c : (n,) iterable of float, degrees Celsius
        Of the dough, not of the air; from -60 to 38.
    reference_c : float, degrees Celsius
        Above 4 and at most 38.
    law : Law
        By default the rate is ((T - 4) / (Tref - 4))^2, and 0 at and below 4 C.

    Returns
    -------
    float, minutes
        0 for a single note.

    Raises
    ------
    SpecificationError
        If the log cannot be, or a temperature is outside what the law holds for.

    Notes
    -----
    The integral of the rate over time, with temperatures that go evenly from note to note, exact.
    Laws, sources and limits: `weighstation.plan.proof.fermentation.rate`. Above 38 C no law holds,
    and the log is refused rather than taken for 38.

    Examples
    --------
    >>> round(equivalent_minutes([0, 30], [26, 4], 26), 6)
    10.0
    """
    return _equivalent(_log(minutes, temps_c), checked_reference(reference_c), law)


def _log(minutes: Iterable[float], temps_c: Iterable[float]) -> TemperatureLog:
    try:
        return TemperatureLog(tuple(map(float, minutes)), tuple(map(float, temps_c)))
    except (TypeError, ValueError) as exc:
        if isinstance(exc, SpecificationError):
            raise
        raise SpecificationError(
            "A log is a row of minutes and a row of temperatures.", hint="Give two rows of numbers."
        ) from exc


def _equivalent(log: TemperatureLog, reference_c: float, law: Law) -> float:
    return math.fsum(step.equivalent(step.end, reference_c, law) for step in log.steps())


@dataclass(frozen=True, slots=True)
class ProofNeeded:
    """How much proof a product wants.

    Parameters
    ----------
    minutes : float, minutes
        Positive.
    reference_c : float, degrees Celsius
        Temperature of the dough at which it takes so long.

    Raises
    ------
    SpecificationError
        If a number makes no sense.
    """

    minutes: float
    reference_c: float

    def __post_init__(self) -> None:
        """Refuse a proof that is none."""
        checked_reference(self.reference_c)
        if not (is_number(self.minutes) and self.minutes > 0):
            raise SpecificationError(
                f"A proof takes more than 0 min, not {in_words(self.minutes)}.",
                hint="Give it in minutes.",
            )


@dataclass(frozen=True, slots=True)
class Ready:
    """When a board is ready for the oven, on the clock of its log.

    Parameters
    ----------
    board : int
        Its number.
    now_min : float, minutes
        The last note of the log, or the begin of the proof if that is later.
    ready_min : float, minutes
        By the square law; infinite where it is too cold ever to be ready.
    earliest_min, latest_min : float, minutes
        The first and the last that any of the three laws says.
    done : float
        Share of the proof that is done by now, by the square law; above 1 when it is over.
    """

    board: int
    now_min: float
    ready_min: float
    earliest_min: float
    latest_min: float
    done: float

    @property
    def text(self) -> str:
        """One plain sentence."""
        left, low, high = (
            minute - self.now_min for minute in (self.ready_min, self.earliest_min, self.latest_min)
        )
        if math.isinf(left):
            return f"Board {self.board} stands still in the cold, {100 * self.done:.0f} % proved."
        if left <= 0:
            return f"Board {self.board} has been ready for {-left:.0f} min: look at it now."
        band = f"{max(0.0, low):.0f} to {high:.0f}"
        return f"Board {self.board} is ready in {left:.0f} min ({band}), if it stays as warm."


def ready_times(
    begun_min: Mapping[int, float], *, log: TemperatureLog, needed: ProofNeeded, ahead_c: float
) -> tuple[Ready, ...]:
    """Return when each board is ready, with a band.

    Parameters
    ----------
    begun_min : mapping of int to float, minutes
        When the proof of each board began, by its number, on the clock of the log.
    log : TemperatureLog
    needed : ProofNeeded
    ahead_c : float, degrees Celsius
        What the dough is expected to have from now on; the air of the prover is ahead of it.

    Returns
    -------
    (n,) tuple of Ready
        The first to be ready first.

    Raises
    ------
    SpecificationError
        If a proof began before the log, or a temperature is outside what the laws hold for.

    Notes
    -----
    The band is no confidence interval: it is what the square law, a doubling in 10 C and a tenth
    for each degree say (`weighstation.plan.proof.fermentation`). It is nothing at the reference
    itself and grows with the distance from it; look at the dough in any case.

    Examples
    --------
    >>> log = TemperatureLog((0.0,), (28.0,))
    >>> (ready,) = ready_times({1: 0.0}, log=log, needed=ProofNeeded(60, 35), ahead_c=28)
    >>> ready.text
    'Board 1 is ready in 100 min (97 to 117), if it stays as warm.'
    """
    checked_temperature(ahead_c)
    found = [_ready(board, log.since(begin), needed, ahead_c) for board, begin in begun_min.items()]
    return tuple(sorted(found, key=lambda each: (each.ready_min, each.board)))


def _ready(board: int, log: TemperatureLog, needed: ProofNeeded, ahead_c: float) -> Ready:
    times = {law: _reached(log, needed, ahead_c, law) for law in Law}
    return Ready(
        board=board,
        now_min=log.minutes[-1],
        ready_min=times[Law.SQUARE],
        earliest_min=min(times.values()),
        latest_min=max(times.values()),
        done=_equivalent(log, needed.reference_c, Law.SQUARE) / needed.minutes,
    )


def _reached(log: TemperatureLog, needed: ProofNeeded, ahead_c: float, law: Law) -> float:
    """Return the minute at which a proof is done."""
    left = needed.minutes
    for step in log.steps():
        gained = step.equivalent(step.end, needed.reference_c, law)
        if gained >= left:
            return _within(step, left, needed.reference_c, law)
        left -= gained
    speed = rate(ahead_c, reference_c=needed.reference_c, law=law)
    return log.minutes[-1] + left / speed if speed > 0 else math.inf


def _within(step: _Step, left: float, reference_c: float, law: Law) -> float:
    low, high = step.begin, step.end
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        done = step.equivalent(middle, reference_c, law) >= left
        low, high = (low, middle) if done else (middle, high)
    return high


def core_caution(core_c: float) -> str | None:
    """Return a word of caution about a piece that comes out of the retarder.

    Parameters
    ----------
    core_c : float, degrees Celsius
        In its middle.

    Returns
    -------
    str or None
        One plain sentence; None when it may go into the oven.

    Raises
    ------
    SpecificationError
        If that is no temperature of dough.

    Examples
    --------
    >>> core_caution(12)
    'The middle of the piece has 12 C: let it pass 16 C before it goes into the oven.'
    """
    if checked_temperature(core_c) > CORE_C:
        return None
    return (
        f"The middle of the piece has {core_c:g} C: let it pass {CORE_C:g} C before it goes into"
        " the oven."
    )
