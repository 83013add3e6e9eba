"""The pages of a bench whose pictures a test makes up; what is touched is kept for it."""

from __future__ import annotations

import json
import tempfile
import threading
from contextlib import contextmanager
from pathlib import Path
from queue import SimpleQueue
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from bench_pictures import USUAL

from weighstation.station.pages.bench.feed import Feed
from weighstation.station.pages.bench.state import bench_state
from weighstation.station.pages.place import Place
from weighstation.station.pages.serving import serving

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.station.bench.snapshot import Snapshot

TURN_S = 0.05


class Stand:
    """In the place of a runner: shows what it is given, and turns all the time.

    Attributes
    ----------
    url : str
    asked : list
        What was asked of the bench.
    turns : bool
        Whether the weighing loop is alive.
    """

    def __init__(self, feed: Feed, url: str) -> None:
        self.url = url
        self.feed = feed
        self.asked: list[Any] = []
        self.turns = True
        self.idle: dict[str, object] = {}
        self.is_over = False
        self.session = SimpleNamespace(snapshot=USUAL)
        self.on_turn: Any = None
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._turn, daemon=True)
        self.start_batch()
        self._thread.start()

    def start_batch(self) -> None:
        """Begin another batch."""
        self.feed.follow(self)  # type: ignore[arg-type]

    def show(self, picture: Snapshot) -> str:
        """Show a picture; return what a page is told of it, as JSON."""
        self.session.snapshot = picture
        self.feed.turned()
        said = {"idle": self.idle, "preparing": None}
        return json.dumps({"batch": self.feed.batch, **bench_state(picture), **said})

    def wait_with(self, idle: dict[str, object]) -> None:
        """Say what can be begun from the page."""
        self.idle = idle
        self.feed.wait_with(idle)

    def tell(self, asked: Any) -> None:
        """Keep what was asked."""
        self.asked.append(asked)

    def close(self) -> None:
        """Turn no more."""
        self._closing.set()
        self._thread.join()

    def _turn(self) -> None:
        while not self._closing.wait(TURN_S):
            if self.turns:
                self.feed.turned()


@contextmanager
def standing(port: int = 0) -> Iterator[Stand]:
    """Serve a stand until left."""
    feed = Feed(SimpleQueue())
    place = Place("127.0.0.1", port)
    with tempfile.TemporaryDirectory() as folder, serving(place, feed, Path(folder)) as url:
        stand = Stand(feed, url)
        try:
            yield stand
        finally:
            stand.close()
