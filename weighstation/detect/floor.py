"""The level of the empty pan, and what to make of small things that come to lie on it.

A bit that comes before the rest of a piece belongs to the piece; a scraper, flour or crumbs belong
to the pan. What rises is told apart by how long it stays and by what comes onto it.
"""

from __future__ import annotations

_STAYS_S = 5.0  # what lies there longer belongs to the pan
_LIKE = 0.25  # of the usual weight


class Floor:
    """Where the pan stands when it is empty.

    Parameters
    ----------
    usual_mg : float, milligrams, or None
        About what a piece weighs.
    """

    __slots__ = ("_home_mg", "_risen_s", "_thing_mg", "_usual_mg")

    def __init__(self, usual_mg: float | None) -> None:
        self._usual_mg = usual_mg
        self._home_mg: float | None = None
        self._risen_s: float | None = None
        self._thing_mg: float | None = None

    def rested(
        self, level_mg: float, base_mg: float, *, flour_mg: float, bare: bool, now_s: float
    ) -> float:
        """Return what to weigh from, now that the display rests where nothing to speak of lies.

        Parameters
        ----------
        level_mg : float, milligrams
        base_mg : float, milligrams
            What was weighed from until now.
        flour_mg : float, milligrams
            What rises by no more is flour.
        bare : bool
            A load has just left, or nothing was seen before: whatever lies there is no dough.
        now_s : float, seconds

        Returns
        -------
        float, milligrams
        """
        is_home = self._home_mg is not None and abs(level_mg - self._home_mg) <= flour_mg
        if bare or is_home or self._home_mg is None:
            self._home_mg = level_mg
        rose = not bare and not is_home and level_mg - base_mg > flour_mg
        self._risen_s = now_s if rose else None
        return base_mg if rose else level_mg

    def stirred(self, level_mg: float, base_mg: float, now_s: float) -> float:
        """Return what to weigh from, now that the display leaves a level of the empty pan.

        Parameters
        ----------
        level_mg, base_mg : float, milligrams
        now_s : float, seconds

        Returns
        -------
        float, milligrams
        """
        stays = self._risen_s is None or now_s - self._risen_s > _STAYS_S
        self._thing_mg = None if stays else level_mg
        return level_mg if stays else base_mg

    def under(self, level_mg: float, base_mg: float) -> float:
        """Return what a load that has come to a level is to be weighed from.

        Parameters
        ----------
        level_mg, base_mg : float, milligrams

        Returns
        -------
        float, milligrams
            Without a thing that lay there before, where what came onto it is more like a piece
            than both together.
        """
        if self._thing_mg is None or self._usual_mg is None:
            return base_mg
        off_alone = abs(level_mg - self._thing_mg - self._usual_mg)
        off_together = abs(level_mg - base_mg - self._usual_mg)
        alone = off_alone < off_together and off_alone < _LIKE * self._usual_mg
        return self._thing_mg if alone else base_mg

    def shift(self, shift_mg: float) -> None:
        """Move every level: the scale was tared or set to zero.

        Parameters
        ----------
        shift_mg : float, milligrams
        """
        if self._home_mg is not None:
            self._home_mg += shift_mg
        if self._thing_mg is not None:
            self._thing_mg += shift_mg
