"""Numbers as typed -> the masses that were meant."""

from __future__ import annotations

from weighstation.errors import SpecificationError
from weighstation.quantities import mg_from_grams
from weighstation.specification import MOST_G, Limits


def band_from(target: float | None, under: float | None, over: float | None) -> Limits | None:
    """Return the band that three options give, or None when none of them is given.

    Parameters
    ----------
    target, under, over : float, grams, or None

    Returns
    -------
    Limits or None

    Raises
    ------
    SpecificationError
        If only some are given, or no piece can meet the band.
    """
    given = (target, under, over)
    if all(part is None for part in given):
        return None
    if any(part is None for part in given):
        raise SpecificationError("A band needs --target, --under and --over, all three, in grams.")
    return Limits(*(_mg(part) for part in given if part is not None))


def band_needed(target: float | None, under: float | None, over: float | None) -> Limits:
    """Return the band that three options give.

    Parameters
    ----------
    target, under, over : float, grams, or None

    Returns
    -------
    Limits

    Raises
    ------
    SpecificationError
        If one is missing, or no piece can meet the band.
    """
    band = band_from(target, under, over)
    if band is None:
        raise SpecificationError("There is no band.", hint="Give --target, --under and --over.")
    return band


def _mg(grams: float) -> int:
    """Return grams of an option as milligrams.

    Parameters
    ----------
    grams : float, grams

    Returns
    -------
    int, milligrams

    Raises
    ------
    SpecificationError
        If it is no number that a bench scale could show.
    """
    if not abs(grams) < MOST_G:
        raise SpecificationError(f"{grams:g} g is not a weight for a bench scale.")
    return mg_from_grams(grams)


def division_from(division: float | None) -> int | None:
    """Return the scale's division as given.

    Parameters
    ----------
    division : float, grams, or None

    Returns
    -------
    int, milligrams, or None

    Raises
    ------
    SpecificationError
        If it is not at least a milligram.
    """
    if division is None:
        return None
    division_mg = _mg(division)
    if division_mg < 1:
        raise SpecificationError("The scale's division must be 0.001 g or more.")
    return division_mg


def dough_from(dough: float | None) -> int | None:
    """Return the dough on the bench as given.

    Parameters
    ----------
    dough : float, grams, or None

    Returns
    -------
    int, milligrams, or None

    Raises
    ------
    SpecificationError
        If there is none of it.
    """
    if dough is None:
        return None
    dough_mg = _mg(dough)
    if dough_mg <= 0:
        raise SpecificationError(
            "The dough on the bench must be more than 0 g.", hint="Weigh it and give --dough."
        )
    return dough_mg


def rest_from(rest: float | None, option: str) -> int | None:
    """Return dough that was left or lost, as given.

    Parameters
    ----------
    rest : float, grams, or None
    option : str
        What it was given with.

    Returns
    -------
    int, milligrams, or None

    Raises
    ------
    SpecificationError
        If it is less than nothing.
    """
    if rest is None:
        return None
    rest_mg = _mg(rest)
    if rest_mg < 0:
        raise SpecificationError(f"{option} must be 0 g or more.")
    return rest_mg
