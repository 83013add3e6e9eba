"""A morning: hands at a scale, what arrives from it, and the truth."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING

from weighstation.acquire.recording import Arrival
from weighstation.errors import SpecificationError
from weighstation.simulate.craft import Craft
from weighstation.simulate.ledger import Ledger, Truth
from weighstation.simulate.link import Link
from weighstation.simulate.pile import PileBaker
from weighstation.simulate.scale import Scale, ScaleSpec
from weighstation.simulate.single import SingleBaker
from weighstation.specification import Way

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.simulate.hands import HandsSpec


@dataclass(frozen=True, slots=True)
class Morning:
    """A morning that is over.

    Parameters
    ----------
    chunks : list of Arrival
        In time order.
    truth : dict
        True weights and times.
    """

    chunks: list[Arrival]
    truth: Truth


class Bench:
    """Hands at a scale, played as far as it is listened to.

    Parameters
    ----------
    scale : ScaleSpec
    hands : HandsSpec
    pieces : int
        How many pieces to divide; may be very large.
    seed : int
        The same seed gives the same bytes.
    scene : str
        Name for the truth.

    Raises
    ------
    SpecificationError
        If the scale cannot bear the load.
    """

    def __init__(
        self, scale: ScaleSpec, hands: HandsSpec, *, pieces: int, seed: int, scene: str = ""
    ) -> None:
        _check_capacity(scale, hands)
        self._spec = scale
        self._hands = hands
        self._scene = scene
        self._ledger = Ledger()
        self._scale = Scale(scale, Random(f"{seed} scale"))
        self._link = Link(scale.link, Random(f"{seed} link"))
        craft = Craft(hands, scale.division_g, self._ledger, Random(f"{seed} hands"))
        self._baker = (
            SingleBaker(craft, scale.capacity_g) if hands.way is Way.SINGLE else PileBaker(craft)
        )
        self._pieces = pieces

    def arrivals(self) -> Iterator[Arrival]:
        """Play on and yield what arrives, in time order.

        Yields
        ------
        Arrival
        """
        for stroke in self._baker.work(self._pieces):
            for sent in self._scale.play(stroke):
                sent_s = sent.t_s + self._spec.link.seconds(sent.line)
                self._ledger.line_sent(sent.t_s, sent_s, came_up=sent.came_up)
                for t_s, data in self._link.carry(sent.t_s, sent.line):
                    yield Arrival(round(t_s, 4), data)
            self._ledger.now_s = self._scale.t_s
        for t_s, data in self._link.finish():
            yield Arrival(round(t_s, 4), data)

    def truth(self) -> Truth:
        """Return the truth about what has been played so far.

        Returns
        -------
        dict
            Masses in grams, times in seconds.
        """
        hands = self._hands
        return {
            "truth": 1,
            "scene": self._scene,
            "way": hands.way.value,
            "target_g": hands.target_g,
            "under_g": hands.under_g,
            "over_g": hands.over_g,
            "division_g": self._spec.division_g,
            "rate_hz": self._spec.rate_hz,
            **self._ledger.truth(),
        }


def _check_capacity(scale: ScaleSpec, hands: HandsSpec) -> None:
    pieces = 1 if hands.way is Way.SINGLE else hands.board_pieces
    most_g = hands.tray_g + hands.target_g * (pieces + 1)
    if most_g > scale.capacity_g:
        raise SpecificationError(
            f"The load would reach {most_g:.0f} g, the scale bears {scale.capacity_g:.0f} g.",
            hint="Choose fewer pieces, a lighter product or a larger scale.",
        )


def morning(
    scale: ScaleSpec, hands: HandsSpec, *, pieces: int, seed: int, scene: str = ""
) -> Morning:
    """Return a whole morning with its truth.

    Parameters
    ----------
    scale : ScaleSpec
    hands : HandsSpec
    pieces : int
    seed : int
        The same seed gives the same bytes.
    scene : str
        Name for the truth.

    Returns
    -------
    Morning
    """
    bench = Bench(scale, hands, pieces=pieces, seed=seed, scene=scene)
    chunks = list(bench.arrivals())
    return Morning(chunks, bench.truth())
