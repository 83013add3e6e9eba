"""Line -> Entry, kept.

One `Store` protocol; a file that survives a power cut for a bench, memory for a replay or a demo,
and the same digests from both.
"""

from __future__ import annotations

from weighstation.station.stores.memory import MemoryStore
from weighstation.station.stores.opening import open_for_reading, open_for_writing
from weighstation.station.stores.sqlite import SqliteStore
from weighstation.station.stores.store import Store, run_chain

__all__ = [
    "MemoryStore",
    "SqliteStore",
    "Store",
    "open_for_reading",
    "open_for_writing",
    "run_chain",
]
