"""Temperatures of a dough as they were noted: typed as pairs, or in a file."""

from __future__ import annotations

import csv
import re
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import TemperatureLog

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

HEAD = ("minutes", "temp_c")
MOST_NAMED = 5
"""Faults of a file that are named; who mends these sees the others."""
_NUMBER = re.compile(r"[+-]?(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)")


def log_from(words: Sequence[str], file: Path | None) -> TemperatureLog:
    """Return a log of temperatures from what was typed, or from a file.

    Parameters
    ----------
    words : sequence of str
        Each ``MINUTE=CELSIUS``.
    file : Path or None

    Returns
    -------
    TemperatureLog

    Raises
    ------
    SpecificationError
        If both or none are given, a number is none, or the log cannot be.
    """
    if bool(words) == (file is not None):
        raise SpecificationError(
            "A proof takes temperatures.",
            hint="Type them as MINUTE=CELSIUS, like 0=26 30=35, or give a file with --log.",
        )
    notes = [_typed(word) for word in words] if file is None else _read(file)
    minutes, temps_c = zip(*notes, strict=True)
    return TemperatureLog(minutes, temps_c)


def _typed(word: str) -> tuple[float, float]:
    minute, _, temp_c = word.partition("=")
    numbers = _number(minute), _number(temp_c)
    if numbers[0] is None or numbers[1] is None:
        raise SpecificationError(
            f"'{word}' is no temperature at a minute.",
            hint="Type it as MINUTE=CELSIUS, like 30=26.",
        )
    return numbers[0], numbers[1]


def _number(text: str) -> float | None:
    typed = text.strip()
    return float(typed.replace(",", ".")) if _NUMBER.fullmatch(typed) else None


def _read(file: Path) -> list[tuple[float, float]]:
    try:
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as exc:
        raise SpecificationError(
            f"The file '{file}' cannot be read.",
            hint="It must be a text file in UTF-8 that this user may read.",
        ) from exc
    head, *lines = text.splitlines() or [""]
    mark = ";" if ";" in head else ","
    if tuple(name.strip() for name in head.split(mark)) != HEAD:
        raise SpecificationError(
            f"The file '{file}' does not begin with a line {mark.join(HEAD)}.",
            hint="Write it as the first line; with a semicolon in it, a decimal comma may be used.",
        )
    return _rows(file, list(csv.reader(lines, delimiter=mark)))


def _rows(file: Path, rows: list[list[str]]) -> list[tuple[float, float]]:
    notes, faults = [], []
    for line, row in enumerate(rows, 2):
        if not row:
            continue
        numbers = [_number(cell) for cell in row]
        if len(numbers) == len(HEAD) and None not in numbers:
            notes.append((numbers[0] or 0.0, numbers[1] or 0.0))
        else:
            faults.append(f"line {line}")
    if faults:
        more = f" and {len(faults) - MOST_NAMED} more" if len(faults) > MOST_NAMED else ""
        raise SpecificationError(
            f"The file '{file}' has no minute and temperature in"
            f" {', '.join(faults[:MOST_NAMED])}{more}.",
            hint="Give two numbers in each line, like 30,26.5.",
        )
    if not notes:
        raise SpecificationError(
            f"The file '{file}' has no temperature in it.",
            hint="Give two numbers in each line, like 30,26.5.",
        )
    return notes
