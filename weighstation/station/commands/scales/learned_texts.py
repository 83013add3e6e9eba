"""What was learned of a scale -> text for a person, or JSON."""

from __future__ import annotations

import json
from itertools import pairwise
from textwrap import fill
from typing import TYPE_CHECKING

from weighstation.acquire.learning import (
    CHECKSUM,
    COMMA,
    DECIMAL_SIGN,
    DIVISION,
    NUMBER,
    SCALE,
    SHAPE,
    STABLE_MARK,
    UNIT,
)
from weighstation.events import Status
from weighstation.quantities import MG_PER_G, MG_PER_UNIT
from weighstation.report.page.printable import printable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.acquire.learning import Learned
    from weighstation.events import Reading

_SAMPLES = 4
_WIDTH = 36
_LINE = 78
_FEW_UNREAD = 0.1
_SIGNS = {".": "a point", ",": "a comma", "": "none, whole numbers"}
_WHY = {
    UNIT: "the lines name no unit; g is taken, or kg where there are three decimals",
    SCALE: "the last digits may be decimals; whole numbers are taken",
    DECIMAL_SIGN: "three digits follow each separator, which may part thousands",
    DIVISION: "too few different weights came; it is learned while weighing",
    STABLE_MARK: "some mark may mean still, but was not seen at rest and moving often enough",
    CHECKSUM: "more than one rule fits every line; the first is used",
    NUMBER: "several numbers of a line vary; the one with a unit, or the first, is taken",
    COMMA: "it may part two numbers; it is taken for a part of one, so look at the last digits",
    SHAPE: "no line was read as a weight",
}
_BY_LOAD = {UNIT, SCALE, DECIMAL_SIGN, NUMBER}


def learned_json(learned: Learned) -> str:
    """Return what was learned as one JSON object.

    Parameters
    ----------
    learned : Learned

    Returns
    -------
    str
    """
    recipe = learned.recipe
    mark = recipe.stable_mark
    told = {
        "shape": learned.shape,
        "unit": learned.unit.value if learned.unit else None,
        "decimals": learned.decimals,
        "decimal_sign": learned.decimal_sign,
        "division_g": None if recipe.division_mg is None else recipe.division_mg / MG_PER_G,
        "stable_mark": None if mark is None else str(mark),
        "checksum": None if recipe.checksum is None else str(recipe.checksum),
        "readings_per_s": _rounded(learned.readings_per_s),
        "settle_s": _rounded(learned.settle_s),
        "open": list(learned.open),
        "refusal": learned.refusal,
        "fits_load": learned.fits_load,
        "lines": len(learned.seen),
        "lines_unread": _unread(learned),
        "profile": recipe.plain(),
    }
    return json.dumps(told, ensure_ascii=False)


def _unread(learned: Learned) -> int:
    """Return how many lines were read neither as a weight nor as a state of the scale."""
    return sum(reading.status is Status.UNREADABLE for reading in learned.seen)


def _rounded(number: float | None) -> float | None:
    return None if number is None else round(number, 2)


def read_lines(learned: Learned) -> str:
    """Return some lines beside what was read from them.

    Parameters
    ----------
    learned : Learned

    Returns
    -------
    str
    """
    rows = [f"  {'what came':<{_WIDTH}}read as\n"]
    rows += [f"  {_raw(one):<{_WIDTH}}{_meant(one, learned)}\n" for one in _some(learned)]
    return "".join(rows) + "\n"


def last_shown(learned: Learned) -> str:
    """Return the last weight as the display of the scale should have it.

    Parameters
    ----------
    learned : Learned
        With a weight at least.

    Returns
    -------
    str
    """
    weights = [reading for reading in learned.seen if reading.gross_mg is not None]
    return _shown(weights[-1], learned) if weights else ""


def _some(learned: Learned) -> Sequence[Reading]:
    """Return lines from all over the session, as many that repeat the one before as others."""
    seen = [reading for reading in learned.seen if reading.raw.strip()]
    again = [after for before, after in pairwise(seen) if before.raw == after.raw]
    other = [after for before, after in pairwise(seen) if before.raw != after.raw]
    chosen = {*_spread(again), *_spread(other), *seen[-1:]}
    return sorted(chosen, key=lambda reading: reading.t_s)


def _spread(readings: Sequence[Reading]) -> Sequence[Reading]:
    step = max(len(readings) / _SAMPLES, 1.0)
    return [readings[int(place * step)] for place in range(min(_SAMPLES, len(readings)))]


def _raw(reading: Reading) -> str:
    text = printable(reading.raw)
    return text if len(text) < _WIDTH else f"{text[: _WIDTH - 4]}..."


def _meant(reading: Reading, learned: Learned) -> str:
    if reading.gross_mg is None:
        return reading.status.value
    mark = learned.recipe.stable_mark
    still = {True: ", still", False: ", moving", None: ""}[reading.stable]
    return _shown(reading, learned) + (still if mark is not None else "")


def _shown(reading: Reading, learned: Learned) -> str:
    unit = learned.unit
    if unit is None or reading.gross_mg is None:
        return ""
    number = f"{float(reading.gross_mg / MG_PER_UNIT[unit]):.{learned.decimals}f}"
    return f"{number.replace('.', learned.decimal_sign or '.')} {unit.value}"


def findings(learned: Learned) -> str:
    """Return what was found out, and what could not be.

    Parameters
    ----------
    learned : Learned

    Returns
    -------
    str
    """
    rows = _facts(learned) if learned.shape else []
    text = "".join(_row(name, said) for name, said in rows)
    if learned.refusal:
        text += fill(learned.refusal, _LINE) + "\n"
    if learned.fits_load is False:
        text += fill(f"  {_misfit(learned)}", _LINE, subsequent_indent="  ") + "\n"
    if learned.open:
        text += "\nNot to be told from these lines:\n"
        text += "".join(_row(name, _WHY[name]) for name in learned.open)
    if _BY_LOAD & set(learned.open):
        text += "A load of known weight settles it.\n"
    return text + "\n"


def _misfit(learned: Learned) -> str:
    if learned.load_mg is None:
        return "No load was seen to be put on, so its weight settles nothing."
    shown = f"{learned.load_mg / MG_PER_G:g} g"
    return f"The load is read as {shown}, not as it is said to weigh: nothing is settled by it."


def _row(name: str, said: str) -> str:
    hang = " " * 16
    return fill(f"  {name:<14}{said}", _LINE, subsequent_indent=hang) + "\n"


def _facts(learned: Learned) -> list[tuple[str, str]]:
    recipe, opened = learned.recipe, learned.open
    mark, division = recipe.stable_mark, recipe.division_mg
    facts = [
        ("Line", learned.shape),
        ("Unit", learned.unit.value if learned.unit else ""),
        ("Decimal sign", _SIGNS[learned.decimal_sign]),
        ("Division", "" if division is None else f"{division / MG_PER_G:g} g"),
        ("Stable mark", "none" if mark is None else str(mark)),
        ("Check", "none" if recipe.checksum is None else str(recipe.checksum)),
        ("Not read", _unread_text(learned)),
        ("Readings", _seconds(learned.readings_per_s, "{:.1f} a second")),
        ("At rest", _seconds(learned.settle_s, "{:.1f} s after a load begins to move it")),
    ]
    sign = COMMA if COMMA in opened else DECIMAL_SIGN
    names = {"Unit": UNIT, "Decimal sign": sign, "Stable mark": STABLE_MARK}
    return [
        (name, f"{said} (not sure)" if names.get(name) in opened else said)
        for name, said in facts
        if said and not (name == "Stable mark" and STABLE_MARK in opened)
    ]


def _unread_text(learned: Learned) -> str:
    unread, lines = _unread(learned), len(learned.seen)
    if unread <= _FEW_UNREAD * lines:
        return ""
    return f"{unread} of {lines} lines: look above which, before you rely on the rest"


def _seconds(number: float | None, form: str) -> str:
    return "" if number is None else form.format(number)
