"""Some lines of a store, each held against the one before it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.errors import ChainBrokenError
from weighstation.journal import digest

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weighstation.journal import Entry
    from weighstation.station.stores import Store


def chained(store: Store, start: int, *, hint: str) -> Iterator[Entry]:
    """Yield the lines from one on; refuse the first that does not follow from the one before it.

    Parameters
    ----------
    store : Store
    start : int
        Number of the first line wanted.
    hint : str
        What to do where one does not.

    Yields
    ------
    Entry

    Raises
    ------
    ChainBrokenError
        Naming it.
    """
    prev = next(store.entries(start - 1)).digest if start > 1 else store.journal_id
    for entry in store.entries(start):
        if entry.digest != digest(prev, entry):
            raise ChainBrokenError(
                f"Line {entry.seq} does not follow from the lines before it.",
                seq=entry.seq,
                hint=hint,
            )
        prev = entry.digest
        yield entry


def seen_broken(store: Store, numbers: Iterable[int], *, hint: str) -> ChainBrokenError | None:
    """Return why a few lines do not hold; no other line is looked at.

    Parameters
    ----------
    store : Store
    numbers : iterable of int
        Of the lines.
    hint : str
        What to do where one does not.

    Returns
    -------
    ChainBrokenError or None
        For the first of them that does not; None where they do.
    """
    try:
        for number in numbers:
            next(chained(store, number, hint=hint))
    except ChainBrokenError as exc:
        return exc
    return None
