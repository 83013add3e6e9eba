"""Runs -> what they gave away, told apart by product, dough, person, hour, weekday and week."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING, TypeAlias

from weighstation.report.giveaway.parts import Given, by_dough_age

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import tzinfo

    from weighstation.report.giveaway.rows import RunRow

NOT_SAID = "not said"
_LAST = 10**9
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


class By(StrEnum):
    """What runs are told apart by."""

    PRODUCT = "product"
    DOUGH = "dough"
    PERSON = "person"
    DOUGH_AGE = "dough_age"
    WEEKDAY = "weekday"
    WEEK = "week"


@dataclass(frozen=True, slots=True)
class Group:
    """Pieces that have something in common.

    Parameters
    ----------
    by : By
    name : str
        What they have in common.
    given : Given
    """

    by: By
    name: str
    given: Given


RunHour: TypeAlias = "tuple[RunRow, int, Given]"
"""A run, whole hours of its dough, and what it gave away in that hour."""


def hours_of(rows: Iterable[RunRow]) -> tuple[RunHour, ...]:
    """Return what runs gave away hour by hour, reckoned once for every way of telling apart.

    Parameters
    ----------
    rows : iterable of RunRow

    Returns
    -------
    tuple of (RunRow, int, Given)
    """
    return tuple((row, age_h, given) for row in rows for age_h, given in by_dough_age(row))


def grouped(hours: Iterable[RunHour], by: By, *, zone: tzinfo | None) -> tuple[Group, ...]:
    """Return what runs gave away, told apart.

    Parameters
    ----------
    hours : iterable of (RunRow, int, Given)
        As `hours_of` gives them.
    by : By
    zone : tzinfo or None
        Whose days these are, None those of this machine; a run belongs to the day it began on.

    Returns
    -------
    tuple of Group
        Days, weeks and hours in their order, all else by name; what nobody said comes last.
        Groups without a counted piece are left out.
    """
    found: dict[_Key, Given] = {}
    for row, age_h, given in hours:
        key = _KEYS[by](row, age_h, zone)
        found[key] = found[key] + given if key in found else given
    ordered = sorted(item for item in found.items() if item[1].kept.n)
    return tuple(Group(by, name, given) for (_, name), given in ordered)


_Key = tuple[int, str]
"""Where a group stands among the others, and its name."""


def day_of(row: RunRow, zone: tzinfo | None) -> datetime:
    """Return when a run began, by the clock on the wall.

    Parameters
    ----------
    row : RunRow
    zone : tzinfo or None

    Returns
    -------
    datetime
    """
    return datetime.fromtimestamp(row.state.began_utc_ms / 1000, zone)


def week_of(row: RunRow, zone: tzinfo | None) -> str:
    """Return the week that a run began in, by ISO 8601.

    Parameters
    ----------
    row : RunRow
    zone : tzinfo or None

    Returns
    -------
    str
    """
    return _week(row, zone)[1]


def _said(name: str | None) -> _Key:
    return (0, name) if name else (_LAST, NOT_SAID)


def _age(age_h: int) -> _Key:
    return (_LAST, NOT_SAID) if age_h < 0 else (age_h, f"{age_h} to {age_h + 1} h")


def _weekday(row: RunRow, zone: tzinfo | None) -> _Key:
    day = day_of(row, zone).weekday()
    return day, _DAYS[day]


def _week(row: RunRow, zone: tzinfo | None) -> _Key:
    year, week, _ = day_of(row, zone).isocalendar()
    return year * 100 + week, f"{year}-W{week:02d}"


_KEYS: dict[By, Callable[[RunRow, int, tzinfo | None], _Key]] = {
    By.PRODUCT: lambda row, _age_h, _zone: _said(row.product.name),
    By.DOUGH: lambda row, _age_h, _zone: _said(row.product.dough),
    By.PERSON: lambda row, _age_h, _zone: _said(row.person),
    By.DOUGH_AGE: lambda _row, age_h, _zone: _age(age_h),
    By.WEEKDAY: lambda row, _age_h, zone: _weekday(row, zone),
    By.WEEK: lambda row, _age_h, zone: _week(row, zone),
}
