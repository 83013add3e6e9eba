"""A few dozen lines -> the mark that says the weight is stable, or that no mark does.

A mark is refuted by one line that carries it while the display moves. It is believed where it was
carried at rest on the empty pan and under the load too; where it was neither, the question is open.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.acquire.fields import NUMBER_MARK
from weighstation.acquire.marks import StableMark

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.acquire.stillness import Indication, Plateaus

ENOUGH_MOVES = 3
ENOUGH_AT_REST = 2  # lines at each of two levels
MOST_CODES = 6
"""A field with more values than that is a count or a check, and not a state."""
_NEAR = 0.05  # of the load
_CODE = re.compile(rf"[<>](?:[0-9]+\t[0-9]+|[0-9A-Fa-f]{{1,8}}|{NUMBER_MARK})")


@dataclass(frozen=True, slots=True)
class Found:
    """What is known of the stable mark.

    Parameters
    ----------
    mark : StableMark or None
        None where no mark means stable, and where it is open.
    is_open : bool
        Some mark may mean it.
    """

    mark: StableMark | None
    is_open: bool = False


def find_stable_mark(rows: Sequence[Indication], plateaus: Plateaus) -> Found:
    """Return the mark that only lines at rest carry.

    Parameters
    ----------
    rows : sequence of Indication
    plateaus : Plateaus
        Of the same.

    Returns
    -------
    Found
    """
    varying, is_coded = _without_codes(_varying(rows), rows)
    moves = sum(plateaus.moved)
    if not varying:
        unseen = moves < ENOUGH_MOVES and any(row.marks for row in rows)
        return Found(None, is_open=unseen or is_coded or _speak_otherwise(rows))
    suspects = [StableMark(mark, present) for present in (True, False) for mark in sorted(varying)]
    if moves < ENOUGH_MOVES:
        return Found(None, is_open=True)
    unrefuted: dict[tuple[bool, ...], StableMark] = {}
    for suspect in suspects:
        carried = tuple(suspect.holds_for(row.marks) for row in rows)
        if any(carried) and not any(map(_both, carried, plateaus.moved)):
            unrefuted.setdefault(carried, suspect)
    for is_proved in (_is_proved_at_both_ends, _is_proved_under_load):
        proved = [carried for carried in unrefuted if is_proved(carried, rows, plateaus)]
        if proved:
            widest = max(proved, key=sum)
            agree = all(_within(carried, widest) for carried in proved)
            return Found(unrefuted[widest]) if agree else Found(None, is_open=True)
    return Found(None, is_open=bool(unrefuted) or is_coded or _speak_otherwise(rows))


def _without_codes(marks: set[str], rows: Sequence[Indication]) -> tuple[set[str], bool]:
    """Return marks without those that a check may be of; say whether there are any.

    A check has many values, and its digits are the same whenever the weight is, so that they would
    seem to tell of rest.
    """
    codes: set[str] = set()
    for side in "<>":
        alike = {mark for mark in marks if mark.startswith(side) and _CODE.fullmatch(mark)}
        values = {row.marks & alike for row in rows}
        is_check = max(len(alike), len(values)) > MOST_CODES
        codes |= {mark for mark in alike if is_check or _follows_the_weight(mark, rows)}
    return marks - codes, bool(codes)


def _follows_the_weight(mark: str, rows: Sequence[Indication]) -> bool:
    """Say whether no weight was seen with a mark and without it too."""
    with_it = {row.gross_mg for row in rows if mark in row.marks}
    return with_it.isdisjoint(row.gross_mg for row in rows if mark not in row.marks)


def _speak_otherwise(rows: Sequence[Indication]) -> bool:
    """Say whether something else in the lines varies, which no mark stands for: another number."""
    return len({row.rest for row in rows}) > len({row.marks for row in rows})


def _varying(rows: Sequence[Indication]) -> set[str]:
    """Return marks that some lines carry and others do not."""
    everywhere = frozenset.intersection(*(row.marks for row in rows))
    return {mark for row in rows for mark in row.marks} - everywhere


def _is_proved_at_both_ends(
    carried: tuple[bool, ...], rows: Sequence[Indication], plateaus: Plateaus
) -> bool:
    """Say whether a mark was carried at rest on the empty pan and under the load."""
    low, high = _at_ends(carried, rows, plateaus)
    return min(low, high) >= ENOUGH_AT_REST


def _is_proved_under_load(
    carried: tuple[bool, ...], rows: Sequence[Indication], plateaus: Plateaus
) -> bool:
    """Say whether a mark came with rest under the load: zero has a mark of its own.

    Lines that weighed as much while the display still moved, or had just come to rest, must lack
    it, so that it is no mark of the weight.
    """
    _, high = _at_ends(carried, rows, plateaus)
    _, without = _at_ends(tuple(not is_so for is_so in carried), rows, plateaus)
    return high >= ENOUGH_AT_REST and without >= 1


def _at_ends(
    carried: tuple[bool, ...], rows: Sequence[Indication], plateaus: Plateaus
) -> tuple[int, int]:
    """Return how many lines with a mark lie near the lowest and near the highest level of rest."""
    if not plateaus.step_mg:
        return 0, 0
    low_mg = min(plateaus.levels_mg)
    shares = [
        (row.gross_mg - low_mg) / plateaus.step_mg
        for row, is_so in zip(rows, carried, strict=True)
        if is_so
    ]
    return sum(abs(x) < _NEAR for x in shares), sum(abs(x - 1) < _NEAR for x in shares)


def _both(one: bool, other: bool) -> bool:  # noqa: FBT001 - two of a kind
    return one and other


def _within(inner: tuple[bool, ...], outer: tuple[bool, ...]) -> bool:
    return all(not one or other for one, other in zip(inner, outer, strict=True))
