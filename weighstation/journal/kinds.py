"""The closed list of what a journal line can say."""

from __future__ import annotations

from enum import Enum


class Kind(Enum):
    """What a line says; the value is the word on the record."""

    RUN_STARTED = "run_started"
    PIECE_KEPT = "piece_kept"
    PIECE_LIFTED = "piece_lifted"
    LIFTED_TURNED = "lifted_turned"
    VOIDED = "voided"
    SIGNAL = "signal"
    NOTED = "noted"
    GAP = "gap"
    BOARD_OPENED = "board_opened"
    BOARD_CLOSED = "board_closed"
    BOARD_MOVED = "board_moved"
    DOUGH_WEIGHED = "dough_weighed"
    PAN_SHIFTED = "pan_shifted"
    SCALE_CHECKED = "scale_checked"
    BAKED = "baked"
    IMPORTED = "imported"
    RESTORED = "restored"
    RUN_ENDED = "run_ended"


COUNTING = frozenset({Kind.PIECE_KEPT, Kind.PIECE_LIFTED, Kind.LIFTED_TURNED, Kind.IMPORTED})
"""Kinds that belong between the start and the end of a run."""
