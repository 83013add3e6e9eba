"""Keys and pictures -> what a person asks for, by name: what a first press names is what is meant.

So V strikes out the piece that it named, and a key for boards means the board that it named.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from weighstation.station.bench.board_words import NO_BOARDS, NOTHING_MEANT
from weighstation.station.bench.keys import ARMED_S, OF_BOARDS, Control, KeyMachine
from weighstation.station.bench.messages import BoardAsked, StrikeOut
from weighstation.station.bench.wording import NOTHING_TO_STRIKE, overtaken_text

if TYPE_CHECKING:
    from weighstation.station.bench.messages import Asked
    from weighstation.station.bench.snapshot import Snapshot


class Arming:
    """A key machine that remembers which piece or board a first press named."""

    def __init__(self) -> None:
        self._keys = KeyMachine()
        self._named: Snapshot | None = None
        self._notice = ""
        self._noticed_s = 0.0
        self._board: int | None = None
        self._pictured: tuple[Snapshot, str, int | None, str] | None = None
        self._picture: Snapshot | None = None

    def feed(self, chars: str, t_s: float, latest: Snapshot) -> list[Asked]:
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
        list of Asked
        """
        self._stand_down_if_overtaken(t_s, latest)
        asked: list[Asked] = []
        for char in chars or ("",):
            asked += self._feed_one(char, t_s, latest)
        return asked

    def _feed_one(self, char: str, t_s: float, latest: Snapshot) -> list[Asked]:
        before = self._keys.armed(t_s)
        asked: list[Asked] = []
        controls = self._keys.feed(char, t_s)
        for control in controls:
            asked += self._meant(control)
        armed = self._keys.armed(t_s)
        is_new = before != armed or bool(controls)
        if armed == Control.VOID.value and is_new:
            self._name(t_s, latest)
        self._name_board(armed, t_s, latest, is_new=is_new)
        return asked

    def _meant(self, control: Control) -> list[Asked]:
        """Return what is asked for by name; nothing where nothing was named."""
        match control:
            case Control.TURN | Control.PAUSE | Control.DOUGH | Control.END:
                return [control]
            case Control.VOID:
                number = None if self._named is None else self._named.known_number
                return [] if number is None else [StrikeOut(number)]
            case Control.CLOSE | Control.BENCH | Control.OVEN_IN | Control.OVEN_OUT:
                return [] if self._board is None else [BoardAsked(control, self._board)]
            case _:
                assert_never(control)

    def _name_board(self, armed: str, t_s: float, latest: Snapshot, *, is_new: bool) -> None:
        """Note which board a key means: the one whose number is typed, else the next by its age."""
        controls = [control for control in OF_BOARDS if control.value == armed]
        if not controls:
            self._board = None
        elif self._keys.typed is not None:
            self._board = self._keys.typed
        elif is_new:
            self._notice = ""
            meant = latest.clocks.meant(controls[0])
            self._board = meant.number if meant is not None else None
            if meant is None:
                known = latest.clocks.record is not None
                self._stand_down(NOTHING_MEANT[controls[0]] if known else NO_BOARDS, t_s)

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
        made_of = (latest, armed, self._board, notice)
        before = self._pictured
        if self._picture is None or before is None or before[0] is not latest or before != made_of:
            self._pictured = made_of
            self._picture = replace(
                latest, armed=armed, armed_board=self._board, notice=notice or latest.notice
            )
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
