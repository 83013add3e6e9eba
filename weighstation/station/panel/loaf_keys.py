"""Keys where baked loaves are weighed: strike out, end, and the number of a piece.

========================  ==================================================
``v``, backspace          strike out the last counted loaf (twice)
``e``                     end (twice)
``0`` to ``9``            the piece of dough that the next loaf was
========================  ==================================================
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.station.bench.keys import ARMED_S, Control, KeyMachine
from weighstation.station.bench.loaf_words import NO_LOAF_TO_STRIKE
from weighstation.station.bench.messages import StrikeOut, Typed

if TYPE_CHECKING:
    from weighstation.station.bench.loaf_snapshot import LoafSnapshot
    from weighstation.station.bench.messages import LoafAsked

_ARROW_OR_FUNCTION = re.compile(r"\x1b(?:[\[O][0-9;]*[@-~]?|.)?", re.DOTALL)
_OF_NUMBERS = "0123456789\r\n"


class LoafKeys:
    """A key machine that remembers which loaf its first V named."""

    def __init__(self) -> None:
        self._keys = KeyMachine()
        self._named: int | None = None
        self._noticed_s = float("-inf")
        self._made_of: tuple[LoafSnapshot, str, bool] | None = None
        self._picture: LoafSnapshot | None = None

    def feed(self, chars: str, t_s: float, latest: LoafSnapshot) -> list[LoafAsked]:
        """Return what the keys that arrived at a time ask for.

        Parameters
        ----------
        chars : str
            May be empty: time passes.
        t_s : float, seconds
            Never less than the time before.
        latest : LoafSnapshot
            The newest there is.

        Returns
        -------
        list of LoafAsked
        """
        if self._is_armed(t_s) and latest.known_number != self._named:
            self._keys.stand_down()  # another loaf has come since the first V
        was_armed = self._is_armed(t_s)
        typed = _ARROW_OR_FUNCTION.sub("", chars)
        asked: list[LoafAsked] = [Typed(char) for char in typed if char in _OF_NUMBERS]
        for control in self._keys.feed(chars, t_s):
            if control is Control.END:
                asked.append(control)
            elif control is Control.VOID and self._named is not None:
                asked.append(StrikeOut(self._named))
        if self._is_armed(t_s) and not was_armed:
            self._name(t_s, latest)
        return asked

    def picture(self, t_s: float, latest: LoafSnapshot) -> LoafSnapshot:
        """Return the newest picture with what is armed; the same one while nothing changes.

        Parameters
        ----------
        t_s : float, seconds
        latest : LoafSnapshot

        Returns
        -------
        LoafSnapshot
        """
        armed, is_noticed = self._keys.armed(t_s), t_s - self._noticed_s < ARMED_S
        before, made_of = self._made_of, (latest, armed, is_noticed)
        if self._picture is None or before is None or before[0] is not latest or before != made_of:
            self._made_of = made_of
            notice = NO_LOAF_TO_STRIKE if is_noticed else latest.notice
            self._picture = replace(latest, armed=armed, notice=notice)
        return self._picture

    def _is_armed(self, t_s: float) -> bool:
        return self._keys.armed(t_s) == Control.VOID.value

    def _name(self, t_s: float, latest: LoafSnapshot) -> None:
        self._named = latest.known_number
        if self._named is None:
            self._keys.stand_down()
            self._noticed_s = t_s
