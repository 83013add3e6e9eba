"""One line -> its number, its unit, and the marks before and after the number."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.quantities import Unit

if TYPE_CHECKING:
    from collections.abc import Iterable

_MINUS = frozenset(("-", "NEG", "MINUS"))
_EXPONENT = re.compile(r"[0-9][eE][+-][0-9]")
_FRACTION = re.compile(r"[0-9]/$")  # before the number that is read
_CLOCK = frozenset(":/-.")  # between the digits of a time or a date
_NEXT_FIELD = frozenset(",;")
NUMBER_MARK = "#"  # stands for a number that is not the weight
PAIR = "lb:oz"

_UNITS = {
    **dict.fromkeys(("g", "gr", "gm", "gms", "gram", "grams"), Unit.GRAM),
    **dict.fromkeys(("kg", "kgs", "kilogram", "kilograms"), Unit.KILOGRAM),
    **dict.fromkeys(("oz", "ozs", "ounce", "ounces"), Unit.OUNCE),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), Unit.POUND),
}
# No mass in a unit of ours: counts, percents, carats, troy ounces, pennyweights, grains, ...
_FOREIGN = frozenset(
    "pcs pc % ct ozt toz dwt tl gn mom mg dag dkg hg ml cl dl floz".split()  # noqa: SIM905
)
_TROY = re.compile(
    r"(?:oz|lb)s?[. ]*(?:t|tr|[Tt]roy|TROY)(?![A-Za-z])|(?<![A-Za-z])(?:t|tr|[Tt]roy|TROY)[. ]*oz"
)
_FLUID = re.compile(r"(?<![A-Za-z])fl[. ]*oz(?![A-Za-z])", re.IGNORECASE)  # a volume
_TARE = frozenset(("T", "PT", "TARE", "TR"))

_BLANK = r"\x00-\x20"
_SIGN = r"(?:(?P<sign>[+-])[ ]*)?"
_LATE = r"(?P<late>[+-](?![ ]*[0-9.,]))?"
_REST = (
    r"|(?P<word>[A-Za-z]+(?:[/:][A-Za-z]+)*)"
    rf"|(?P<mark>[+-]+|\.+|[^{_BLANK}A-Za-z0-9,;.+-]+)"
)
_HEADLESS = r"(?<![A-Za-z])[.,][0-9]+"  # behind a word it is no decimal sign, or may be none
_GROUPS = r"[0-9]{1,3}(?:'[0-9]{3})+(?:[.,][0-9]+)?"  # thousands parted by apostrophes
_TOKEN = re.compile(
    rf"{_SIGN}(?P<run>{_GROUPS}|[0-9]+(?:[.,][0-9]+)*\.?|{_HEADLESS}){_LATE}{_REST}"
)
_TOKEN_COMMA_CUTS = re.compile(
    rf"{_SIGN}(?P<run>{_GROUPS}|[0-9]+(?:\.[0-9]+)*\.?|\.[0-9]+){_LATE}{_REST}"
)
_GLUED = re.compile(r"(kg|g|oz|lb)([A-Z]{1,2})")


@dataclass(frozen=True, slots=True)
class Grammar:
    """How the lines of a port are to be taken apart.

    Parameters
    ----------
    comma_cuts : bool
        A comma between digits parts two fields.
    weight_number : int or None
        Which number is the weight, from 0, where no number is followed by a unit.
    settled : bool
        It is that number, whatever is followed by a unit.
    """

    comma_cuts: bool = False
    weight_number: int | None = None
    settled: bool = False


@dataclass(frozen=True, slots=True)
class Fields:
    """A line taken apart.

    Parameters
    ----------
    before, after : tuple of str
        Marks on either side of the number, the unit left out; a code of a digit or two is a
        mark, ``#`` stands for any other number.
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
    numbers : int
        How many numbers the line holds.
    flags : tuple of int
        Where the digits of codes are.
    refused : str
        Why this line is no weight that can be read, or empty.
    spoilt : bool
        What stands before the number may be a sign that is not known: of another alphabet,
        several dashes, the brackets that accounts have for a minus, or a point behind a word.
    grouped : bool
        What stands before the number may be its thousands, parted by a blank.
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
    numbers: int
    flags: tuple[int, ...] = ()
    refused: str = ""
    spoilt: bool = False
    grouped: bool = False


PLAIN = Grammar()


def read_fields(text: str, grammar: Grammar = PLAIN) -> Fields | None:
    """Return the fields of a line, or None where it holds no number.

    Parameters
    ----------
    text : str
    grammar : Grammar

    Returns
    -------
    Fields or None
    """
    tokens = _tokens(text, grammar)
    numbers = [place for place, token in enumerate(tokens) if token["run"]]
    if not numbers:
        return None
    units = [_unit(token) for token in tokens]
    at = _weight_at(tokens, numbers, units, grammar)
    weight = tokens[at]
    unit_at = _unit_at(at, tokens, units)
    flags = [place for place in numbers if place != at and _is_flag(place, tokens, units)]
    marks = [_mark(place, token, unit_at, flags) for place, token in enumerate(tokens)]
    return Fields(
        before=tuple(filter(None, marks[:at])),
        after=tuple(filter(None, marks[at + 1 :])),
        unit=None if unit_at is None else units[unit_at],
        sign=weight["sign"] or weight["late"] or _lone_sign(tokens[:at]),
        run=weight["run"].replace("'", ""),
        start=weight.start("run"),
        end=weight.end("run"),
        width=_start(tokens, at + 1, text) - (tokens[at - 1].end() if at else 0),
        length=len(text),
        indented=text.startswith(" "),
        numbers=len(numbers),
        flags=tuple(at for place in flags for at in range(*tokens[place].span())),
        refused=_refused(tokens, units, at),
        spoilt=at > 0 and _may_be_sign(tokens[at - 1], weight),
        grouped=at > 0 and _may_be_thousands(tokens[at - 1], weight),
    )


def _lone_sign(before: list[re.Match[str]]) -> str:
    """Return the sign that stands by itself before the number, in a field or as a word."""
    words = [token[0].upper() for token in before]
    if any(word in _MINUS for word in words):
        return "-"
    return "+" if "+" in words else ""


def _may_be_sign(before: re.Match[str], weight: re.Match[str]) -> bool:
    """Say whether a mark before a number may stand for a minus, other than ``-`` itself."""
    mark, line = before[0], weight.string
    if before.end() != weight.start():
        return not mark.isascii()
    if mark == "." and line[: before.start()][-1:].isalpha():
        return True  # of 'W.742' nobody knows whether it is a decimal sign
    is_bracketed = mark.endswith("(") and line[weight.end() : weight.end() + 1] == ")"
    return not mark.isascii() or is_bracketed or (len(mark) > 1 and set(mark) <= set("+-"))


def _may_be_thousands(before: re.Match[str], weight: re.Match[str]) -> bool:
    """Say whether two numbers with one blank between them may be one: 1 251."""
    digits = weight["run"].partition(".")[0].partition(",")[0]
    head = before[0].lstrip("+- ")
    between = weight.string[before.end() : weight.start("run")]
    return (
        head.isdigit()
        and len(head) <= 3
        and head[0] != "0"
        and len(digits) == 3
        and between in (" ", "\xa0")
    )


def weight_number(texts: Iterable[str], grammar: Grammar) -> int | None:
    """Return which number of some lines is the weight, by its looks, where no unit tells.

    Parameters
    ----------
    texts : iterable of str
        Lines with as many numbers each.
    grammar : Grammar

    Returns
    -------
    int or None
        The one with a sign or decimals, else with most digits, else that varies most; from 0.
        None where there is but one.
    """
    rows = [[token for token in _tokens(text, grammar) if token["run"]] for text in texts]
    columns = list(zip(*rows, strict=False))
    if len(columns) < 2:
        return None
    looks = [
        (
            any(token["sign"] or token["late"] or not token["run"].isdigit() for token in column),
            max(len(token["run"]) for token in column),
            len({token["run"] for token in column}),
        )
        for column in columns
    ]
    return looks.index(max(looks))


def _tokens(text: str, grammar: Grammar) -> list[re.Match[str]]:
    pattern = _TOKEN_COMMA_CUTS if grammar.comma_cuts else _TOKEN
    return list(pattern.finditer(text))


def _is_flag(place: int, tokens: list[re.Match[str]], units: list[Unit | None]) -> bool:
    """Return whether a number is a digit or two apart from date and time: a mark, not a mass."""
    token = tokens[place]
    text, line = token[0], token.string
    if not text.isdigit() or any(units[place + 1 : place + 2]):
        return False
    beside = line[max(token.start() - 1, 0) : token.start()] + line[token.end() : token.end() + 1]
    return len(text) == 1 or (len(text) == 2 and not _CLOCK & set(beside))


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


def _weight_at(
    tokens: list[re.Match[str]],
    numbers: list[int],
    units: list[Unit | None],
    grammar: Grammar,
) -> int:
    """Return which number is the weight: the first with a unit, a tare only for want of others."""
    told = numbers[min(grammar.weight_number or 0, len(numbers) - 1)]
    if grammar.settled:
        return told
    named = [at for at in numbers if at + 1 < len(tokens) and units[at + 1]]
    own = [at for at in named if not at or tokens[at - 1][0].upper() not in _TARE]
    if not named:
        return told
    at = (own or named)[0]
    return at if _shares_field(at, tokens) else _first_alike(at, numbers, tokens)


def _shares_field(at: int, tokens: list[re.Match[str]]) -> bool:
    """Return whether the unit behind a number is in the same field."""
    between = tokens[at].string[tokens[at].end() : tokens[at + 1].start()]
    return not _NEXT_FIELD & set(between)


def _first_alike(at: int, numbers: list[int], tokens: list[re.Match[str]]) -> int:
    """Return the first number written as one that a unit follows in the next field.

    A unit may belong to all numbers before it: to a gross weight and a tare.
    """
    look = _decimals(tokens[at])
    return next(
        place for place in numbers if place == at or (look and _decimals(tokens[place]) == look)
    )


def _decimals(token: re.Match[str]) -> int:
    return len(token["run"].partition(".")[2] or token["run"].partition(",")[2])


def varying_numbers(texts: Iterable[str], grammar: Grammar) -> list[int]:
    """Return which numbers of some lines vary as a weight does, while the others stand or count.

    Parameters
    ----------
    texts : iterable of str
    grammar : Grammar

    Returns
    -------
    list of int
        From 0; empty where lines hold one number only.
    """
    rows = [[token["run"] for token in _tokens(text, grammar) if token["run"]] for text in texts]
    columns = [list(map(_counts, column)) for column in zip(*rows, strict=False)]
    moving = [place for place, column in enumerate(columns) if _goes_and_stays(column)]
    return moving if len(columns) > 1 else []


def _counts(run: str) -> int:
    return int(re.sub("[.,']", "", run) or 0)


def _goes_and_stays(column: list[int]) -> bool:
    """Say whether numbers vary as a weight does: with rests in between, unlike a count of lines."""
    rests = sum(before == after for before, after in pairwise(column))
    is_code = all(abs(count) < 100 for count in column)
    return not is_code and len(set(column)) > 2 and rests > len(column) // 4


def _unit_at(at: int, tokens: list[re.Match[str]], units: list[Unit | None]) -> int | None:
    """Return where the unit is: right behind the number, else the only one of the line.

    A lone G apart from the number is taken for the mark of a gross weight.
    """
    if at + 1 < len(units) and units[at + 1]:
        return at + 1
    places = [place for place, unit in enumerate(units) if unit and tokens[place][0] != "G"]
    return places[0] if len(places) == 1 else None


def _mark(place: int, token: re.Match[str], unit_at: int | None, flags: list[int]) -> str:
    """Return the mark that a token is: none for the unit, but for what is glued to it."""
    if token["run"]:
        return token[0] if place in flags else NUMBER_MARK
    if place != unit_at:
        return token[0]
    glued = _GLUED.fullmatch(token[0])
    return glued[2] if glued else ""


def _start(tokens: list[re.Match[str]], at: int, text: str) -> int:
    return tokens[at].start() if at < len(tokens) else len(text)


def _refused(tokens: list[re.Match[str]], units: list[Unit | None], at: int) -> str:
    words = [token[0].lower() for token in tokens]
    line = tokens[at].string
    if _EXPONENT.search(line):
        return "numbers with an exponent"
    if _FRACTION.search(line[: tokens[at].start("run")]):
        return "fractions or dates beside the weight"
    if _FLUID.search(line):
        return "the unit 'fl oz'"
    if _TROY.search(line):
        return "a troy unit"
    if PAIR in words or {Unit.POUND, Unit.OUNCE} <= set(units):
        return "pounds and ounces together"
    behind = [word for before, word in zip(tokens, words[1:], strict=False) if before["run"]]
    foreign = _FOREIGN.intersection(behind)
    return f"the unit '{min(foreign)}'" if foreign and not any(units) else ""
