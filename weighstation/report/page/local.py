"""Numbers, days and money as the people of a shop write them; machine files keep plain points."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.quantities import MG_PER_G
from weighstation.report.page.tables import minus
from weighstation.specification import money_decimals

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

GROUPED_FROM = 10_000
_PLAIN = " "
_POINT = re.compile(r"(?<=[0-9])\.(?=[0-9])")


@dataclass(frozen=True, slots=True)
class Local:
    """How a shop writes.

    Parameters
    ----------
    decimal : str
        Between whole and part: a point or a comma.
    is_day_first : bool
        Days as 02.03.2026; else as 2026-03-02.
    """

    decimal: str = "."
    is_day_first: bool = False

    def number(self, value: float | Fraction | Decimal, places: int = 0) -> str:
        """Return a number with so many decimals; from ten thousand on in groups of three.

        Parameters
        ----------
        value : float, Fraction or Decimal
        places : int

        Returns
        -------
        str

        Examples
        --------
        >>> Local().number(12345.25, 1), Local(",").number(3.14159, 2)
        ('12 345.2', '3,14')
        """
        exact: float | Decimal = value if isinstance(value, float) else rounded(value, places)
        text = f"{exact:,.{places}f}"
        group = _PLAIN if abs(float(value)) >= GROUPED_FROM else ""
        whole, point, part = text.partition(".")
        return minus(whole.replace(",", group) + (self.decimal if point else "") + part)

    def signed(self, value: float | Fraction | Decimal, places: int = 0) -> str:
        """Return a number with its sign; what rounds to nothing has none.

        Parameters
        ----------
        value : float, Fraction or Decimal
        places : int

        Returns
        -------
        str

        Examples
        --------
        >>> Local().signed(12.0, 1), Local().signed(0.01, 1)
        ('+12.0', '0.0')
        """
        text = self.number(value, places)
        return f"+{text}" if value > 0 and text.strip("0.,") else text

    def grams(self, mg: int, places: int = 0) -> str:
        """Return a mass with its unit, grams up to ten kilograms and kilograms above.

        Parameters
        ----------
        mg : int, milligrams
        places : int
            Decimals of a gram.

        Returns
        -------
        str

        Examples
        --------
        >>> Local().grams(3_120_400), Local().grams(914_240_000)
        ('3120 g', '914.2 kg')
        """
        if abs(mg) >= GROUPED_FROM * MG_PER_G:
            return f"{self.number(Decimal(mg) / 1_000_000, 1)} kg"
        return f"{self.number(Decimal(mg) / MG_PER_G, places)} g"

    def money(self, amount: Fraction | Decimal, currency: str) -> str:
        """Return money with its currency, to the smallest coin that ISO 4217 knows of it.

        Parameters
        ----------
        amount : Fraction or Decimal
        currency : str

        Returns
        -------
        str

        Examples
        --------
        >>> Local(",").money(Decimal("1234.5"), "EUR"), Local().money(Decimal("1234.5"), "JPY")
        ('1234,50 EUR', '1234 JPY')
        """
        return f"{self.number(amount, money_decimals(currency))} {currency}".rstrip()

    def sentence(self, text: str) -> str:
        """Return a sentence of ours, written with points, with the shop's own sign.

        Parameters
        ----------
        text : str
            No name that a person gave stands in it.

        Returns
        -------
        str

        Examples
        --------
        >>> Local(",").sentence("A spread of 4.2 g.")
        'A spread of 4,2 g.'
        """
        return _POINT.sub(self.decimal, text)

    def day(self, day: date) -> str:
        """Return a day.

        Parameters
        ----------
        day : date

        Returns
        -------
        str

        Examples
        --------
        >>> from datetime import date
        >>> Local(is_day_first=True).day(date(2026, 3, 2)), Local().day(date(2026, 3, 2))
        ('02.03.2026', '2026-03-02')
        """
        return f"{day:%d.%m.%Y}" if self.is_day_first else day.isoformat()


def rounded(value: Fraction | Decimal | int, places: int) -> Decimal:
    """Return an exact number rounded to so many decimals, half to even.

    Parameters
    ----------
    value : Fraction, Decimal or int
    places : int

    Returns
    -------
    Decimal

    Examples
    --------
    >>> from fractions import Fraction
    >>> rounded(Fraction(1, 8), 2)
    Decimal('0.12')
    """
    if isinstance(value, Decimal):
        return value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)
    return Decimal(round(value * 10**places)).scaleb(-places)


def adding_up(amounts: Sequence[Fraction], places: int) -> tuple[Decimal, ...]:
    """Return rounded amounts whose sum is the rounded sum.

    Parameters
    ----------
    amounts : (n,) sequence of Fraction
    places : int
        Decimals.

    Returns
    -------
    (n,) tuple of Decimal

    Notes
    -----
    Each is what the running sum, rounded, has grown by: no amount is off by a step or more, and
    what is printed adds up.

    Examples
    --------
    >>> from fractions import Fraction
    >>> adding_up([Fraction(1, 3)] * 3, 2)
    (Decimal('0.33'), Decimal('0.34'), Decimal('0.33'))
    """
    found: list[Decimal] = []
    so_far, said = Fraction(0), Decimal(0)
    for amount in amounts:
        so_far += amount
        found.append(rounded(so_far, places) - said)
        said += found[-1]
    return tuple(found)
