"""A batch in a browser, where that was asked for."""

from __future__ import annotations

import sys
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path
    from queue import SimpleQueue

    from weighstation.station.pages.bench.feed import Feed
    from weighstation.station.pages.bench.starting import Start
    from weighstation.station.pages.place import Place

PAIR = "Other devices are let in by a link: type 'weighstation pair --role bench'.\n"
PLAIN_HTTP = (
    "Beware, this is plain HTTP: whoever can listen on the network (a guest on the same Wi-Fi, a"
    " router that was broken into) can read what the pages show, take a device's key and do what"
    " that device may do, and change what is sent either way. Keep it on a network of your own, or"
    " give --certificate and --key.\n"
)


@contextmanager
def feed_at(place: Place, folder: Path, starts: SimpleQueue[Start] | None = None) -> Iterator[Feed]:
    """Serve pages until left, and say where, and what to beware of.

    Parameters
    ----------
    place : Place
    folder : Path
        Home of the station.
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
    JournalFullError
        If the home folder cannot be written to.
    SchemaTooNewError
        If the file of devices was written by a newer weighstation.
    """
    try:
        from weighstation.station.pages.bench.feed import Feed  # noqa: PLC0415 - an extra
        from weighstation.station.pages.door.certificate import cautions  # noqa: PLC0415 - an extra
        from weighstation.station.pages.serving import serving  # noqa: PLC0415 - an extra
    except ModuleNotFoundError as exc:
        raise SpecificationError(
            "Pages need an extra that is not installed.",
            hint=f"Install it with '{sys.executable} -m pip install \"weighstation[pages]\"'.",
        ) from exc
    feed = Feed(starts)
    with serving(place, feed, folder) as url:
        sys.stderr.write(f"The bench is shown at {url}\n")
        if place.certificate is not None:
            said = cautions(place.certificate, time.time())
            sys.stderr.writelines(f"{each}\n" for each in said)
        if place.is_on_network:
            sys.stderr.write(PAIR)
            if place.certificate is None:
                sys.stderr.write(PLAIN_HTTP)
        yield feed
