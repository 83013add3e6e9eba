"""Keys and pictures -> what a person asks for, by name: what V names is what it strikes out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.station.bench.keys import ARMED_S, Control, KeyMachine
from weighstation.station.bench.messages import StrikeOut
from weighstation.station.bench.wording import NOTHING_TO_STRIKE, overtaken_text

if TYPE_CHECKING:
    from weighstation.station.bench.snapshot import Snapshot


class Arming:
    """A key machine that remembers which piece its first V named."""

    def __init__(self) -> None:
        self._keys = KeyMachine()
        self._named: Snapshot | None = None
        self._notice = ""
        self._noticed_s = 0.0
        self._pictured: tuple[Snapshot, str, str] | None = None
        self._picture: Snapshot | None = None

    def feed(self, chars: str, t_s: float, latest: Snapshot) -> list[Control | StrikeOut]:
        """Return what the keys that arrived at a time ask for.

        Parameters
        ----------
        chars : str
            May be empty: time passes.
        t_s : float, seconds
            Never less than the time before.
        latest : Snapshot
            The newest there is.

        Returns
        -------
        list of Control or StrikeOut
        """
        self._stand_down_if_overtaken(t_s, latest)
        before = self._keys.armed(t_s)
        asked: list[Control | StrikeOut] = []
        controls = self._keys.feed(chars, t_s)
        for control in controls:
            if control is not Control.VOID:
                asked.append(control)
            elif self._named is not None and self._named.known_number is not None:
                asked.append(StrikeOut(self._named.known_number))
        is_new = before != Control.VOID.value or Control.VOID in controls
        if self._keys.armed(t_s) == Control.VOID.value and is_new:
            self._name(t_s, latest)
        return asked

    def picture(self, t_s: float, latest: Snapshot) -> Snapshot:
        """Return the newest picture with what is armed; the same one while nothing changes.

        Parameters
        ----------
        t_s : float, seconds
        latest : Snapshot

        Returns
        -------
        Snapshot
        """
        armed = self._keys.armed(t_s)
        notice = self._notice if t_s - self._noticed_s < ARMED_S else ""
        made_of = (latest, armed, notice)
        before = self._pictured
        if self._picture is None or before is None or before[0] is not latest or before != made_of:
            self._pictured = made_of
            self._picture = replace(latest, armed=armed, notice=notice or latest.notice)
        return self._picture

    def _name(self, t_s: float, latest: Snapshot) -> None:
        self._named, self._notice = latest, ""
        if latest.known_number is None:
            self._stand_down(NOTHING_TO_STRIKE, t_s)

    def _stand_down_if_overtaken(self, t_s: float, latest: Snapshot) -> None:
        if self._keys.armed(t_s) != Control.VOID.value or self._named is None:
            return
        if latest.happened != self._named.happened:
            self._stand_down(overtaken_text(latest, self._named.known_number), t_s)

    def _stand_down(self, notice: str, t_s: float) -> None:
        self._keys.stand_down()
        self._notice, self._noticed_s = notice, t_s
