"""Families of scale lines, invented from their structure, and a morning of weights to say."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from weighstation.quantities import Unit

if TYPE_CHECKING:
    from collections.abc import Callable

PIECES = (652, 744, 731, 758, 740, 726, 745)


@dataclass(frozen=True, slots=True)
class Said:
    """One indication: the number in the family's unit, its mark, and its place in the stream."""

    number: Decimal
    still: bool
    place: int


@dataclass(frozen=True, slots=True)
class Family:
    """How a scale says its indications, and what is to be learned from that.

    ``division`` is in ``unit``; ``mark`` is the stable mark as the profile names it; ``lost``
    counts lines that are refused before a layout that could be a torn one has insisted.
    """

    name: str
    say: Callable[[Said], str]
    division: str
    unit: Unit = Unit.GRAM
    mark: str | None = None
    sign: str = ""
    end: str = "\r\n"
    lost: int = 0


def morning(family: Family) -> list[Said]:
    """Return what the scale indicates while some pieces are weighed one by one."""
    said = [(0, True)] * 9
    for piece in PIECES:
        said += [(piece * part // 5, False) for part in (1, 3, 4)]
        said += [(piece + 1, False), (piece, False), (piece, False)] + [(piece, True)] * 12
        said += [(piece // 2, False), (-1, False)] + [(0, True)] * 6
    division = Decimal(family.division)
    return [Said(steps * division, still, place) for place, (steps, still) in enumerate(said)]


def _minus(said: Said, plus: str = "") -> str:
    return "-" if said.number < 0 else plus


def _word(said: Said, still: str, moving: str) -> str:
    return still if said.still else moving


def _grouped(said: Said) -> str:
    return f"{said.number:,f}"


def _comma(said: Said, width: int = 0) -> str:
    return f"{said.number:{width}f}".replace(".", ",")


def _late_sign(said: Said) -> str:
    return f"{abs(said.number):0>6f}{_minus(said, ' ')}"


FAMILIES = (
    Family("bare, padded with blanks", lambda s: f"{s.number:8f}", "1"),
    Family("bare, unpadded", lambda s: f"{s.number:f}", "0.1", sign="."),
    Family("bare, comma", _comma, "0.5", sign=",", end="\r"),
    Family("bare kilograms", lambda s: f"{s.number:8f}", "0.002", Unit.KILOGRAM, sign="."),
    Family("unit glued to it", lambda s: f"{s.number:f}g", "0.2", sign=".", end="\n"),
    Family(
        "kilograms with a comma", lambda s: f"{_comma(s, 9)} kg", "0.001", Unit.KILOGRAM, sign=","
    ),
    Family("upper case", lambda s: f"{s.number:+09f} KG", "0.005", Unit.KILOGRAM, sign="."),
    Family(
        "letter first",
        lambda s: f"{_word(s, 'S', 'D')} {s.number:+07f} g",
        "1",
        mark="'S'",
        end="\n\r",
    ),
    Family(
        "header fields",
        lambda s: f"{_word(s, 'ST', 'US')},GS,{s.number:+08f} g",
        "0.1",
        mark="'ST'",
        sign=".",
    ),
    Family(
        "header fields, blanks inside the number",
        lambda s: f"{_word(s, 'ST', 'US')},NT,{_minus(s, '+')}{abs(s.number):8f} g",
        "0.5",
        mark="'ST'",
        sign=".",
    ),
    Family(
        "letter or question mark last",
        lambda s: f"{_minus(s, '+')} {abs(s.number):6f} g  {_word(s, 'S', '?')}",
        "2",
        mark="'S'",
    ),
    Family(
        "question mark for motion",
        lambda s: f"{s.number:9f} g {_word(s, ' ', '?')}",
        "1",
        mark="no '?'",
    ),
    Family(
        "question mark for motion, unpadded",
        lambda s: f"{s.number:f} g{_word(s, '', ' ?')}",
        "1",
        mark="no '?'",
    ),
    Family(
        "mark only when still", lambda s: f"{s.number:f} g{_word(s, ' *', '')}", "5", mark="'*'"
    ),
    Family(
        "star in front for motion",
        lambda s: f"{_word(s, ' ', '*')}{_comma(s, 9)} g",
        "0.1",
        mark="no '*'",
        sign=",",
    ),
    Family(
        "word in front only when still, unpadded",
        lambda s: f"{_word(s, 'ok ', '')}{s.number:f} g",
        "1",
        mark="'ok'",
        lost=2,
    ),
    Family("sign apart", lambda s: f"{_minus(s, ' ')} {abs(s.number):7f} g", "5"),
    Family("sign behind", _late_sign, "1", end="\r"),
    Family(
        "digit as the last flag",
        lambda s: f"{_minus(s)}{abs(s.number):0>5f} g;{_word(s, '1', '0')}",
        "1",
        mark="'1'",
    ),
    Family(
        "digit as the first flag, no unit",
        lambda s: f"{_word(s, '0', '4')} {s.number:06f}",
        "1",
        mark="'0'",
    ),
    Family(
        "words round it",
        lambda s: f"Gross {s.number:f} G {_word(s, 'stable', 'moving')}",
        "0.1",
        mark="'stable'",
        sign=".",
    ),
    Family(
        "unit only when still",
        lambda s: f"{_minus(s, '+')}{abs(s.number):9f} {_word(s, 'g', ''):<3}",
        "1",
        mark="'unit'",
    ),
    Family(
        "ounces",
        lambda s: f"{_word(s, 'S', 'M')} {s.number:8f} oz",
        "0.05",
        Unit.OUNCE,
        mark="'S'",
        sign=".",
    ),
    Family("pounds", lambda s: f"{s.number:8f} LB", "0.002", Unit.POUND, sign="."),
    Family(
        "framed, flag glued to the unit",
        lambda s: f"\x02{s.number:+08f}g{_word(s, '0', '1')}\x03",
        "1",
        mark="'0'",
    ),
    Family("thousands parted", lambda s: f"{_grouped(s)} g", "5"),
    Family("thousands parted, decimals", lambda s: f"{_grouped(s):>12} g", "5.0", sign="."),
    Family(
        "all fields parted by commas",
        lambda s: f"{s.number:f},g,{_word(s, 'S', 'U')}",
        "0.1",
        mark="'S'",
        sign=".",
    ),
    Family(
        "all fields parted by semicolons",
        lambda s: f"{_word(s, 'S', 'U')};{s.number:f};kg",
        "0.001",
        Unit.KILOGRAM,
        mark="'S'",
        sign=".",
    ),
    Family(
        "channel, weight and unit parted by commas",
        lambda s: f"3,{s.number:f},g",
        "0.5",
        sign=".",
    ),
    Family(
        "a counter in front", lambda s: f"{1000 + s.place:05d} {s.number:+f} g", "0.1", sign="."
    ),
    Family(
        "date and time in front",
        lambda s: f"02/03/26 04:{s.place // 60:02d}:{s.place % 60:02d} {s.number:7f} g",
        "1",
    ),
    Family(
        "unit in front, status behind",
        lambda s: f"kg {s.number:+08f} {_word(s, 'OK', '--')}",
        "0.001",
        Unit.KILOGRAM,
        mark="'OK'",
        sign=".",
    ),
    Family(
        "gross, tare and net in one line",
        lambda s: f"T 0 g  G {s.number:5f} g  N {s.number:5f} g",
        "1",
    ),
    Family(
        "words of different length",
        lambda s: f"{_word(s, 'STEADY', 'MOVING')}: {s.number:f} gram",
        "1",
        mark="'STEADY'",
    ),
)
