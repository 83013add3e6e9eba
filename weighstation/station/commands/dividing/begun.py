"""What pages show while a batch is being begun: nobody weighs yet, and nothing has failed."""

from __future__ import annotations

import threading
import time
from typing import TYPE_CHECKING, Self

if TYPE_CHECKING:
    from weighstation.station.pages.bench.feed import Feed

SAY_S = 0.2
PATIENT_S = 5
"""A scale that takes longer to open may not be switched on."""
JOURNAL = "the journal is being opened"
SCALE = "the scale is being opened"
ASKING = "the station asks something at its own keyboard"


class Begun:
    """Says on pages, from a thread of its own, what the station is doing and for how long.

    Opening a scale or a journal may wait for something outside. Whoever does so cannot show
    meanwhile that it is alive; the seconds that are shown tell when it takes too long.

    Parameters
    ----------
    feed : Feed or None
        None where there are no pages.
    product : str
        That will be divided.
    """

    def __init__(self, feed: Feed | None, product: str) -> None:
        self._feed = feed
        self._product = product
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._say_on, name="begun", daemon=True)
        self.does(JOURNAL)

    @property
    def has_pages(self) -> bool:
        """Whether anybody is told."""
        return self._feed is not None

    def __enter__(self) -> Self:
        """Begin to say it."""
        if self._feed is not None:
            self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        """Say it no more."""
        self._closing.set()
        if self._feed is not None:
            self._thread.join()
            self._feed.prepare(None)

    def does(self, what: str) -> None:
        """Say something else from now on.

        Parameters
        ----------
        what : str
            As the rest of a sentence that begins with who.
        """
        self._now = (what, time.monotonic())

    def _say_on(self) -> None:
        assert self._feed is not None
        said = None
        while True:
            saying = _said(*self._now)
            if saying != said:
                said = saying
                self._feed.prepare({"product": self._product, "said": said})
            self._feed.turned()
            if self._closing.wait(SAY_S):
                return


def _said(what: str, began_s: float) -> str:
    seconds = int(time.monotonic() - began_s)
    if not seconds:
        return what
    hint = ": see that it is switched on" if what == SCALE and seconds >= PATIENT_S else ""
    return f"{what}, {seconds} s{hint}"
