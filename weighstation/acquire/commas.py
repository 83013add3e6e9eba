"""Commas inside numbers -> whether they may part two fields instead of being a decimal sign."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_BEHIND_TOO = re.compile(r"[0-9],[0-9]+[+-]?[ ]*,[ ]*[A-Za-z]")
_MANY_HEADS = 5
_FEW_TAILS = 2
_HALVES = 5  # a division of a half shows two last digits only, 0 and 5


def may_part_fields(runs: Sequence[str], texts: Iterable[str]) -> bool:
    """Say whether a comma in some numbers may stand between two of them.

    It may where one parts the number from what is behind it too, as in ``742,1,g``; where the
    digits behind it are not always as many; and where they hardly change while those before it
    do, as a code beside a weight.

    Parameters
    ----------
    runs : sequence of str
        Digits of the weights, with points and commas.
    texts : iterable of str
        The lines that they are from.

    Returns
    -------
    bool

    Examples
    --------
    >>> may_part_fields(["742,1"], ["742,1,g"]), may_part_fields(["742,5"], ["742,5 g"])
    (True, False)
    """
    parted = [run.rpartition(",") for run in runs if "," in run and "." not in run]
    if not parted:
        return False
    heads, tails = {head for head, _, _ in parted}, {tail for _, _, tail in parted}
    is_code = len(tails) <= _FEW_TAILS and any(int(tail) % _HALVES for tail in tails)
    return (
        len({len(tail) for tail in tails}) > 1
        or (is_code and len(heads) >= _MANY_HEADS)
        or any(_BEHIND_TOO.search(text) for text in texts)
    )
