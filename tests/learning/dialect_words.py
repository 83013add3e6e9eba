"""Read a line back by all that is known of its dialect, by a way of its own."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from string import Formatter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dialect_shape import Dialect

IN_GRAMS = {
    "g": Fraction(1),
    "kg": Fraction(1000),
    "oz": Fraction(28349523125, 10**9),
    "lb": Fraction(45359237, 10**5),
}
NUMBER = r"[-+ ]*\d[\d.,]*[-+ ]?"
ABOVE = r" *[-^]+| +"


def words(dialect: Dialect, line: bytes) -> dict[str, str] | None:
    """Return the named parts of a whole line, None where it is not of that dialect."""
    found = _pattern(dialect).fullmatch(line.decode("latin-1"))
    return None if found is None else found.groupdict()


def net_g(dialect: Dialect, number: str) -> Fraction | None:
    """Return what a number says in grams, None where it says none."""
    digits = "".join(c for c in number if c.isdigit())
    if not digits:
        return None
    decimals = len(dialect.division.partition(".")[2])
    sign = -1 if "-" in number else 1
    return sign * Fraction(int(digits), 10**decimals) * IN_GRAMS[dialect.unit]


@cache
def _pattern(dialect: Dialect) -> re.Pattern[str]:
    parts = []
    for text, name, _, _ in Formatter().parse(dialect.shape):
        parts.append(re.escape(text))
        if name is not None:
            parts.append(f"(?P<{name}>{_part(dialect, name)})")
    body = "".join(parts) + ("" if dialect.width else " *")
    if not dialect.width:
        body = body.replace(r"\ ", " ?")
    check = _check(dialect)
    end = re.escape(dialect.terminator.decode())
    is_after = dialect.check is not None and dialect.check.after_end
    tail = end + check if is_after else check + end
    return re.compile(f"{re.escape(dialect.start.decode())}(?P<body>{body}){tail}", re.DOTALL)


def _part(dialect: Dialect, name: str) -> str:
    flags = dialect.flags
    said = () if flags is None else (flags.steady, flags.moving, flags.zero, flags.over)
    unit = re.escape(dialect.unit_text)
    return {
        "flag": "|".join(re.escape(word) for word in said if word is not None),
        "number": f"{NUMBER}|{ABOVE}",
        "tare": NUMBER,
        "unit": f"{unit}|{' ' * len(unit)}" if dialect.width else f"{unit}|",
        "count": r"\d{4}",
        "pan": "|".join(dialect.pan_words),
    }[name]


def _check(dialect: Dialect) -> str:
    if dialect.check is None:
        return ""
    return "(?P<check>[0-9A-F]{2})" if dialect.check.is_hex else "(?P<check>.)"
