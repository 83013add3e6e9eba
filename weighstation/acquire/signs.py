"""Numbers of many lines -> what points and commas mean on that port."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.quantities import Unit

if TYPE_CHECKING:
    from collections.abc import Iterable

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


def guess_signs(signs: Signs, unit: Unit | None) -> Signs:
    """Return the likelier of two readings of ``1,234``: no dough is weighed to the milligram.

    Parameters
    ----------
    signs : Signs
        As learned.
    unit : Unit or None

    Returns
    -------
    Signs
        The same where they are certain.
    """
    return Signs("", certain=False) if unit is Unit.GRAM and not signs.certain else signs
