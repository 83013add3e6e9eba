"""Check weights put on a simulated scale one after another -> the lines it sends."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.simulate.scale import Scale, ScaleSpec
from weighstation.simulate.strokes import Stroke

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

PUT_S = 0.5
REST_S = 3.0
EMPTY_S = 2.5


@dataclass(frozen=True, slots=True)
class SentLine:
    """A line and when it was sent.

    Parameters
    ----------
    t_s : float, seconds
    data : bytes
    """

    t_s: float
    data: bytes


def check_loads(spec: ScaleSpec, loads_g: Sequence[float], *, seed: int) -> Iterator[SentLine]:
    """Yield what a scale sends while weights are put on it, each from an empty pan.

    Parameters
    ----------
    spec : ScaleSpec
    loads_g : (n,) sequence of float, grams
        What the scale makes of each weight: its own error is part of it.
    seed : int

    Yields
    ------
    SentLine
    """
    scale = Scale(spec, random.Random(seed))
    strokes = [Stroke(EMPTY_S)]
    for load_g in loads_g:
        strokes += [Stroke(PUT_S, load_g=load_g), Stroke(REST_S)]
        strokes += [Stroke(PUT_S, load_g=0.0), Stroke(EMPTY_S)]
    for stroke in strokes:
        for sent in scale.play(stroke):
            yield SentLine(sent.t_s, sent.line)
