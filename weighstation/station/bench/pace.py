"""A port's URL -> how fast its clock runs, and what it says while nothing comes."""

from __future__ import annotations

import math

from weighstation.station.ports import Address


def speed_of(url: str) -> float:
    """Return how many seconds of a port's clock pass in one second.

    Parameters
    ----------
    url : str

    Returns
    -------
    float
        1 for a scale; infinite where a recording or simulation does not wait at all.

    Examples
    --------
    >>> speed_of("simulated://?speed=4"), speed_of("serial:///dev/ttyUSB0")
    (4.0, 1.0)
    """
    address = Address.parse(url)
    if not address.stand_in:
        return 1.0
    if address.options.get("speed") == "max":
        return math.inf
    return address.number("speed", 1, least=0.01)


class Pace:
    """The port's clock, gone on with while nothing comes from it.

    Parameters
    ----------
    speed : float
        As `speed_of` says.
    began_s : float, seconds, or None
        Where the port's clock began, on a steady clock of the machine; None where it begins with
        the first line.
    """

    def __init__(self, speed: float, began_s: float | None = None) -> None:
        self._speed = speed if math.isfinite(speed) else 0.0
        self._heard = None if began_s is None else (0.0, began_s)

    def heard(self, t_s: float, clock_s: float) -> None:
        """Note that something came.

        Parameters
        ----------
        t_s : float, seconds
            On the port's clock.
        clock_s : float, seconds
            On a steady clock of the machine.
        """
        self._heard = (t_s, clock_s)

    def now_s(self, clock_s: float) -> float:
        """Return the time on the port's clock.

        Parameters
        ----------
        clock_s : float, seconds
            On the same steady clock.

        Returns
        -------
        float, seconds
            0 until the clock has begun; where the port does not wait, when something last came.
        """
        if self._heard is None:
            return 0.0
        t_s, then_s = self._heard
        return t_s + (clock_s - then_s) * self._speed
