"""What makes one piece differ from another in a simulated year, each with a switch."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class YearCauses:
    """Which causes are at work; all of them unless one is taken out.

    Parameters
    ----------
    people_differ : bool
        Each person cuts with a bias, a spread and a pace of their own; else all are alike.
    doughs_differ : bool
        Each dough moves all its first cuts a little.
    doughs_age : bool
        First cuts get lighter while a dough is divided.
    neighbours_agree : bool
        A first cut takes after the one before it.
    hand_drifts : bool
        One person's first cuts get heavier for some weeks.
    scale_goes_off : bool
        One scale shows too much for some days, until a check finds it.
    weights_are_typed : bool
        One person types round numbers for some days and weighs nothing.
    heavy_are_boarded : bool
        A piece above the band is boarded as it was cut now and then; else all are trimmed.
    lots_differ : bool
        An oven takes more from one lot than from another.
    loaves_differ : bool
        An oven takes more from one loaf of a lot than from another.
    pieces_struck_out : bool
        A piece is struck out at the bench now and then.
    struck_out_late : bool
        A piece is struck out days later now and then.
    """

    people_differ: bool = True
    doughs_differ: bool = True
    doughs_age: bool = True
    neighbours_agree: bool = True
    hand_drifts: bool = True
    scale_goes_off: bool = True
    weights_are_typed: bool = True
    heavy_are_boarded: bool = True
    lots_differ: bool = True
    loaves_differ: bool = True
    pieces_struck_out: bool = True
    struck_out_late: bool = True

    def without(self, *names: str) -> YearCauses:
        """Return the same causes with some taken out.

        Parameters
        ----------
        *names : str
            Names of the switches.

        Returns
        -------
        YearCauses

        Examples
        --------
        >>> YearCauses().without("hand_drifts").hand_drifts
        False
        """
        return replace(self, **dict.fromkeys(names, False))
