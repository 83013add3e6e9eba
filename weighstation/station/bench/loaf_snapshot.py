"""What the loop publishes where baked loaves are weighed: one immutable picture."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.events import LoafShown
    from weighstation.station.bench.snapshot import Scene


@dataclass(frozen=True, slots=True)
class LoafSnapshot:
    """One picture of the bench.

    Parameters
    ----------
    product : str
    declared_mg : int, milligrams, or None
        Declared weight of the loaf.
    division_mg : int, milligrams
    scene : Scene
    lain_mg : int, milligrams, or None
        What is indicated of something that lies on the pan from before.
    shown : LoafShown or None
        The firm weight on the panel; the last one for a moment after the pan was left.
    piece : int or None
        The piece of dough that the next loaf is taken for.
    typed : str
        Digits of a piece's number, as far as they are typed.
    counted : int
        Loaves of the batch whose line is durable, those struck out taken off.
    planned : int or None
        Loaves wanted.
    last_number : int or None
        Number of the last counted loaf.
    last_mg : int, milligrams, or None
        Its weight.
    known_number : int or None
        Number of the loaf that would be struck out now, whether its line is durable or waits.
    known_mg : int, milligrams, or None
        Its weight.
    mean_mg : float, milligrams, or None
        Of counted loaves.
    sd_mg : float, milligrams, or None
        Standard deviation of counted loaves; None below two.
    out_of_oven_min : float, minutes, or None
        Since the loaves left the oven; None where nobody said when that was.
    armed : str
        A key that wants a second press ("void" or "end"), else empty.
    notice : str
        One plain sentence, or empty.
    alarm : str
        One plain sentence that must not be missed (the journal refuses, the scale is lost).
    """

    product: str
    declared_mg: int | None
    division_mg: int
    scene: Scene
    lain_mg: int | None = None
    shown: LoafShown | None = None
    piece: int | None = None
    typed: str = ""
    counted: int = 0
    planned: int | None = None
    last_number: int | None = None
    last_mg: int | None = None
    known_number: int | None = None
    known_mg: int | None = None
    mean_mg: float | None = None
    sd_mg: float | None = None
    out_of_oven_min: float | None = None
    armed: str = ""
    notice: str = ""
    alarm: str = ""
