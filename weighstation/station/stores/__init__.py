"""Line -> Entry, kept.

One `Store` protocol; a file that survives a power cut for a bench, memory for a replay or a demo,
and the same digests from both. The file's modules are imported when they are first asked for,
because a replay needs no database.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.station.stores.memory import MemoryStore
from weighstation.station.stores.store import Store, run_chain

if TYPE_CHECKING:
    from weighstation.station.stores.opening import (
        is_empty_file,
        open_for_reading,
        open_for_writing,
    )
    from weighstation.station.stores.sqlite import SqliteStore

__all__ = [
    "MemoryStore",
    "SqliteStore",
    "Store",
    "is_empty_file",
    "open_for_reading",
    "open_for_writing",
    "run_chain",
]


def __getattr__(name: str) -> object:
    """Return a name of the file store, imported now."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from weighstation.station.stores import opening  # noqa: PLC0415 - see above

    return getattr(opening, name)
