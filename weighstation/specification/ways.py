"""How pieces meet the scale, and what a lifted one is taken for."""

from __future__ import annotations

from enum import Enum


class Way(Enum):
    """How pieces meet the scale."""

    SINGLE = "single"
    BUILD_UP = "build-up"
    TAKE_AWAY = "take-away"


class LiftedPolicy(Enum):
    """What a piece lifted out of band is taken for."""

    BACK = "back"
    BOARDED = "boarded"
    GUESS = "guess"
