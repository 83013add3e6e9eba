"""Bytes of a scale -> Reading.

A line shape is recognised from the first lines without being told; which mark means stable and
what the division is are learned from the weights. A scale on USB that sends reports instead of
lines says in its descriptor where things stand. Nothing here opens a port, a file or a clock.
"""

from weighstation.acquire.decoder import Decoder
from weighstation.acquire.hid import HidDecoder
from weighstation.acquire.profile import Counts, ScaleProfile
from weighstation.acquire.recipe import OPEN, Recipe
from weighstation.acquire.recording import (
    Arrival,
    Header,
    Recording,
    decode,
    encode_arrival,
    encode_header,
)

__all__ = [
    "OPEN",
    "Arrival",
    "Counts",
    "Decoder",
    "Header",
    "HidDecoder",
    "Recipe",
    "Recording",
    "ScaleProfile",
    "decode",
    "encode_arrival",
    "encode_header",
]
