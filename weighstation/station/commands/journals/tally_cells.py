"""One cell of a tally -> what it says, or what is wrong with it in a few words."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantities import mg_from_grams
from weighstation.specification.kinds import MOST_MIN
from weighstation.specification.table import near
from weighstation.station.bench.wording import promised
from weighstation.station.commands.terminal.days import initials_from

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weighstation.specification import Limits, Product

FIRST_YEAR = 1990
"""House figure: an older tally is more likely a slip of the pen."""
LIKELY = 10
"""House figure: a piece weighs between a tenth of its scaling weight and ten times that."""
MOST_TOUCHES = 1000
MOST_NAME = 60
_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+")
_WHOLE = re.compile(r"[0-9]{1,6}")
_MS_PER_MIN = 60_000
_MS_PER_DAY = 86_400_000
_EPOCH = date(1970, 1, 1).toordinal()
_SHOWN = 40


class Fault(Exception):  # noqa: N818 - it is one, and never leaves this room
    """What is wrong with a cell, and what to do, to end a sentence with."""


def shown(text: str) -> str:
    """Return what stands in a cell as a fault shows it.

    Parameters
    ----------
    text : str

    Returns
    -------
    str
    """
    cut = text if len(text) <= _SHOWN else text[:_SHOWN] + "..."
    return "'" + "".join(letter if letter.isprintable() else "?" for letter in cut) + "'"


def time_of(text: str, now: datetime) -> datetime:
    """Return when a piece was weighed.

    Parameters
    ----------
    text : str
    now : datetime

    Returns
    -------
    datetime
        With the offset that was written.

    Raises
    ------
    Fault
        If it is no time, has no offset or cannot be.
    """
    if not text:
        raise Fault("time is empty: write when the piece was weighed")
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise Fault(
            f"time {shown(text)} is no time: write it like 2026-11-02T05:10:00+01:00"
        ) from None
    if at.utcoffset() is None:
        raise Fault(
            f"time {shown(text)} has no offset from UTC: write it like 2026-11-02T05:10:00+01:00"
        )
    if at.year < FIRST_YEAR:
        raise Fault(f"the time lies before the year {FIRST_YEAR}: mend the year")
    if at > now:
        raise Fault("the time lies in the future: mend the day, the hour or the offset")
    return at


def product_of(text: str, products: Mapping[str, Product]) -> Product:
    """Return the product of that name, its case ignored.

    Parameters
    ----------
    text : str
    products : mapping of str to Product
        By their names in lower case.

    Returns
    -------
    Product

    Raises
    ------
    Fault
        If there is none.
    """
    if not text:
        raise Fault("product is empty: write its name as in products.toml")
    product = products.get(text.casefold())
    if product is None:
        meant = near(text, [known.name for known in products.values()])
        raise Fault(
            f"there is no product {shown(text)} in products.toml{meant}: mend the name, or add"
            " the product there"
        )
    return product


def grams_of(text: str, column: str, limits: Limits) -> int:
    """Return what a piece weighs.

    Parameters
    ----------
    text : str
        With a decimal point or a decimal comma.
    column : str
    limits : Limits
        Of its product.

    Returns
    -------
    int, milligrams

    Raises
    ------
    Fault
        If it is no number, or out of all reason for this product.
    """
    if not text:
        raise Fault(f"{column} is empty: write what the piece weighs, in grams")
    if not _NUMBER.fullmatch(text):
        raise Fault(
            f"{column} {shown(text)} is no number: write digits and at most one point or comma,"
            " without a unit"
        )
    mg, target_mg = mg_from_grams(text.replace(",", ".")), limits.target_mg
    if not target_mg <= mg * LIKELY <= target_mg * LIKELY**2:
        kilograms = target_mg <= mg * 1000 * LIKELY <= target_mg * LIKELY**2
        unit = "these look like kilograms, so write grams" if kilograms else "write it in grams"
        side = "below a tenth of" if mg < target_mg else "above ten times"
        raise Fault(
            f"{column} {shown(text)} lies {side} the scaling weight of"
            f" {promised(target_mg)} g: {unit}"
        )
    return mg


def touches_of(text: str) -> int | None:
    """Return how often a piece was added to or trimmed; None of an empty cell.

    Parameters
    ----------
    text : str

    Returns
    -------
    int or None

    Raises
    ------
    Fault
        If it is no such number.
    """
    if not text:
        return None
    if not _WHOLE.fullmatch(text) or int(text) > MOST_TOUCHES:
        raise Fault(
            f"touches {shown(text)} is no whole number from 0 to {MOST_TOUCHES}: mend it, or"
            " leave it empty"
        )
    return int(text)


def refuse_untouched(first_mg: int | None, final_mg: int | None, touches: int | None) -> None:
    """Refuse a piece that nobody touched and that weighs other than as it was cut.

    Parameters
    ----------
    first_mg, final_mg : int, milligrams, or None
        As it was first cut, and as it was kept; None where it is empty or has a fault.
    touches : int or None

    Raises
    ------
    Fault
        If all three are known and cannot be true together. Touches that leave the weight as it was
        can: dough was added and taken away again.
    """
    if touches == 0 and first_mg is not None and final_mg is not None and first_mg != final_mg:
        raise Fault(
            f"touches is 0, and the piece went from {promised(first_mg)} g to {promised(final_mg)}"
            " g: write how often it was added to or trimmed, leave touches empty if nobody knows,"
            " or mend the weight"
        )


def dough_age_of(text: str) -> int | None:
    """Return how old the dough was; None of an empty cell.

    Parameters
    ----------
    text : str
        Minutes since its first cut.

    Returns
    -------
    int, milliseconds, or None

    Raises
    ------
    Fault
        If it is no such number.
    """
    if not text:
        return None
    minutes = float(text.replace(",", ".")) if _NUMBER.fullmatch(text) else None
    if minutes is None or minutes > MOST_MIN:
        raise Fault(
            f"dough_age_min {shown(text)} is no number of minutes from 0 to {MOST_MIN}: mend it,"
            " or leave it empty"
        )
    return round(minutes * _MS_PER_MIN)


def person_of(text: str) -> str:
    """Return the initials of who divided, or an empty text.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Raises
    ------
    Fault
        If they are none.
    """
    if not text:
        return ""
    try:
        return initials_from(text, "person")
    except SpecificationError:
        raise Fault(
            f"person {shown(text)} is not one to four letters: write initials, like AB"
        ) from None


def batch_of(text: str) -> str:
    """Return what the bakery calls the batch, or an empty text.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Raises
    ------
    Fault
        If it is too long, or cannot be printed.
    """
    if len(text) > MOST_NAME or not text.isprintable():
        raise Fault(
            f"batch {shown(text)} is no name of at most {MOST_NAME} letters: write a shorter one"
        )
    return text


def offset_min(at: datetime) -> int:
    """Return the offset that a time was written with.

    Parameters
    ----------
    at : datetime
        With an offset.

    Returns
    -------
    int, minutes
        East of UTC.
    """
    return round((at.utcoffset() or timedelta(0)) / timedelta(minutes=1))


def offset_text(minutes: int) -> str:
    """Return an offset from UTC as it is written.

    Parameters
    ----------
    minutes : int

    Returns
    -------
    str

    Examples
    --------
    >>> offset_text(60), offset_text(-210)
    ('+01:00', '-03:30')
    """
    hours, rest = divmod(abs(minutes), 60)
    return f"{'-' if minutes < 0 else '+'}{hours:02d}:{rest:02d}"


def day_of(at_utc_ms: int, offset_min: int) -> str:
    """Return the day on a wall.

    Parameters
    ----------
    at_utc_ms : int, milliseconds since 1970
    offset_min : int, minutes
        Of the clock there, east of UTC.

    Returns
    -------
    str
        Year first.
    """
    days = (at_utc_ms + offset_min * _MS_PER_MIN) // _MS_PER_DAY
    return date.fromordinal(_EPOCH + days).isoformat()
