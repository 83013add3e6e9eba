"""The text of scales.toml -> what was learned of each scale, and back."""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from weighstation.acquire import OPEN, Recipe
from weighstation.errors import SpecificationError
from weighstation.metrology import Plate, accuracy_class

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

_HEAD = """\
# What 'weighstation learn' found out about the scales of this station, one table each, and what
# 'weighstation check' was told of their plates.
# It is used whenever that scale is opened; an option in the port's URL goes before it.
"""
_SETTINGS = {
    "speed_baud": "baud",
    "bits": "bits",
    "parity": "parity",
    "stop_bits": "stop",
    "dtr": "dtr",
    "ask": "ask",
    "ask_every_s": "every",
}
"""Keys of the file, and the options of a port that they give."""
MOST_DUE_H = 24 * 366
_NUMBERS = ("speed_baud", "bits", "stop_bits", "ask_every_s")


@dataclass(frozen=True, slots=True)
class Profile:
    """What is known of one scale.

    Parameters
    ----------
    identity : str
        Who it is, as `Identity` writes it, or the place on the network.
    settings : dict of str
        Options of its port.
    recipe : Recipe
    learned : str
        When, in UTC.
    readings_per_s : float or None, per second
    settle_s : float or None, seconds
    open : tuple of str
        What could not be told.
    plate : Plate or None
        Class, e and Max, as somebody read them from it; never guessed.
    check_due_h : float or None, hours
        How often it is to be checked.
    """

    identity: str
    settings: dict[str, str] = field(default_factory=dict)
    recipe: Recipe = field(default_factory=Recipe)
    learned: str = ""
    readings_per_s: float | None = None
    settle_s: float | None = None
    open: tuple[str, ...] = ()
    plate: Plate | None = None
    check_due_h: float | None = None

    @property
    def is_plate_only(self) -> bool:
        """Whether it was told of its plate and its checks, and was never learned."""
        told = self.plate is not None or self.check_due_h is not None
        return told and not self.learned and not self.settings and self.recipe == OPEN


def read_profiles(text: str, source: str) -> dict[str, Profile]:
    """Return the profiles of a file by identity.

    Parameters
    ----------
    text : str
    source : str
        What the file is called, for a sentence.

    Returns
    -------
    dict of Profile

    Raises
    ------
    SpecificationError
        If it is not such a file.
    """
    hint = "Mend it, or put it away and let the station learn its scales anew."
    try:
        tables = tomllib.loads(text).get("scale", [])
    except ValueError as exc:
        raise SpecificationError(f"{source} is not valid TOML: {exc}.", hint=hint) from exc
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        raise SpecificationError(f"{source} has no tables [[scale]].", hint=hint)
    nameless = [table for table in tables if not isinstance(table.get("identity"), str)]
    if nameless:
        raise SpecificationError(f"{source} has a scale without an identity.", hint=hint)
    names = [table["identity"] for table in tables]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise SpecificationError(f"{source} has the scale {twice} twice.", hint=hint)
    return {table["identity"]: _profile(table) for table in tables}


def _profile(table: Mapping[str, object]) -> Profile:
    opened = table.get("open", [])
    return Profile(
        identity=str(table["identity"]),
        settings={option: str(table[key]) for key, option in _SETTINGS.items() if key in table},
        recipe=Recipe.of_plain(table),
        learned=str(table.get("learned", "")),
        readings_per_s=_number(table.get("readings_per_s")),
        settle_s=_number(table.get("settle_s")),
        open=tuple(map(str, opened)) if isinstance(opened, list) else (),
        plate=_plate(table),
        check_due_h=_due_h(table),
    )


_PLATE = ("accuracy_class", "e_g", "max_g")


def _plate(table: Mapping[str, object]) -> Plate | None:
    """Return what the plate says; all of it or nothing."""
    given = [key for key in _PLATE if key in table]
    if not given:
        return None
    who = f"The scale {table['identity']}"
    if len(given) < len(_PLATE):
        lacking = ", ".join(key for key in _PLATE if key not in table)
        raise SpecificationError(
            f"{who} has a plate without {lacking}.",
            hint="Write all of accuracy_class, e_g and max_g into scales.toml, or none.",
        )
    cls, e, greatest = (str(table[key]) for key in _PLATE)
    try:
        return Plate(accuracy_class(cls), Decimal(e), Decimal(greatest))
    except ArithmeticError as exc:
        raise SpecificationError(
            f"{who} has a plate that is no number of grams.", hint="Mend scales.toml."
        ) from exc


def _due_h(table: Mapping[str, object]) -> float | None:
    if "check_due_h" not in table:
        return None
    due = _number(table["check_due_h"])
    if due is None or not 0 < due < MOST_DUE_H:
        raise SpecificationError(
            f"The scale {table['identity']} has a check_due_h that is no number of hours.",
            hint="Write one like check_due_h = 24 into scales.toml.",
        )
    return due


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


def write_profiles(profiles: Iterable[Profile]) -> str:
    """Return the text of a file with some profiles.

    Parameters
    ----------
    profiles : iterable of Profile

    Returns
    -------
    str
    """
    return _HEAD + "".join(_table(profile) for profile in profiles)


def _table(profile: Profile) -> str:
    values: dict[str, object] = {"identity": profile.identity, "learned": profile.learned}
    for key, option in _SETTINGS.items():
        if option in profile.settings:
            text = profile.settings[option]
            values[key] = _plain_number(text) if key in _NUMBERS else text
    values |= profile.recipe.plain()
    for key in ("readings_per_s", "settle_s"):
        number = getattr(profile, key)
        if number is not None:
            values[key] = round(number, 2)
    if profile.open:
        values["open"] = list(profile.open)
    if profile.plate is not None:
        values["accuracy_class"] = profile.plate.accuracy_class.value
        values["e_g"] = float(profile.plate.e_g)
        values["max_g"] = float(profile.plate.max_g)
    if profile.check_due_h is not None:
        values["check_due_h"] = profile.check_due_h
    # JSON writes strings, numbers, booleans and lists of strings as TOML has them
    lines = "".join(f"{key} = {json.dumps(value)}\n" for key, value in values.items())
    return f"\n[[scale]]\n{lines}"


def _plain_number(text: str) -> int | float:
    number = float(text)
    return int(number) if number.is_integer() else number
