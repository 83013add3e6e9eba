"""A scaling weight and how far a piece may be from it."""

from __future__ import annotations

from dataclasses import dataclass

from weighstation.errors import SpecificationError


@dataclass(frozen=True, slots=True)
class Limits:
    """The band around a scaling weight; both limits belong to it.

    Parameters
    ----------
    target_mg : int, milligrams
        Scaling weight, positive.
    under_mg, over_mg : int, milligrams
        How far below and above a piece may be and still be kept; not negative.

    Raises
    ------
    SpecificationError
        If the target is not positive, a limit is negative, or the band reaches zero.
    """

    target_mg: int
    under_mg: int
    over_mg: int

    def __post_init__(self) -> None:
        """Refuse a band that no piece can meet."""
        faults = limit_faults(self.target_mg, self.under_mg, self.over_mg, names=_IN_WORDS)
        if faults:
            raise SpecificationError(
                "; ".join(faults) + ".",
                hint="Give a band that a piece can lie in.",
                faults=faults,
            )


@dataclass(frozen=True, slots=True)
class Guard:
    """How a band was drawn in, so that a piece that reads within it lies within the promised one.

    Parameters
    ----------
    width_mg : int, milligrams
        On either side; not negative.
    check_line : int
        Number of the line of the scale's check that it rests on.
    """

    width_mg: int
    check_line: int

    def widened(self, limits: Limits) -> Limits:
        """Return a band as it was promised, before it was drawn in.

        Parameters
        ----------
        limits : Limits

        Returns
        -------
        Limits
        """
        under_mg, over_mg = limits.under_mg + self.width_mg, limits.over_mg + self.width_mg
        return Limits(limits.target_mg, under_mg, over_mg)


_IN_WORDS = ("The scaling weight", "'under'", "'over'")


def limit_faults(
    target_mg: int, under_mg: int, over_mg: int, *, names: tuple[str, str, str]
) -> tuple[str, ...]:
    """Return what is wrong with a band, in words; empty when nothing is.

    Parameters
    ----------
    target_mg, under_mg, over_mg : int, milligrams
    names : (3,) tuple of str
        What the three are called where they were given.

    Returns
    -------
    tuple of str
    """
    target, under, over = names
    faults = []
    if target_mg <= 0:
        faults.append(f"{target} must be more than 0 g")
    if under_mg < 0:
        faults.append(f"{under} must be 0 g or more")
    if over_mg < 0:
        faults.append(f"{over} must be 0 g or more")
    if target_mg > 0 and under_mg >= target_mg:
        faults.append(f"{under} must be less than {target[0].lower()}{target[1:]}")
    return tuple(faults)
