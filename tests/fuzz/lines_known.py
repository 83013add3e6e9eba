"""Dialects that are plain enough to be known for certain, and what each line of them weighs."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from weighstation.acquire.checksum import Checksum, Rule
from weighstation.acquire.recipe import OPEN, Recipe
from weighstation.quantities import Unit

MOST_COUNTS = 30_000
# National Institute of Standards and Technology, Handbook 44, appendix C (from memory).
_MG = {
    Unit.GRAM: Fraction(1000),
    Unit.KILOGRAM: Fraction(1_000_000),
    Unit.OUNCE: Fraction("28349.523125"),
    Unit.POUND: Fraction("453592.37"),
}
_WARM = (0, 5, 651, 12, 1024, 12_345, 640, 99, 7, 20_480, 3, 651)


@dataclass(frozen=True, slots=True)
class Dialect:
    """How one scale says a number of counts, and what a decoder may be told of it.

    ``is_named`` tells whether each line names its unit; where none does, lines that do, three in
    a row, are a scale gone over to another unit, and what follows is read in that.
    """

    form: str
    decimals: int
    unit: Unit
    end: bytes = b"\r\n"
    sign: str = "."
    recipe: Recipe = OPEN
    is_named: bool = True
    implied: int = 0

    def say(self, counts: int) -> bytes:
        """Return a whole line, its check and its end included."""
        number = Decimal(counts % MOST_COUNTS).scaleb(self.implied - self.decimals)
        body = self.form.format(number).replace(".", self.sign).encode()
        checksum = self.recipe.checksum
        if checksum is None:
            return body + self.end
        value = checksum.rule.of(body.lstrip(b"\x02"))
        check = b"%02X" % value if checksum.hexed else bytes((value,))
        return body + self.end + check if checksum.behind_end else body + check + self.end

    def mg(self, counts: int) -> int:
        """Return what a line weighs, worked out on its own: rounded once, half to even."""
        return round(Fraction(counts % MOST_COUNTS, 10**self.decimals) * _MG[self.unit])

    def morning(self) -> list[bytes]:
        """Return enough lines to be known for certain."""
        return [self.say(counts) for counts in _WARM]


def _checked(rule: Rule, *, hexed: bool, end: bytes, behind: bool) -> Recipe:
    return Recipe(checksum=Checksum(rule, hexed, end, behind))


_TOLD = Recipe(unit=Unit.GRAM, decimal_sign=".", implied_decimals=1)

DIALECTS = (
    Dialect("ST,GS,{:+09.1f} g", 1, Unit.GRAM),
    Dialect("{:.1f} g", 1, Unit.GRAM),
    Dialect("{:9.3f} kg", 3, Unit.KILOGRAM),
    Dialect("\x02{:+07.0f}g0\x03", 0, Unit.GRAM, b""),
    Dialect("{:9.3f} kg", 3, Unit.KILOGRAM, b"\r", ","),
    Dialect("S {:8.2f} oz", 2, Unit.OUNCE, b"\n\r"),
    Dialect("{:.3f} lb", 3, Unit.POUND, b"\n"),
    Dialect(
        "S {:8.1f} g",
        1,
        Unit.GRAM,
        recipe=_checked(Rule.XOR, hexed=True, end=b"\r\n", behind=False),
    ),
    Dialect(
        "\x02S {:8.1f} g",
        1,
        Unit.GRAM,
        b"\x03",
        recipe=_checked(Rule.SUM8, hexed=True, end=b"\x03", behind=True),
    ),
    Dialect(
        "+{:07.0f} g",
        0,
        Unit.GRAM,
        recipe=_checked(Rule.SUM7, hexed=False, end=b"\r\n", behind=False),
    ),
    Dialect("{:8.0f}", 1, Unit.GRAM, recipe=_TOLD, is_named=False, implied=1),
)
