"""Baked loaves -> the words for them, the same on the panel, in plain lines and in events."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.events import WhyNot
from weighstation.quantities import grams_text

if TYPE_CHECKING:
    from weighstation.events import LoafNotCounted
    from weighstation.station.bench.loaf_snapshot import LoafSnapshot

NO_LOAF_TO_STRIKE = "No loaf can be struck out."


def not_counted_text(asked: LoafNotCounted, division_mg: int) -> str:
    """Return why a load was not counted, and what to do, in plain sentences.

    Parameters
    ----------
    asked : LoafNotCounted
    division_mg : int, milligrams

    Returns
    -------
    str
    """
    if asked.why is WhyNot.CHANGED:
        return "Its weight changed on the pan: put one loaf on at a time, and this one again."
    shown, raw = grams_text(asked.net_mg, division_mg), grams_text(asked.raw_mg, division_mg)
    piece = None if asked.piece is None else f"piece {asked.piece} ({raw} g as dough)"
    if asked.why is WhyNot.LIGHT:
        named = piece or f"the lightest piece ({raw} g as dough)"
        return (
            f"{shown} g is less than a third of {named}. Is it a whole loaf? Put it on again: it"
            " counts if it weighs the same."
        )
    if piece is not None:
        return (
            f"{shown} g is not less than {piece}: say which piece it was, and put it on again"
            " alone."
        )
    return (
        f"{shown} g is not less than the heaviest piece ({raw} g as dough): put one loaf on at a"
        " time, without a tray."
    )


def why_not_text(why: WhyNot) -> str:
    """Return in a few words why what lies on the pan will not count.

    Parameters
    ----------
    why : WhyNot

    Returns
    -------
    str
    """
    return {
        WhyNot.LIGHT: "less than a third of the dough",
        WhyNot.HEAVY: "not less than the dough",
        WhyNot.CHANGED: "its weight changed",
    }[why]


def loaf_armed_text(snapshot: LoafSnapshot) -> str:
    """Return what a second press of the armed key will do, or an empty text.

    Parameters
    ----------
    snapshot : LoafSnapshot

    Returns
    -------
    str
    """
    if snapshot.armed == "void" and snapshot.known_mg is not None:
        known = grams_text(snapshot.known_mg, snapshot.division_mg)
        return f"Press V again to strike out loaf {snapshot.known_number} ({known} g)"
    return "Press E again to end" if snapshot.armed == "end" else ""


def loaf_lain_text(snapshot: LoafSnapshot) -> str:
    """Return what to do about something that lies on the pan from before.

    Parameters
    ----------
    snapshot : LoafSnapshot

    Returns
    -------
    str
        Empty where nothing does.
    """
    if snapshot.lain_mg is None:
        return ""
    shown = grams_text(snapshot.lain_mg, snapshot.division_mg)
    return f"{shown} g lies there from before: take it off, or press the scale's tare key"
