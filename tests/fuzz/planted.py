"""Bugs to put in on purpose, to see that the laws find them."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weighstation.acquire import decoder, hid, lines
from weighstation.acquire.decoder import Decoder
from weighstation.acquire.lines import LineSplitter
from weighstation.acquire.resolution import Resolution

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True, slots=True)
class Bug:
    """One thing replaced by a wrong one, and the target that has to see it."""

    target: str
    owner: Any
    name: str
    wrong: Any

    def put_in(self, setter: Callable[[Any, str, Any], None]) -> None:
        """Put it in, by ``setattr`` or by the one of ``monkeypatch``."""
        setter(self.owner, self.name, self.wrong)


def _skip_on(self: LineSplitter, stream: bytes) -> list[bytes]:
    """Cut, but go on skipping when a torn frame is over."""
    was_skipping = self._skipping
    found = _cut_frames(self, stream)
    self._skipping = was_skipping
    return [] if was_skipping else found


def _keep_remnant(self: Decoder, line: bytes, t_s: float) -> None:
    """Give out a remnant, but go on comparing with the line before it."""
    last, _ = self._last_line, _give_remnant(self, line, t_s)
    self._last_line = last


def _one_off(unit: Any, decimals: int) -> Resolution:
    return Resolution(unit, decimals + (decimals > 2))


_cut_frames = LineSplitter._cut_frames
_give_remnant = Decoder._give_remnant

BUGS = {
    "a line of any length": Bug("lines", lines, "MAX_BYTES", sys.maxsize),
    "an exponent that is one off where it is small": Bug("hid", hid, "Resolution", _one_off),
    "a splitter that skips on after a torn line": Bug(
        "back_in_step", LineSplitter, "_cut_frames", _skip_on
    ),
    "a remnant for ever": Bug("back_in_step", Decoder, "_give_remnant", _keep_remnant),
    "a weight without bounds": Bug("lines", decoder, "MAX_WEIGHT_MG", sys.float_info.max),
}
