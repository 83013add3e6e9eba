"""Days and initials as typed -> what was meant by them."""

from __future__ import annotations

import re
from datetime import date

from weighstation.errors import SpecificationError

_ISO = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})")
_YEARS = range(1970, 3000)
"""Years that a journal can hold lines of: its times count from the first."""
_DAY_FIRST = re.compile(r"([0-9]{1,2})([./])([0-9]{1,2})\2([0-9]{4})")


def day_from(text: str | None, option: str) -> date | None:
    """Return a day as typed: year first with dashes, or day first with points or strokes.

    Parameters
    ----------
    text : str or None
    option : str
        What it was given with.

    Returns
    -------
    date or None
        None where nothing was typed.

    Raises
    ------
    SpecificationError
        If it is no day that a journal can hold, or can be read as two: with strokes some write the
        month first.

    Examples
    --------
    >>> {str(day_from(text, "--from")) for text in ("2026-11-30", "30.11.2026", "30/11/2026")}
    {'2026-11-30'}
    """
    if text is None:
        return None
    typed = text.strip()
    if iso := _ISO.fullmatch(typed):
        return _day(typed, option, year=int(iso[1]), month=int(iso[2]), day=int(iso[3]))
    found = _DAY_FIRST.fullmatch(typed)
    if found is None:
        raise _no_day(typed, option)
    day, month, year = int(found[1]), int(found[3]), int(found[4])
    if found[2] == "/":
        _refuse_month_first(typed, option, (day, month, year))
    return _day(typed, option, year=year, month=month, day=day)


def _refuse_month_first(typed: str, option: str, parts: tuple[int, int, int]) -> None:
    """Refuse a day with strokes that is another day where the month is written first."""
    day, month, year = parts
    if 1 <= day <= 12 and month != day and month <= 31:
        swapped = f"{year:04d}-{day:02d}-{month:02d}"
        straight = f"{year:04d}-{month:02d}-{day:02d}"
        either = f"{straight} or {swapped}" if month <= 12 else swapped
        raise SpecificationError(
            f"{option} '{typed}' can be read with the day or the month first.",
            hint=f"Write {either}, year first, to say which day is meant.",
        )


def _day(typed: str, option: str, *, year: int, month: int, day: int) -> date:
    try:
        found = date(year, month, day)
    except ValueError as exc:
        raise _no_day(typed, option) from exc
    if year not in _YEARS:
        raise SpecificationError(
            f"{option} '{typed}' is no day of a journal.",
            hint=f"Give a year from {_YEARS[0]} to {_YEARS[-1]}.",
        )
    return found


def _no_day(typed: str, option: str) -> SpecificationError:
    return SpecificationError(
        f"{option} '{typed}' is no day.", hint=f"Write it like {option} 2026-11-30 or 30.11.2026."
    )


MOST_INITIALS = 4


def initials_from(text: str, what: str) -> str:
    """Return the initials of a person, in capitals.

    Parameters
    ----------
    text : str
    what : str
        What they were given as, to begin a sentence with.

    Returns
    -------
    str

    Raises
    ------
    SpecificationError
        If they are not one to four letters.

    Examples
    --------
    >>> initials_from(" ab ", "--person")
    'AB'
    """
    typed = text.strip()
    if not (1 <= len(typed) <= MOST_INITIALS and typed.isalpha()):
        raise SpecificationError(
            f"{what} '{typed}' is not one to four letters.", hint="Give initials, like AB."
        )
    return typed.upper()
