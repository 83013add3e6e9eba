"""How moments, weights, checks and notes are written in a dossier."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.page.tables import NONE, minus

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import tzinfo

    from weighstation.journal import Sums, UsedWeight
    from weighstation.report.dossier.evidence import Check, Remark

_UG_PER_MG = 1000
UG_PER_G = 1_000_000


def moment(utc_ms: int, zone: tzinfo) -> str:
    """Return a moment as day and minute.

    Parameters
    ----------
    utc_ms : int, milliseconds since 1970 UTC
    zone : tzinfo

    Returns
    -------
    str
    """
    return f"{datetime.fromtimestamp(utc_ms / 1000, zone):%Y-%m-%d %H:%M}"


def number(value: float | None, places: int) -> str:
    """Return a number with so many decimals and a true minus; a dash where there is none.

    Parameters
    ----------
    value : float or None
    places : int

    Returns
    -------
    str
    """
    return NONE if value is None else minus(f"{value:.{places}f}")


def mean_g(sums: Sums, target_mg: int) -> float | None:
    """Return the mean of weights in grams.

    Parameters
    ----------
    sums : Sums
        Of their differences from the scaling weight.
    target_mg : int, milligrams
        That scaling weight.

    Returns
    -------
    float, grams, or None of no weights
    """
    return None if sums.mean_d_mg is None else float(target_mg + sums.mean_d_mg) / 1000


def sd_g(sums: Sums) -> float | None:
    """Return the standard deviation of weights in grams, with n - 1.

    Parameters
    ----------
    sums : Sums

    Returns
    -------
    float, grams, or None below two weights
    """
    return None if sums.sd_mg is None else sums.sd_mg / 1000


def giveaway_g(sums: Sums) -> str:
    """Return what was given away over the scaling weight, in grams and exact to a tenth.

    Parameters
    ----------
    sums : Sums

    Returns
    -------
    str
    """
    return minus(f"{grams(sums.sum_d_mg):+.1f}")


def state(check: Check | None) -> str:
    """Return a check in a word and its line; a dash where there is none.

    Parameters
    ----------
    check : Check or None

    Returns
    -------
    str
    """
    return NONE if check is None else f"{verdict(check)}, line {check.line}"


def verdict(check: Check) -> str:
    """Return what a check found.

    Parameters
    ----------
    check : Check

    Returns
    -------
    str
    """
    return "fit" if check.said.is_fit else "NOT FIT"


def mass(used: UsedWeight) -> str:
    """Return what a check weight weighs.

    Parameters
    ----------
    used : UsedWeight

    Returns
    -------
    str
    """
    return f"{used.mass_ug / UG_PER_G:g} g"


def certificate(used: UsedWeight) -> str:
    """Return what is known of a check weight's certificate.

    Parameters
    ----------
    used : UsedWeight

    Returns
    -------
    str
    """
    in_class = f"class {used.weight_class}, " if used.weight_class else ""
    dated = f"certified {used.certified_on}" if used.certified_on else "no certificate date"
    due = f", due {used.due_on}" if used.due_on else ""
    return f"{in_class}within {used.error_ug / _UG_PER_MG:g} mg, {dated}{due}"


def noted(remarks: Iterable[Remark]) -> str:
    """Return notes in one go; empty where there are none.

    Parameters
    ----------
    remarks : iterable of Remark

    Returns
    -------
    str
    """
    return " ".join(f"Noted: {remark.said}." for remark in remarks)
