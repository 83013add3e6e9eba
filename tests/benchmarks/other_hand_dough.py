"""What is to be weighed, the habits of the hands, and the facts to be told."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Goal:
    """Target and limits of a piece, grams."""

    target_g: float
    under_g: float
    over_g: float

    def holds(self, net_g: float) -> bool:
        """Whether a weight lies within the limits."""
        return -self.under_g <= net_g - self.target_g <= self.over_g

    def clear(self, net_g: float, width_g: float) -> float:
        """Move a weight that is closer than a width to a limit inwards, off the edge."""
        for limit, inward in ((-self.under_g, 1), (self.over_g, -1)):
            if abs(net_g - self.target_g - limit) < width_g:
                return self.target_g + limit + inward * 1.5 * width_g
        return net_g


@dataclass(frozen=True, slots=True)
class Hands:
    """Habits; every plain number below 1 is a chance per occasion unless its name has a unit."""

    placing: tuple[str, ...] = ("set", "set", "drop", "slow", "tip")
    lifting: tuple[str, ...] = ("plain", "plain", "quick", "sticky")
    read_s: float = 1.4
    gap_s: tuple[float, float] = (0.9, 2.6)
    cut_sd: float = 0.03
    cut_bias: float = 0.0
    miss_sd: float = 0.12
    leans: float = 0.1
    lean_g: tuple[float, float] = (15.0, 160.0)
    presses: float = 0.04
    dabs: float = 0.15
    lifts_edge: float = 0.6
    knocks: float = 0.06
    knock_g: tuple[float, float] = (3.0, 40.0)
    takes_off: float = 0.06
    leaves_it: float = 0.03
    throws_back: float = 0.0
    doubles: float = 0.0
    tares: float = 0.0
    tares_back: float = 0.7
    elbows: float = 0.0
    elbow_g: tuple[float, float] = (300.0, 1500.0)
    residue_g: float = 0.15
    wipes: float = 0.1
    zeroes: float = 0.0
    breaks: float = 0.02
    dawdles: float = 0.0


@dataclass(slots=True)
class Rest:
    """A span with the hands off."""

    visit: int
    touch: int
    from_s: float
    to_s: float
    net_g: float
    mark_s: float | None = None


@dataclass(slots=True)
class Load:
    """One time on the pan."""

    visit: int
    piece: int
    placed_s: float
    left_s: float
    first_g: float
    final_g: float
    touches: int = 0


@dataclass(slots=True)
class PieceTruth:
    """One piece over all its times on the pan; ``touches`` has those made off it too."""

    number: int
    first_g: float
    final_g: float
    touches: int
    placed_s: float
    left_s: float
    fate: str


@dataclass(slots=True)
class Facts:
    """All that is true of one recording."""

    pieces: list[PieceTruth] = field(default_factory=list)
    loads: list[Load] = field(default_factory=list)
    rests: list[Rest] = field(default_factory=list)

    def as_lists(self) -> dict[str, list[dict[str, Any]]]:
        """Plain values for a file, times to 0.1 ms and masses to 0.01 g."""
        return {
            "pieces": [_plain(each) for each in self.pieces],
            "loads": [_plain(each) for each in self.loads],
            "rests": [_plain(each) for each in self.rests],
        }


def _plain(fact: PieceTruth | Load | Rest) -> dict[str, Any]:
    return {name: _rounded(name, value) for name, value in asdict(fact).items()}


def _rounded(name: str, value: Any) -> Any:
    if not isinstance(value, float):
        return value
    return round(value, 4 if name.endswith("_s") else 2)
