"""Runs of a span -> the statement of what was given away in it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.report.giveaway.groups import By, Group, grouped, hours_of
from weighstation.report.giveaway.parts import Given

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.report.giveaway.rows import RunRow


@dataclass(frozen=True, slots=True)
class Span:
    """Whole days, both ends included.

    Parameters
    ----------
    first, last : date
    zone : tzinfo or None
        Whose days these are; None takes the rules of this machine, with its changes of the clock.
    """

    first: date
    last: date
    zone: tzinfo | None = None

    @property
    def utc_ms(self) -> tuple[int, int]:
        """The first millisecond of the span, and the first after it; since 1970 UTC.

        Days of 23 or 25 hours, where the clock is changed, are as long as they are.
        """
        ends = (self.first, self.last + timedelta(days=1))
        low, high = (datetime.combine(day, time(), self.zone) for day in ends)
        return round(low.timestamp() * 1000), round(high.timestamp() * 1000)


@dataclass(frozen=True, slots=True)
class AsOf:
    """Up to where a journal was read.

    Parameters
    ----------
    line : int
    head : str
        Digest of that line, whole.
    """

    line: int
    head: str

    @property
    def text(self) -> str:
        """As every printed figure says it."""
        return f"as of line {self.line}, head {self.head[:16]}"


@dataclass(frozen=True, slots=True)
class Statement:
    """What was given away in a span.

    Parameters
    ----------
    span : Span
    rows : (n,) tuple of RunRow
        The runs with a counted piece, in the order in which they began.
    currency : str
        Of all prices; empty where no run has one.
    whole : Given
    groups : tuple of Group
        By all that runs are told apart by, people left out where they are not to be shown.
    as_of : AsOf
    minded : tuple of str
        What is to be minded of these weights, in plain sentences.
    """

    span: Span
    rows: tuple[RunRow, ...]
    currency: str
    whole: Given
    groups: tuple[Group, ...]
    as_of: AsOf
    minded: tuple[str, ...] = ()

    def by(self, by: By) -> tuple[Group, ...]:
        """Return the groups of one kind, in their order.

        Parameters
        ----------
        by : By

        Returns
        -------
        tuple of Group
        """
        return tuple(group for group in self.groups if group.by is by)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is to be minded of the rules, a sentence for each product."""
        said = (f"{row.product.name}: {row.remark}" for row in self.rows if row.remark)
        return tuple(dict.fromkeys(said))


def statement(
    rows: Iterable[RunRow],
    *,
    span: Span,
    as_of: AsOf,
    shows_people: bool = False,
    minded: tuple[str, ...] = (),
) -> Statement:
    """Return the statement of what some runs gave away.

    Parameters
    ----------
    rows : iterable of RunRow
        In the order in which they began.
    span : Span
    as_of : AsOf
    shows_people : bool
        Whether the shop chose that people are told apart.
    minded : tuple of str
        What is to be minded of these weights, in plain sentences.

    Returns
    -------
    Statement

    Raises
    ------
    SpecificationError
        If no piece was counted, or prices are in more than one currency.
    """
    counted = tuple(row for row in rows if row.state.kept.n)
    if not counted:
        raise SpecificationError(
            f"No piece was counted from {span.first} to {span.last}.",
            hint="Choose other days with --from and --to.",
        )
    kinds = [by for by in By if shows_people or by is not By.PERSON]
    hours = hours_of(counted)
    return Statement(
        span=span,
        rows=counted,
        currency=_currency(counted),
        whole=sum((given for _, _, given in hours), Given()),
        groups=tuple(group for by in kinds for group in grouped(hours, by, zone=span.zone)),
        as_of=as_of,
        minded=minded,
    )


def _currency(rows: Iterable[RunRow]) -> str:
    found = sorted({row.currency for row in rows if row.currency and row.has_money})
    if len(found) > 1:
        raise SpecificationError(
            f"These days hold prices in {' and '.join(found)}, which do not add up.",
            hint="Choose days with one currency, or one product with --product.",
        )
    return found[0] if found else ""
