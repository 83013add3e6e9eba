"""The truth, written down while the hands make it."""

from __future__ import annotations

from collections import Counter, deque
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

Truth = dict[str, Any]
_KEPT = 2000


class Fate(Enum):
    """What became of a piece in the end."""

    KEPT = "kept"
    BOARDED = "boarded"
    DISCARDED = "discarded"


@dataclass(slots=True)
class _Stay:
    """A piece on the pan, once or, for the piece as a whole, all its times together."""

    number: int
    placed_s: float
    first_g: float
    final_g: float
    piece: int = 0
    touches: int = 0
    left_s: float | None = None
    fate: Fate | None = None


@dataclass(slots=True)
class _Rest:
    visit: int
    touch: int
    from_s: float
    net_g: float
    to_s: float | None = None
    mark_s: float | None = None


@dataclass(slots=True)
class Ledger:
    """True weights and times.

    Parameters
    ----------
    now_s : float, seconds
        The simulated time; whoever plays the strokes sets it.

    Notes
    -----
    Only the last 2000 pieces are kept, so that a bench may be played for days.
    """

    now_s: float = 0.0
    happened: Counter[str] = field(default_factory=Counter)
    _pieces: deque[_Stay] = field(default_factory=lambda: deque(maxlen=_KEPT))
    _loads: deque[_Stay] = field(default_factory=lambda: deque(maxlen=2 * _KEPT))
    _rests: deque[_Rest] = field(default_factory=lambda: deque(maxlen=5 * _KEPT))

    def placed(self, net_g: float, *, again: bool = False) -> None:
        """Write down that a piece touches the pan.

        Parameters
        ----------
        net_g : float, grams
        again : bool
            It is the piece before, corrected away from the pan: one more touch.
        """
        if again:
            piece = self._pieces[-1]
            piece.touches += 1
            piece.final_g = net_g
        else:
            piece = _Stay(self.pieces + 1, self.now_s, net_g, net_g)
            self._pieces.append(piece)
        visit = self._loads[-1].number + 1 if self._loads else 1
        self._loads.append(_Stay(visit, self.now_s, net_g, net_g, piece=piece.number))

    def touched(self, net_g: float) -> None:
        """Something was added to the piece, or trimmed off it, on the pan.

        Parameters
        ----------
        net_g : float, grams
            What it weighs now.
        """
        for stay in (self._pieces[-1], self._loads[-1]):
            stay.touches += 1
            stay.final_g = net_g

    def rest_begins(self) -> None:
        """Write down that the hands are off; only the pan itself still moves."""
        load = self._loads[-1]
        self._rests.append(_Rest(load.number, load.touches, self.now_s, load.final_g))

    def rest_ends(self) -> None:
        """Write down that a hand reaches for the load again."""
        self._rests[-1].to_s = self.now_s

    def line_sent(self, begun_s: float, sent_s: float, *, came_up: bool) -> None:
        """Write down that a line of the scale has been sent.

        Parameters
        ----------
        begun_s, sent_s : float, seconds
            When its first byte and its last byte left.
        came_up : bool
            The scale's own stable mark came up on it.
        """
        if not (came_up and self._rests):
            return
        rest = self._rests[-1]
        if rest.to_s is None and rest.mark_s is None and begun_s >= rest.from_s:
            rest.mark_s = sent_s

    def left(self, fate: Fate | None = None) -> None:
        """Write down that the piece is off the pan.

        Parameters
        ----------
        fate : Fate or None
            None while it may still come back.
        """
        self._loads[-1].left_s = self._pieces[-1].left_s = self.now_s
        self._pieces[-1].fate = fate

    def note(self, fact: str) -> None:
        """Count something that happened, such as a knock.

        Parameters
        ----------
        fact : str
        """
        self.happened[fact] += 1

    @property
    def pieces(self) -> int:
        """Pieces so far."""
        return self._pieces[-1].number if self._pieces else 0

    def truth(self) -> Truth:
        """Return pieces, loads, rests and what happened.

        Returns
        -------
        dict
            Masses in grams, times in seconds.
        """
        return {
            "pieces": [_piece(stay) for stay in self._pieces if stay.fate],
            "loads": [_load(stay) for stay in self._loads if stay.left_s is not None],
            "rests": [_rest(rest) for rest in self._rests if rest.to_s is not None],
            "happened": dict(sorted(self.happened.items())),
        }


def _stay(stay: _Stay) -> Truth:
    assert stay.left_s is not None
    return {
        "first_g": round(stay.first_g, 3),
        "final_g": round(stay.final_g, 3),
        "touches": stay.touches,
        "placed_s": round(stay.placed_s, 4),
        "left_s": round(stay.left_s, 4),
    }


def _piece(stay: _Stay) -> Truth:
    assert stay.fate is not None
    return {"number": stay.number, **_stay(stay), "fate": stay.fate.value}


def _load(stay: _Stay) -> Truth:
    return {"visit": stay.number, "piece": stay.piece, **_stay(stay)}


def _rest(rest: _Rest) -> Truth:
    assert rest.to_s is not None
    return {
        "visit": rest.visit,
        "touch": rest.touch,
        "from_s": round(rest.from_s, 4),
        "to_s": round(rest.to_s, 4),
        "net_g": round(rest.net_g, 3),
        "mark_s": None if rest.mark_s is None else round(rest.mark_s, 4),
    }
