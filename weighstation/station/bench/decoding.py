"""What is known of a scale's lines -> the decoder that reads them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from weighstation.acquire import Decoder, HidDecoder

if TYPE_CHECKING:
    from weighstation.acquire import Recipe


class Spoken(Protocol):
    """What a plan says of the scale's lines."""

    @property
    def division_mg(self) -> int | None:
        """The scale interval in milligrams; None to learn it from the lines."""

    @property
    def recipe(self) -> Recipe:
        """What was learned of the lines before."""

    @property
    def descriptor(self) -> bytes | None:
        """What the scale's reports mean, where it sends reports and not lines."""


def decoder_for(plan: Spoken) -> Decoder | HidDecoder:
    """Return a decoder for a scale.

    Parameters
    ----------
    plan : Spoken

    Returns
    -------
    Decoder or HidDecoder
    """
    if plan.descriptor is not None:
        return HidDecoder(plan.descriptor, division_mg=plan.division_mg)
    return Decoder(division_mg=plan.division_mg, recipe=plan.recipe)
