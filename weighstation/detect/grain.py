"""How fine a display is: its division and its noise, and the tolerances that follow from them."""

from __future__ import annotations

_QUANTISED = 0.29  # standard deviation of rounding, in divisions: 1/sqrt(12), JCGM 100 F.2.2.1
_QUIET = 0.31  # noise in divisions up to which a calm display shows one number, or two


class Grain:
    """Division and noise of a display, and what follows from them.

    Parameters
    ----------
    division_mg : float, milligrams
        Scale interval d.
    seen_noise_mg : float, milligrams
        Standard deviation of readings of a calm pan, as seen; rounding alone makes 0.29 d.

    Attributes
    ----------
    noise_mg : float, milligrams
        Standard deviation of one reading, never less than rounding makes it.
    tolerance_mg : float, milligrams
        How far a reading may be from a calm level and still belong to it.
    flat_mg : float, milligrams
        How far the readings of a flat run may lie apart.
    is_quiet : bool
        A calm display shows one number, or two neighbours.
    """

    __slots__ = ("division_mg", "flat_mg", "is_quiet", "noise_mg", "tolerance_mg")

    def __init__(self, division_mg: float, seen_noise_mg: float = 0.0) -> None:
        self.division_mg = division_mg
        self.noise_mg = max(seen_noise_mg, _QUANTISED * division_mg)
        self.tolerance_mg = max(1.05 * division_mg, 4.0 * self.noise_mg)
        self.flat_mg = max(1.05 * division_mg, 3.5 * self.noise_mg)
        self.is_quiet = self.noise_mg < _QUIET * division_mg
