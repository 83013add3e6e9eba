"""How sure the weight of one piece is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from weighstation.metrology.accuracy import checked_mass, checked_number
from weighstation.monitor.resolution import rounding_sd_g

COVERAGE = 2.0
"""An expanded uncertainty covers about 95 %: twice the standard one."""


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """What the standard uncertainty of one net weight is made of.

    Parameters
    ----------
    zero_g, load_g : float, grams
        Rounding of the empty pan and of the load.
    repeatability_g : float, grams
    scale_g : float, grams
        What the scale itself may be wrong.
    """

    zero_g: float
    load_g: float
    repeatability_g: float
    scale_g: float

    @property
    def standard_g(self) -> float:
        """Standard uncertainty u in grams."""
        return math.hypot(self.zero_g, self.load_g, self.repeatability_g, self.scale_g)

    @property
    def expanded_g(self) -> float:
        """Expanded uncertainty U = 2 u in grams."""
        return COVERAGE * self.standard_g

    @property
    def said_g(self) -> float:
        """U in grams as it is said and drawn in by: two digits, rounded up.

        JCGM 100:2008, 7.2.6 (from memory).
        """
        least = Decimal(repr(round(self.expanded_g, 9)))
        return float(least.quantize(Decimal(1).scaleb(least.adjusted() - 1), ROUND_CEILING))

    def text_at(self, load_g: float) -> str:
        """Return it in one plain sentence.

        Parameters
        ----------
        load_g : float, grams
            What is weighed.

        Returns
        -------
        str
        """
        parts = {
            "its division": math.hypot(self.zero_g, self.load_g),
            "its repeatability": self.repeatability_g,
            "what its limits leave open": self.scale_g,
        }
        most = max(parts, key=lambda name: parts[name])
        return (
            f"A weight of {load_g:g} g is sure to {self.said_g:g} g either way; most of that is"
            f" {most}."
        )


def piece_uncertainty(
    division_g: float, *, repeatability_g: float = 0.0, permissible_error_g: float = 0.0
) -> Uncertainty:
    """Return how sure the net weight of one piece is.

    Parameters
    ----------
    division_g : float, grams
        Scale interval d, positive.
    repeatability_g : float, grams
        Standard deviation of one load weighed again and again, before rounding.
    permissible_error_g : float, grams
        By how much the scale may be wrong at this load.

    Returns
    -------
    Uncertainty

    Raises
    ------
    SpecificationError
        If the division is not positive, or another number is negative or not finite.

    Notes
    -----
    Rounding at zero and at load, d / sqrt(12) each: JCGM 100:2008, F.2.2.1, and EURAMET cg-18 (from
    memory). A permissible error counts as evenly spread between its two ends, with standard
    uncertainty limit / sqrt(3): JCGM 100:2008, 4.3.7 (from memory). Parts that do not hang together
    add up in squares, 5.1.2. Once a check has shown errors well below the limit, this is more
    doubt than there is.

    Examples
    --------
    >>> round(piece_uncertainty(1.0).standard_g, 6)
    0.408248
    >>> round(piece_uncertainty(1.0, repeatability_g=0.3, permissible_error_g=2.0).expanded_g, 4)
    2.5219
    """
    rounding = rounding_sd_g(float(checked_mass(division_g, "A division", positive=True)))
    repeats = checked_number(repeatability_g, "A repeatability in grams", least=0)
    permitted = checked_number(permissible_error_g, "A permissible error in grams", least=0)
    return Uncertainty(rounding, rounding, repeats, permitted / math.sqrt(3))
