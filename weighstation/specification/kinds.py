"""What a key of the products file may hold, in words and as a test."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from typing import TYPE_CHECKING, Generic, TypeVar

from weighstation.quantities import mg_from_grams
from weighstation.specification.currencies import CURRENCIES

if TYPE_CHECKING:
    from collections.abc import Callable

MOST_G = 1_000_000
"""No weight for a bench, and no price, is as large as this."""
MOST_PLACES = 1000
"""No board and no couche carries more pieces than this."""
MOST_OVEN_PLACES = 10_000
"""No oven holds more pieces than this."""
MOST_MIN = 1440
"""No piece rests or bakes, and no dough is divided, for more minutes than this: a day."""
MOST_PROOF_MIN = 10_080
"""No piece is held in the cold for more minutes than this: a week."""
MOST_PCT = 1000
"""No ingredient of a dough weighs more than ten times its flour."""
HOTTEST_PROOF_C = 50
MOST_BOWL_KG = 10_000
PUBLISHED_RULES = ("eu-76-211", "nist-hb133", "oiml-r87")
"""Rules of average quantity that come with the package."""
_FINEST = -30
"""Decimals of a price that can be reckoned with; a program may write all digits of a float."""

T_co = TypeVar("T_co", covariant=True)
E = TypeVar("E", bound=Enum)


@dataclass(frozen=True, slots=True)
class Kind(Generic[T_co]):
    """What a key may hold.

    Parameters
    ----------
    word : str
        As it ends a sentence that begins with "must be".
    take : callable
        From what stands in the file to what is meant; None where it does not fit.
    """

    word: str
    take: Callable[[object], T_co | None]


def number(
    least: float, most: float, *, is_above: bool = False, is_below: bool = False
) -> Kind[float]:
    """Return the kind of a number within bounds that belong to it.

    Parameters
    ----------
    least, most : float
    is_above, is_below : bool
        Whether the bound itself does not belong to it.

    Returns
    -------
    Kind
    """
    low = f"above {least:g}" if is_above else f"from {least:g}"
    high = f"and below {most:g}" if is_below else f"{'and at most' if is_above else 'to'} {most:g}"

    def take(given: object) -> float | None:
        found = _decimal(given) if isinstance(given, (int, float)) else None
        if found is None or not least <= found <= most:
            return None
        return (
            None if (is_above and found == least) or (is_below and found == most) else float(found)
        )

    return Kind(f"a number {low} {high}", take)


def count(most: int) -> Kind[int]:
    """Return the kind of a whole number of things, from 1.

    Parameters
    ----------
    most : int

    Returns
    -------
    Kind
    """

    def take(given: object) -> int | None:
        is_whole = isinstance(given, int) and not isinstance(given, bool)
        return given if is_whole and isinstance(given, int) and 1 <= given <= most else None

    return Kind(f"a whole number from 1 to {most}", take)


def one_of(choices: type[E]) -> Kind[E]:
    """Return the kind of a word out of a few.

    Parameters
    ----------
    choices : type of Enum
        Whose values are text.

    Returns
    -------
    Kind
    """

    def take(given: object) -> E | None:
        return next((choice for choice in choices if choice.value == given), None)

    return Kind(" or ".join(f'"{choice.value}"' for choice in choices), take)


def _decimal(given: object) -> Decimal | None:
    """Return a finite number; None for what is none, true and false among it."""
    if isinstance(given, bool) or not isinstance(given, (int, float, str)):
        return None
    try:
        found = Decimal(str(given).replace(",", "."))  # "1,20" in quotes is as good as "1.20"
    except (ArithmeticError, ValueError):  # no number, or an integer of too many digits
        return None
    return found if found.is_finite() else None


def _money(given: object) -> Decimal | None:
    found = _decimal(given)
    if found is None or not 0 <= found < MOST_G:
        return None
    return found if int(found.as_tuple().exponent) >= _FINEST else None


def _grams(given: object) -> int | None:
    found = None if isinstance(given, str) else _decimal(given)
    return mg_from_grams(found) if found is not None and 0 <= found < MOST_G else None


def _text(given: object) -> str | None:
    return given.strip() or None if isinstance(given, str) else None


def _texts(given: object) -> tuple[str, ...] | None:
    if not isinstance(given, list):
        return None
    found = [_text(each) for each in given]
    texts = tuple(text for text in found if text is not None)
    is_once = len({text.casefold() for text in texts}) == len(found)
    return texts if is_once else None


def _window(given: object) -> tuple[float, float] | None:
    if not isinstance(given, list) or len(given) != 2:
        return None
    minute = number(0, MOST_MIN).take
    least, most = minute(given[0]), minute(given[1])
    return None if least is None or most is None or least > most else (least, most)


def _rule(given: object) -> str | None:
    text = _text(given)
    return (
        text if text is not None and (text in PUBLISHED_RULES or text.endswith(".toml")) else None
    )


def _currency(given: object) -> str | None:
    return given if isinstance(given, str) and given in CURRENCIES else None


TEXT = Kind("a text in quotes, and not empty", _text)
CURRENCY = Kind(
    'the code of a currency by ISO 4217, three capital letters in quotes like "EUR"', _currency
)
TRUTH = Kind("true or false", lambda given: given if isinstance(given, bool) else None)
GRAMS = Kind("a number, 0 or more and less than a million", _grams)
"""Taken as milligrams, and so is the next."""
GRAMS_ABOVE_0 = Kind(
    "a number, more than 0 and less than a million", lambda given: _grams(given) or None
)
MONEY = Kind("a number, 0 or more and less than a million", _money)
MINUTES = number(0, MOST_MIN, is_above=True)
PROOF_MINUTES = number(0, MOST_PROOF_MIN, is_above=True)
BOWL_KG = number(0, MOST_BOWL_KG, is_above=True)
PROOF_C = number(0, HOTTEST_PROOF_C)
WINDOW = Kind("a pair of minutes, the least first, like [10, 15]", _window)
PLACES = count(MOST_PLACES)
OVEN_PLACES = count(MOST_OVEN_PLACES)
PERCENT = number(0, MOST_PCT, is_above=True)
LOSS = number(0, 100, is_below=True)
TEXTS = Kind('a list of texts, each once, like ["gluten", "sesame"]', _texts)
FLOURS = Kind('a list of ingredients, like ["wheat flour"]', lambda given: _texts(given) or None)
RULE = Kind(
    ", ".join(f'"{name}"' for name in PUBLISHED_RULES)
    + " or the name of a file that ends in .toml",
    _rule,
)
