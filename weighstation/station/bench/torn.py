"""Counts of lines -> whether so many of them come torn that something else must be reading too."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.acquire import Counts

WINDOW_FRAMES = 40
TORN_SHARE = 0.25
SENTENCE = (
    "Many lines of the scale come torn: another program may be reading it too, or the cable is"
    " bad. See what 'weighstation scales' says."
)


class TornLines:
    """Looks at so many lines at a time."""

    def __init__(self) -> None:
        self.sentence = ""
        self._frames = self._bad = 0

    def see(self, counts: Counts) -> None:
        """Take the counts of all lines until now in.

        Parameters
        ----------
        counts : Counts
        """
        frames, bad = counts.frames - self._frames, counts.unreadable - self._bad
        if frames < WINDOW_FRAMES:
            return
        self._frames, self._bad = counts.frames, counts.unreadable
        self.sentence = SENTENCE if TORN_SHARE <= bad / frames < 1.0 else ""
