"""What a page of planning is made of: tables with columns, rows with labels, and what to mind."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from weighstation.plan import given
from weighstation.report.page.tables import minus
from weighstation.specification import money_decimals

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from weighstation.plan import Loss
    from weighstation.report.page.tables import SheetTable

GROUPED_FROM_G = 10_000
"""From here on digits stand in groups of three: a bowl is read faster so."""


@dataclass(frozen=True, slots=True)
class Grid:
    """A table with columns.

    Parameters
    ----------
    title : str
        May be empty.
    heads : (n,) tuple of str
        Over the columns; all may be empty.
    rows : tuple of (n,) tuple of str
        The first column reads from the left, the others from the right.
    remark : str
        Under the table, in one or more sentences; may be empty.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """What a plan says to a person.

    Parameters
    ----------
    title : str
    parts : tuple of Grid or SheetTable
    cautions : tuple of str
        What to mind, one or more sentences each.
    conclusion : str
        What to do, in one sentence; it comes last, where the eye is. May be empty.
    next_step : str
        The command that follows from it, which is not broken; may be empty.
    as_of : str
        As of which line of the journal it is; empty where none was read.
    urgent : tuple of str
        What comes before the conclusion, one or more sentences each.
    """

    title: str
    parts: tuple[Grid | SheetTable, ...]
    cautions: tuple[str, ...] = ()
    conclusion: str = ""
    next_step: str = ""
    as_of: str = ""
    urgent: tuple[str, ...] = ()


def page_record(page: Page) -> dict[str, object]:
    """Return a page as a dictionary that json can write: its words, as people read them.

    Parameters
    ----------
    page : Page

    Returns
    -------
    dict
        With the page's own keys; a part with ``heads`` is a table of cells, one without has rows
        with ``label``, ``said`` and ``note``.
    """
    return asdict(page)


def grams_of(weight_g: float) -> str:
    """Return a weight with its unit, one decimal where there is one, large ones in groups of three.

    Parameters
    ----------
    weight_g : float, grams

    Returns
    -------
    str

    Examples
    --------
    >>> grams_of(909.09), grams_of(44_526.94)
    ('909.1 g', '44 526.9 g')
    """
    return column_of([weight_g])[0]


def column_of(weights_g: Sequence[float]) -> list[str]:
    """Return weights of one column, all with a decimal if one has it.

    Parameters
    ----------
    weights_g : (n,) sequence of float, grams

    Returns
    -------
    list of str

    Examples
    --------
    >>> column_of([27_175.3, 544]), column_of([48, 120])
    (['27 175.3 g', '544.0 g'], ['48 g', '120 g'])
    """
    places = int(any("." in given.plain(weight_g) for weight_g in weights_g))
    return [_grouped(weight_g, places) for weight_g in weights_g]


def _grouped(weight_g: float, places: int) -> str:
    text = (
        f"{weight_g:,.{places}f}" if abs(weight_g) >= GROUPED_FROM_G else f"{weight_g:.{places}f}"
    )
    return f"{minus(text.replace(',', ' '))} g"


def percent_of(fraction: float) -> str:
    """Return a fraction in percent, with one decimal.

    Parameters
    ----------
    fraction : float

    Returns
    -------
    str

    Examples
    --------
    >>> percent_of(0.12), percent_of(0.1364)
    ('12.0 %', '13.6 %')
    """
    return f"{100 * fraction:.1f} %"


def money_of(amount: Decimal | float, currency: str) -> str:
    """Return money with its currency, to the smallest coin that ISO 4217 knows of it.

    Parameters
    ----------
    amount : Decimal or float
    currency : str

    Returns
    -------
    str

    Examples
    --------
    >>> money_of(15.1748, "EUR")
    '15.17 EUR'
    """
    return f"{minus(f'{amount:.{money_decimals(currency)}f}')} {currency}".rstrip()


def loss_record(loss: Loss, left_g: float) -> dict[str, object]:
    """Return a loss of a stage as a dictionary that json can write, on both bases.

    Parameters
    ----------
    loss : Loss
    left_g : float, grams
        What is left after it.

    Returns
    -------
    dict
    """
    return {
        "stage": loss.stage,
        "of_dough": figure(loss.of_dough, 6),
        "of_bread": figure(loss.of_bread, 6),
        "left_g": figure(left_g),
    }


def figure(value: float | Decimal | None, places: int = 3) -> float | None:
    """Return a number for another program: to the milligram, unless said otherwise.

    Parameters
    ----------
    value : float, Decimal or None
    places : int
        Decimals.

    Returns
    -------
    float or None
    """
    return None if value is None else round(float(value), places)
