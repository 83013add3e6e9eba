"""Pieces of many batches in a few bytes each, so that a year of them fits into memory."""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from itertools import chain
from typing import TYPE_CHECKING, overload

from weighstation.events import Verdict
from weighstation.journal import PieceFacts
from weighstation.report.dossier.evidence import Counting

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

_UNSAID = -(2**63)
"""Stands for what nobody said of a piece."""
_VERDICTS = tuple(Verdict)
_PART, _OF_COUNTING = 8, 3


class PackedPieces(Sequence[PieceFacts]):
    """Pieces as 64 bytes each; one is a value again when it is asked for.

    Parameters
    ----------
    pieces : iterable of PieceFacts
    """

    __slots__ = ("_parts",)

    def __init__(self, pieces: Iterable[PieceFacts]) -> None:
        self._parts = array("q", chain.from_iterable(map(_packed, pieces)))

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._parts) // _PART

    @overload
    def __getitem__(self, place: int) -> PieceFacts: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[PieceFacts]: ...
    def __getitem__(self, place: int | slice) -> PieceFacts | Sequence[PieceFacts]:
        """Return the piece at a place, or those of a slice."""
        places = range(len(self))[place]
        if isinstance(places, int):
            return _unpacked(self._parts[_PART * places : _PART * (places + 1)])
        return tuple(self[each] for each in places)

    def __iter__(self) -> Iterator[PieceFacts]:
        """Yield each piece."""
        return (self[place] for place in range(len(self)))


def _packed(piece: PieceFacts) -> tuple[int, ...]:
    said = (piece.first_mg, piece.touches, piece.ms, piece.dough_age_ms)
    verdict = _VERDICTS.index(piece.verdict)
    unsaid = (_UNSAID if part is None else part for part in said)
    return (piece.number, piece.final_mg, piece.placed_ms, verdict, *unsaid)


def _unpacked(parts: array[int]) -> PieceFacts:
    number, final_mg, placed_ms, verdict, *maybe = parts
    first_mg, touches, ms, dough_age_ms = (None if part == _UNSAID else part for part in maybe)
    return PieceFacts(
        number, first_mg, final_mg, touches, ms, placed_ms, _VERDICTS[verdict], dough_age_ms
    )


class PackedNumbers(Mapping[int, int]):
    """A number to each of some numbers, 16 bytes a pair.

    Parameters
    ----------
    pairs : mapping of int to int
    """

    __slots__ = ("_keys", "_values")

    def __init__(self, pairs: Mapping[int, int]) -> None:
        self._keys = array("q", sorted(pairs))
        self._values = array("q", (pairs[key] for key in self._keys))

    def __getitem__(self, key: int) -> int:
        """Return what belongs to a number."""
        return self._values[_place(self._keys, key)]

    def __iter__(self) -> Iterator[int]:
        """Yield the numbers that something belongs to, in order."""
        return iter(self._keys)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._keys)


class PackedCountings(Mapping[int, Counting]):
    """What counted each piece, by its number, 32 bytes a piece.

    Parameters
    ----------
    counted : mapping of int to Counting
    """

    __slots__ = ("_keys", "_parts", "_runs")

    def __init__(self, counted: Mapping[int, Counting]) -> None:
        self._runs = tuple(dict.fromkeys(each.run for each in counted.values()))
        place = {run: number for number, run in enumerate(self._runs)}
        self._keys = array("q", sorted(counted))
        found = (counted[key] for key in self._keys)
        parts = ((each.line, place[each.run], each.written_utc_ms) for each in found)
        self._parts = array("q", chain.from_iterable(parts))

    def __getitem__(self, key: int) -> Counting:
        """Return what counted a piece."""
        at = _OF_COUNTING * _place(self._keys, key)
        line, run, written_utc_ms = self._parts[at : at + _OF_COUNTING]
        return Counting(line, self._runs[run], written_utc_ms)

    def __iter__(self) -> Iterator[int]:
        """Yield the numbers of the pieces, in order."""
        return iter(self._keys)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._keys)


def _place(keys: array[int], key: int) -> int:
    place = bisect_left(keys, key)
    if place == len(keys) or keys[place] != key:
        raise KeyError(key)
    return place
