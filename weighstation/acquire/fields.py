"""One line -> its number, its unit, and the marks before and after the number."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.quantities import Unit

if TYPE_CHECKING:
    from collections.abc import Iterable

NUMBER_MARK = "#"  # stands for a number that is not the weight
PAIR = "lb:oz"

_UNITS = {
    **dict.fromkeys(("g", "gr", "gm", "gms", "gram", "grams"), Unit.GRAM),
    **dict.fromkeys(("kg", "kgs", "kilogram", "kilograms"), Unit.KILOGRAM),
    **dict.fromkeys(("oz", "ozs", "ounce", "ounces"), Unit.OUNCE),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), Unit.POUND),
}
# No mass in a unit of ours: counts, percents, carats, troy ounces, pennyweights, grains, ...
_FOREIGN = frozenset(("pcs", "pc", "%", "ct", "ozt", "toz", "dwt", "tl", "gn", "mom", "mg"))
_TARE = frozenset(("T", "PT", "TARE", "TR"))

_BLANK = r"\x00-\x20"
_SIGN = r"(?:(?P<sign>[+-])[ ]*)?"
_LATE = r"(?P<late>[+-](?![ ]*[0-9.,]))?"
_REST = (
    r"|(?P<word>[A-Za-z]+(?:[/:][A-Za-z]+)*)"
    rf"|(?P<mark>[+-]+|\.+|[^{_BLANK}A-Za-z0-9,;.+-]+)"
)
_TOKEN = re.compile(rf"{_SIGN}(?P<run>[0-9]+(?:[.,][0-9]+)*\.?|[.,][0-9]+){_LATE}{_REST}")
_TOKEN_COMMA_CUTS = re.compile(rf"{_SIGN}(?P<run>[0-9]+(?:\.[0-9]+)*\.?|\.[0-9]+){_LATE}{_REST}")
_GLUED = re.compile(r"(kg|g|oz|lb)([A-Z]{1,2})")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:[.,][0-9]{3})+")


@dataclass(frozen=True, slots=True)
class Signs:
    """What points and commas mean on a port.

    Parameters
    ----------
    decimal : str
        The decimal sign, or empty where numbers are whole.
    comma_cuts : bool
        A comma between digits parts two fields.
    certain : bool
        False while the lines seen could also be read another way.
    """

    decimal: str
    comma_cuts: bool = False
    certain: bool = True

    def decimals(self, run: str) -> int | None:
        """Return how many decimals some digits have, or None where they are no number.

        Parameters
        ----------
        run : str
            Digits, points and commas.

        Returns
        -------
        int or None
        """
        head, found, tail = run.rstrip(".").rpartition(self.decimal or "\n")
        whole = head if found else tail
        if whole and not whole.isdigit() and not _GROUPED.fullmatch(whole):
            return None
        return len(tail) if found else 0


@dataclass(frozen=True, slots=True)
class Fields:
    """A line taken apart.

    Parameters
    ----------
    before, after : tuple of str
        Marks on either side of the number, the unit left out; ``#`` for another number.
    unit : Unit or None
        None where the line names none.
    sign : str
        ``+``, ``-`` or empty.
    run : str
        Digits of the number, with points and commas.
    start, end : int
        Where ``run`` lies in the line.
    width : int
        Characters from the mark before the number to the mark after it.
    length : int
        Characters of the whole line.
    indented : bool
        The line begins with a blank.
    refused : str
        Why this line is no weight that can be read, or empty.
    """

    before: tuple[str, ...]
    after: tuple[str, ...]
    unit: Unit | None
    sign: str
    run: str
    start: int
    end: int
    width: int
    length: int
    indented: bool
    refused: str = ""


def read_fields(text: str, *, comma_cuts: bool = False) -> Fields | None:
    """Return the fields of a line, or None where it holds no number.

    Parameters
    ----------
    text : str
    comma_cuts : bool
        A comma between digits parts two fields.

    Returns
    -------
    Fields or None
    """
    pattern = _TOKEN_COMMA_CUTS if comma_cuts else _TOKEN
    tokens = list(pattern.finditer(text))
    numbers = [place for place, token in enumerate(tokens) if token["run"]]
    if not numbers:
        return None
    units = [_unit(token) for token in tokens]
    at = _weight_at(tokens, numbers, units)
    token = tokens[at]
    unit_at = _unit_at(at, tokens, units)
    return Fields(
        before=_marks(tokens[:at], unit_at, 0),
        after=_marks(tokens[at + 1 :], unit_at, at + 1),
        unit=None if unit_at is None else units[unit_at],
        sign=token["sign"] or token["late"] or "",
        run=token["run"],
        start=token.start("run"),
        end=token.end("run"),
        width=_start(tokens, at + 1, text) - (tokens[at - 1].end() if at else 0),
        length=len(text),
        indented=text.startswith(" "),
        refused=_refused(tokens, units),
    )


def is_unit(word: str) -> bool:
    """Return whether a word names a unit that can be read.

    Parameters
    ----------
    word : str

    Returns
    -------
    bool
    """
    return word.lower() in _UNITS


def _unit(token: re.Match[str]) -> Unit | None:
    word = token["word"]
    if not word:
        return None
    glued = _GLUED.fullmatch(word)
    return _UNITS.get(glued[1] if glued else word.lower())


def _weight_at(tokens: list[re.Match[str]], numbers: list[int], units: list[Unit | None]) -> int:
    """Return which number is the weight: the first with a unit, a tare only for want of others."""
    named = [at for at in numbers if at + 1 < len(tokens) and units[at + 1]]
    own = [at for at in named if not at or tokens[at - 1][0].upper() not in _TARE]
    dotted = [at for at in numbers if tokens[at]["sign"] or not tokens[at]["run"].isdigit()]
    return (own or named or dotted or numbers)[0]


def _unit_at(at: int, tokens: list[re.Match[str]], units: list[Unit | None]) -> int | None:
    """Return where the unit is: right behind the number, else the only one of the line.

    A lone G apart from the number is taken for the mark of a gross weight.
    """
    if at + 1 < len(units) and units[at + 1]:
        return at + 1
    places = [place for place, unit in enumerate(units) if unit and tokens[place][0] != "G"]
    return places[0] if len(places) == 1 else None


def _marks(tokens: list[re.Match[str]], unit_at: int | None, offset: int) -> tuple[str, ...]:
    marks = []
    for place, token in enumerate(tokens, start=offset):
        if token["run"]:
            marks.append(NUMBER_MARK)
        elif place != unit_at:
            marks.append(token[0])
        elif glued := _GLUED.fullmatch(token[0]):
            marks.append(glued[2])
    return tuple(marks)


def _start(tokens: list[re.Match[str]], at: int, text: str) -> int:
    return tokens[at].start() if at < len(tokens) else len(text)


def _refused(tokens: list[re.Match[str]], units: list[Unit | None]) -> str:
    words = [token[0].lower() for token in tokens]
    if PAIR in words or {Unit.POUND, Unit.OUNCE} <= set(units):
        return "pounds and ounces together"
    behind = [word for before, word in zip(tokens, words[1:], strict=False) if before["run"]]
    foreign = _FOREIGN.intersection(behind)
    return f"the unit '{min(foreign)}'" if foreign and not any(units) else ""


def learn_signs(runs: Iterable[str]) -> Signs:
    """Return what points and commas mean, from the numbers of many lines.

    Parameters
    ----------
    runs : iterable of str
        Digits with their points and commas.

    Returns
    -------
    Signs
        Not certain where one separator is always followed by three digits and nothing else
        tells a decimal sign from one that parts thousands.
    """
    runs = [run.rstrip(".") for run in runs]
    used = {char for run in runs for char in run if not char.isdigit()}
    if len(used) != 1:
        return _signs_of_two(runs) if used else Signs("")
    sign = used.pop()
    tails = {len(run.rpartition(sign)[2]) for run in runs if sign in run}
    if any(run.count(sign) > 1 for run in runs) or len(tails) > 1:
        grouped = all(run.isdigit() or _GROUPED.fullmatch(run) for run in runs)
        return Signs("") if grouped else Signs(".", comma_cuts=sign == ",")
    if tails != {3} or any(run.startswith(("0", sign)) for run in runs if sign in run):
        return Signs(sign)
    if any(run.isdigit() for run in runs):
        return Signs("")
    return Signs(sign, certain=False)


def _signs_of_two(runs: list[str]) -> Signs:
    """Return the meaning of two separators: the last of a number is its decimal sign."""
    both = [run for run in runs if "." in run and "," in run]
    decimal = max(".,", key=lambda sign: max(run.rfind(sign) for run in both or runs))
    signs = Signs(decimal)
    if all(signs.decimals(run) is not None for run in runs):
        return signs
    return Signs(".", comma_cuts=True)
