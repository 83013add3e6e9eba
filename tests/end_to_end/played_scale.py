"""A scale that a test plays into a pseudo-terminal: what lies on its pan is the test's to say."""

from __future__ import annotations

import os
import queue
import threading
import tty
from contextlib import suppress
from random import Random
from typing import TYPE_CHECKING

from weighstation.simulate import PanSpec, ScaleSpec
from weighstation.simulate.scale import Scale
from weighstation.simulate.strokes import Key, Stroke

if TYPE_CHECKING:
    from collections.abc import Iterable

IDLE = Stroke(0.5)
PAUSE_S = 0.01


class PlayedScale:
    """A scale whose pan the test loads; it sends lines all the time, about 100 times as fast."""

    def __init__(self, *, seed: int, capacity_g: float = 16_000.0) -> None:
        self.rate_hz = 10.0
        self._near, self._far = os.openpty()
        tty.setraw(self._far)
        os.set_blocking(self._near, False)
        pan = PanSpec(natural_hz=12.0, working_g=1900.0, pan_g=800.0)
        spec = ScaleSpec(capacity_g=capacity_g, rate_hz=self.rate_hz, pan=pan)
        self._scale = Scale(spec, Random(seed))
        self._strokes: queue.SimpleQueue[Stroke] = queue.SimpleQueue()
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._play, daemon=True)
        self._thread.start()

    @property
    def url(self) -> str:
        return f"simulated://{os.ttyname(self._far)}?speed=max&rate={self.rate_hz:g}"

    def load(self, grams: float, *, for_s: float = 2.0) -> None:
        """Put a load onto the pan, leave it for some seconds, and take it off again."""
        on, off = Stroke(0.4, load_g=grams), Stroke(0.4, load_g=0.0)
        self._put([on, Stroke(for_s), off, Stroke(1.6)])

    def tare_with(self, grams: float) -> None:
        """Lay something on the pan, press the tare key, and take it off: what bakers do by slip."""
        self._put(
            [
                Stroke(0.4, load_g=grams),
                Stroke(2.0),
                Stroke(0.2, key=Key.TARE),
                Stroke(1.0),
                Stroke(0.4, load_g=0.0),
                Stroke(2.0),
            ]
        )

    def close(self) -> None:
        self._closing.set()
        self._thread.join(5)
        os.close(self._near)
        os.close(self._far)

    def _put(self, strokes: Iterable[Stroke]) -> None:
        for stroke in strokes:
            self._strokes.put(stroke)

    def _play(self) -> None:
        with suppress(OSError):
            while not self._closing.is_set():
                try:
                    stroke = self._strokes.get_nowait()
                except queue.Empty:
                    stroke = IDLE
                    self._closing.wait(PAUSE_S)
                for sent in self._scale.play(stroke):
                    self._send(sent.line)

    def _send(self, line: bytes) -> None:
        while line and not self._closing.is_set():
            try:
                line = line[os.write(self._near, line) :]
            except BlockingIOError:
                self._closing.wait(PAUSE_S)
