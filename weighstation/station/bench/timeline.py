"""Station time -> UTC, for the journal."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime


@dataclass(frozen=True, slots=True)
class VirtualTime:
    """Time of a recording or a simulation: it began at a known moment.

    Parameters
    ----------
    began_ms : int, milliseconds since 1970
        UTC of ``t_s = 0``.
    """

    began_ms: int = 0

    @classmethod
    def since(cls, began: datetime | None) -> VirtualTime:
        """Return the time of a recording that began then; of one that does not say, 1970.

        Parameters
        ----------
        began : datetime or None

        Returns
        -------
        VirtualTime
        """
        return cls(round(began.timestamp() * 1000) if began else 0)

    def utc_ms(self, t_s: float, now_s: float) -> int:
        """Return the moment of something that happened.

        Parameters
        ----------
        t_s : float, seconds
            When it happened.
        now_s : float, seconds
            Station time now; not needed here.

        Returns
        -------
        int, milliseconds since 1970
        """
        del now_s
        return self.began_ms + round(t_s * 1000)


@dataclass(frozen=True, slots=True)
class WallTime:
    """Time of a live bench: the machine's clock, which may be set while a batch runs.

    Parameters
    ----------
    speed : float
        Seconds of the station clock in one of the machine's, as `pace.speed_of` says.
    """

    speed: float = 1.0

    def utc_ms(self, t_s: float, now_s: float) -> int:
        """Return the moment of something that happened.

        Parameters
        ----------
        t_s : float, seconds
            When it happened, on the station clock.
        now_s : float, seconds
            Station time now.

        Returns
        -------
        int, milliseconds since 1970
        """
        ago_s = max(now_s - t_s, 0.0) / self.speed
        return time.time_ns() // 1_000_000 - round(ago_s * 1000)


Timeline = VirtualTime | WallTime
