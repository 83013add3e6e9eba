"""Fields of a form in an address -> words of a command; what is no such field is refused."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

_DAY = re.compile(r"[0-9./-]{1,10}")
_NUMBER = re.compile(r"[0-9]{1,7}([.,][0-9]{1,4})?")
_LONGEST = 200
_DAYS = {"from": "first day", "to": "last day", "day": "day"}
_NUMBERS = {
    "aim": "scaling weight",
    "band": "band",
    "spread-times": "spread",
    "dough-cost": "cost of dough",
    "wage": "wage",
}
_NAMES = {"product": "product", "run": "batch"}
WHAT_IF = tuple(_NUMBERS)
LABELS = {
    name: text.capitalize()
    for name, text in {**_DAYS, **_NUMBERS, **_NAMES, "bands": "bands from narrow to wide"}.items()
}
"""What a field is called on every page, by its name, which is that of the command's option."""
_OPTION = re.compile(r"(?<!\w)'[^']*'|--([a-z][a-z-]*)")
"""An option, or what stands in quotes: a name that a person gave, or a command to type."""


class NotTold(Exception):  # noqa: N818 - an answer, and no fault of the program
    """What was asked has no answer.

    Parameters
    ----------
    sentence : str
        Why, in a sentence or two.
    status : int
        Of HTTP.
    """

    def __init__(self, sentence: str, status: int) -> None:
        super().__init__(sentence)
        self.status = status


def fields_of(query: Mapping[str, str], *names: str) -> dict[str, str]:
    """Return the fields that were filled in.

    Parameters
    ----------
    query : mapping of str to str
    names : str
        Fields of the form; others are passed over.

    Returns
    -------
    dict of str to str
        In the order of the names, without blanks around.

    Raises
    ------
    NotTold
        If a day, a number or a name has letters that none can have.
    """
    filled = {name: query.get(name, "").strip() for name in names}
    found = {name: text for name, text in filled.items() if text}
    for name, text in found.items():
        _require(name, text)
    return found


def _require(name: str, text: str) -> None:
    shown = text[:40] if text.isprintable() else "that"
    if name in _DAYS and _DAY.fullmatch(text) is None:
        raise NotTold(f"The {_DAYS[name]} '{shown}' is no day: write it like 2026-11-30.", 400)
    if name in _NUMBERS and _NUMBER.fullmatch(text) is None and (name, text) != ("aim", "lawful"):
        raise NotTold(f"The {_NUMBERS[name]} '{shown}' is no number: write it like 12.5.", 400)
    if name in _NAMES and (len(text) > _LONGEST or not text.isprintable()):
        raise NotTold(f"There is no {_NAMES[name]} of that name.", 400)


def options_of(fields: Mapping[str, str]) -> tuple[str, ...]:
    """Return fields as options of a command.

    Parameters
    ----------
    fields : mapping of str to str
        As `fields_of` gives them.

    Returns
    -------
    tuple of str
        One word each, so that no value is taken for an option.

    Examples
    --------
    >>> options_of({"from": "2026-11-30", "product": "-x"})
    ('--from=2026-11-30', '--product=-x')
    """
    return tuple(f"--{name}={text}" for name, text in fields.items())


def in_fields(sentence: str) -> str:
    """Return what a command says with its options called as the fields of a page.

    Parameters
    ----------
    sentence : str
        What it says of its input. Options that no page has, and what stands in quotes, stay.

    Returns
    -------
    str

    Examples
    --------
    >>> in_fields("'--to' is none of --run. Choose other days with --from and --to.")
    "'--to' is none of 'Batch'. Choose other days with 'First day' and 'Last day'."
    """

    def called(found: re.Match[str]) -> str:
        name = LABELS.get(found[1] or "")
        return found[0] if name is None else f"'{name}'"

    return _OPTION.sub(called, sentence)


def with_option(words: tuple[str, ...], option: str) -> tuple[str, ...]:
    """Return the words of a command with an option more, before what is no option whatever it says.

    Parameters
    ----------
    words : tuple of str
    option : str

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> with_option(("dossier", "--", "-x"), "--json")
    ('dossier', '--json', '--', '-x')
    """
    place = words.index("--") if "--" in words else len(words)
    return (*words[:place], option, *words[place:])
