"""The text of weights.toml -> check weights, and those that an option names."""

from __future__ import annotations

import re
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.metrology import CheckWeight, weight_class
from weighstation.specification import MOST_G
from weighstation.station.commands.terminal.options import load_from

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weighstation.station.commands.shop.home import Home

MOST_WEIGHTS = 4
_KEYS = ("name", "nominal_g", "class", "certified_g", "uncertainty_g", "certified_on", "due_on")
_MASSES = ("nominal_g", "certified_g", "uncertainty_g")
_GIVEN = re.compile(r"(?P<grams>[0-9.,]+)\s*g?\s*:\s*(?P<cls>\w+)")
_EXAMPLE = (
    'Write a table like [[weight]] with name = "box 1", nominal_g = 500, class = "M1",'
    " certified_on = 2026-01-15; grams with a decimal point, not a comma."
)


def read_weights(text: str, source: str) -> tuple[CheckWeight, ...]:
    """Return the check weights of a file.

    Parameters
    ----------
    text : str
        TOML with ``[[weight]]`` tables.
    source : str
        What the file is called, for a sentence.

    Returns
    -------
    tuple of CheckWeight

    Raises
    ------
    SpecificationError
        With every fault of the file at once.
    """
    import tomllib  # noqa: PLC0415 - only where there is such a file

    try:
        tables = tomllib.loads(text).get("weight")
    except ValueError as exc:
        raise SpecificationError(f"{source} is not valid TOML: {exc}.", hint=_EXAMPLE) from exc
    if not isinstance(tables, list) or not tables:
        raise SpecificationError(f"{source} has no tables [[weight]].", hint=_EXAMPLE)
    weights, faults = [], []
    for place, table in enumerate(tables, start=1):
        try:
            weights.append(_weight(table))
        except SpecificationError as exc:
            faults.append(f"weight {place}: {str(exc).rstrip('.')}")
    names = [weight.name.casefold() for weight in weights]
    faults += [f"the name '{n}' is used twice" for n in sorted(set(names)) if names.count(n) > 1]
    if faults:
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise SpecificationError(
            f"{source} has {count}: {'; '.join(faults)}.",
            hint="Mend the file and start again.",
            faults=tuple(faults),
        )
    return tuple(weights)


def _weight(table: Mapping[str, object]) -> CheckWeight:
    if not isinstance(table, dict):
        raise SpecificationError("it is no table")
    unknown = [key for key in table if key not in _KEYS]
    if unknown:
        raise SpecificationError(f"'{unknown[0]}' is not known")
    name = table.get("name")
    if not isinstance(name, str) or not name.strip():
        raise SpecificationError("name is missing")
    nominal, certified, uncertainty = (_mass(table, key) for key in _MASSES)
    if nominal is None:
        raise SpecificationError("nominal_g is missing")
    certified_on, due_on = _date(table, "certified_on"), _date(table, "due_on")
    if certified_on and due_on and due_on < certified_on:
        raise SpecificationError("due_on is before certified_on")
    return CheckWeight(
        name=name.strip(),
        nominal_g=nominal,
        weight_class=weight_class(str(table["class"])) if "class" in table else None,
        certified_g=certified,
        uncertainty_g=uncertainty,
        certified_on=certified_on,
        due_on=due_on,
    )


def _mass(table: Mapping[str, object], key: str) -> Decimal | None:
    value = table.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise SpecificationError(f"{key} must be a number of grams")
    if abs(value) >= MOST_G:
        raise SpecificationError(f"{key} must be a number of grams, less than {MOST_G}")
    return Decimal(str(value))


def _date(table: Mapping[str, object], key: str) -> str:
    """Return a date in ISO 8601; TOML has dates of its own, and text will do."""
    value = table.get(key, "")
    if isinstance(value, date) and not isinstance(value, datetime):
        return value.isoformat()
    try:
        return date.fromisoformat(str(value)).isoformat() if value else ""
    except ValueError as exc:
        raise SpecificationError(f"{key} must be a date like 2026-01-15") from exc


def which_weights(wanted: Sequence[str], home: Home) -> tuple[CheckWeight, ...]:
    """Return the weights that are named, or all of weights.toml, lightest first.

    Parameters
    ----------
    wanted : sequence of str
        Names of the file, or ``GRAMS:CLASS``.
    home : Home

    Returns
    -------
    tuple of CheckWeight
        One to four.

    Raises
    ------
    SpecificationError
        If one is not known, the file has faults, or there are none or too many.
    """
    known = _of_file(home)
    weights = [_named(name, known) for name in wanted] if wanted else list(known)
    if not weights:
        raise SpecificationError(
            "It is not known which weights there are.",
            hint="Name one with its class, as in --weight 500:M1, or list them in"
            f" {home.weights_path}.",
        )
    if len(weights) > MOST_WEIGHTS:
        raise SpecificationError(
            f"There are {len(weights)} weights, and a check takes {MOST_WEIGHTS} at most.",
            hint="Name those to be used with --weight NAME, once for each.",
        )
    return tuple(sorted(weights, key=lambda weight: weight.mass_g))


def _of_file(home: Home) -> tuple[CheckWeight, ...]:
    try:
        text = home.weights_path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError) as exc:
        raise SpecificationError(
            f"The file {home.weights_path} cannot be read.",
            hint="It must be a text file in UTF-8 that this user may read.",
        ) from exc
    return read_weights(text, str(home.weights_path))


def _named(name: str, known: Sequence[CheckWeight]) -> CheckWeight:
    for weight in known:
        if weight.name.casefold() == name.strip().casefold():
            return weight
    given = _GIVEN.fullmatch(name.strip())
    if given is None:
        names = ", ".join(f"'{weight.name}'" for weight in known)
        choose = f"Choose one of {names}, or give" if known else "Give"
        raise SpecificationError(
            f"There is no check weight '{name}'.",
            hint=f"{choose} grams and class, as in --weight 500:M1.",
        )
    mass = Decimal(load_from(given["grams"], "--weight")) / 1000
    cls = weight_class(given["cls"])
    return CheckWeight(name=f"{mass.normalize():f} g {cls.value}", nominal_g=mass, weight_class=cls)
