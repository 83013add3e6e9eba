"""A batch in a browser, where that was asked for."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.station.pages.bench.feed import Feed
    from weighstation.station.pages.place import Place


@contextmanager
def feed_at(place: Place) -> Iterator[Feed]:
    """Serve pages until left, and say where.

    Parameters
    ----------
    place : Place

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
        from weighstation.station.pages.serving import serving  # noqa: PLC0415 - an extra
    except ModuleNotFoundError as exc:
        raise SpecificationError(
            "Pages need an extra that is not installed.",
            hint=f"Install it with '{sys.executable} -m pip install \"weighstation[pages]\"'.",
        ) from exc
    with serving(place) as served:
        sys.stderr.write(f"The bench is shown at {served.url}\n")
        yield served.feed
