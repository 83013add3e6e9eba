"""How fine a display is: its division and its noise, and the tolerances that follow from them."""

from __future__ import annotations

from dataclasses import dataclass

_QUANTISED = 0.29  # standard deviation of rounding, in divisions: 1/sqrt(12), JCGM 100 F.2.2.1
_QUIET = 0.31  # noise in divisions up to which a calm display shows one number, or two


@dataclass(frozen=True, slots=True)
class Grain:
    """Division and noise of a display.

    Parameters
    ----------
    division_mg : float, milligrams
        Scale interval d.
    seen_noise_mg : float, milligrams
        Standard deviation of readings of a calm pan, as seen; rounding alone makes 0.29 d.
    """

    division_mg: float
    seen_noise_mg: float = 0.0

    @property
    def noise_mg(self) -> float:
        """Standard deviation of one reading, never less than rounding makes it, milligrams."""
        return max(self.seen_noise_mg, _QUANTISED * self.division_mg)

    @property
    def tolerance_mg(self) -> float:
        """How far a reading may be from a calm level and still belong to it, milligrams."""
        return max(1.05 * self.division_mg, 4.0 * self.noise_mg)

    @property
    def flat_mg(self) -> float:
        """How far the readings of a flat run may lie apart, milligrams."""
        return max(1.05 * self.division_mg, 3.5 * self.noise_mg)

    @property
    def is_quiet(self) -> bool:
        """Say whether a calm display shows one number, or two neighbours."""
        return self.noise_mg < _QUIET * self.division_mg
