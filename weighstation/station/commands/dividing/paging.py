"""A batch in a browser, where that was asked for."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from queue import SimpleQueue

    from weighstation.station.pages.bench.feed import Feed
    from weighstation.station.pages.bench.starting import Start
    from weighstation.station.pages.place import Place


@contextmanager
def feed_at(place: Place, starts: SimpleQueue[Start] | None = None) -> Iterator[Feed]:
    """Serve pages until left, and say where.

    Parameters
    ----------
    place : Place
    starts : SimpleQueue of Start or None
        Where batches go that are begun from a page; None where none can be.

    Yields
    ------
    Feed
        That follows a batch.

    Raises
    ------
    SpecificationError
        If nothing can be served there, or the extra ``pages`` is missing.
    """
    try:
        from weighstation.station.pages.bench.feed import Feed  # noqa: PLC0415 - an extra
        from weighstation.station.pages.serving import serving  # noqa: PLC0415 - an extra
    except ModuleNotFoundError as exc:
        raise SpecificationError(
            "Pages need an extra that is not installed.",
            hint=f"Install it with '{sys.executable} -m pip install \"weighstation[pages]\"'.",
        ) from exc
    feed = Feed(starts)
    with serving(place, feed) as url:
        sys.stderr.write(f"The bench is shown at {url}\n")
        yield feed
