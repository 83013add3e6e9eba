"""Made-up pictures of a bench: every cue, scene and sentence that its page can have to show."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING, Any

from weighstation.events import Cue, TookFor, Verdict
from weighstation.plan import (
    BoardRecord,
    Boards,
    BoardToBench,
    DoughClock,
    OvenIn,
    Pace,
    PieceBoarded,
)
from weighstation.specification import Limits
from weighstation.station.bench.clocks import Clocks
from weighstation.station.bench.snapshot import LiftedNote, Scene, Snapshot

if TYPE_CHECKING:
    from weighstation.plan import BoardFact

LIMITS = Limits(740_000, 8_000, 8_000)
LONG_NAME = "Farmhouse white with roasted sunflower seeds, half baked, for the canteen 1000 g"
NOT_SPACED = "Sauerteigmischbrotvollkornlaibe"
SIGNAL = "Pieces 13 to 21 were cut 7 g too heavy: cut smaller."
REFUSED = (
    "The journal cannot be written (no space left on device). Weighing goes on, but no piece"
    " counts: make room on the disk of the station."
)


def boards(*facts: BoardFact, pieces: int, every_s: float = 10.0) -> Clocks:
    """Return the clocks of a dough that is laid on boards of six."""
    cuts = [PieceBoarded(number, every_s * number) for number in range(1, pieces + 1)]
    laid = reduce(Boards.after, (*cuts, *facts), Boards(6))
    dough = DoughClock(mixed_s=-6000.0, first_cut_s=6.0)
    return Clocks(dough, Pace(10.0, 12), BoardRecord(laid), is_filling=True)


USUAL = Snapshot(
    t_s=665.0,
    product="Tin loaf",
    limits=LIMITS,
    division_mg=1000,
    scene=Scene.EMPTY,
    counted=22,
    planned=60,
    last_number=22,
    last_mg=741_000,
    known_number=22,
    known_mg=741_000,
    out_of_band=1,
    kept_mean_mg=740_812.3,
    first_sd_mg=9_430.0,
    clocks=boards(pieces=22),
)


def cued(verdict: Verdict, error_mg: int, *, of: Snapshot = USUAL, **more: Any) -> Snapshot:
    """Return a picture with a cue."""
    about: dict[str, Any] = {"firm": True} | more
    net_mg = of.limits.target_mg + error_mg
    cue = Cue(665.0, 23, 0, net_mg, verdict, error_mg, **about)
    return replace(of, scene=Scene.CUED, cue=cue)


def moving(picture: Snapshot) -> Snapshot:
    """Return the same while its figure cannot be read yet."""
    return replace(picture, scene=Scene.MOVING, slowed=False)


FINE = replace(USUAL, division_mg=100, limits=Limits(1_850_000, 12_500, 12_500))
NARROW = replace(USUAL, limits=Limits(740_000, 0, 15_000))
CUES = {
    "keep": cued(Verdict.KEEP, 3_000),
    "keep, exact": cued(Verdict.KEEP, 0),
    "keep, about": cued(Verdict.KEEP, 3_000, firm=False),
    "add": cued(Verdict.ADD, -23_000),
    "add, about": cued(Verdict.ADD, -23_000, firm=False),
    "trim": cued(Verdict.TRIM, 12_000),
    "trim, about": cued(Verdict.TRIM, 12_000, firm=False),
    "trim, moving": moving(cued(Verdict.TRIM, 12_000, firm=False)),
    "cut again": cued(Verdict.ADD, -15_000, cut_again=True),
    "cut again, about": cued(Verdict.ADD, -15_000, cut_again=True, firm=False),
    "one at a time": cued(Verdict.ONE_AT_A_TIME, 741_000),
    "one at a time, about": cued(Verdict.ONE_AT_A_TIME, 741_000, firm=False),
    "tenths": cued(Verdict.TRIM, 12_300, of=FINE),
    "kilogram light": cued(Verdict.ADD, -1_234_500, of=FINE),
    "kilogram heavy": cued(Verdict.TRIM, 1_234_500, of=FINE),
    "ten kilograms": cued(Verdict.TRIM, 12_345_000),
    "band to one side": cued(Verdict.TRIM, 16_000, of=NARROW),
}
SCENES = {
    "next": USUAL,
    "next, after a cue": replace(CUES["keep"], scene=Scene.EMPTY),
    "wait": replace(USUAL, scene=Scene.MOVING),
    "take it off": replace(USUAL, scene=Scene.LADEN, lain_mg=1_234_500),
    "too much": replace(USUAL, scene=Scene.OVERLOADED),
    "scale lost": replace(
        USUAL, scene=Scene.SCALE_LOST, alarm="Nothing comes from the scale. Check its cable."
    ),
    "paused": replace(USUAL, scene=Scene.PAUSED),
    "dough left": replace(USUAL, scene=Scene.DOUGH_LEFT),
    "no scale yet": Snapshot(0.0, "Tin loaf", LIMITS, 1000, Scene.NO_SCALE_YET),
}
SAID = {
    "journal refuses": replace(CUES["keep"], alarm=REFUSED),
    "signal": replace(CUES["trim"], signal=SIGNAL),
    "lifted": replace(USUAL, lifted=LiftedNote(22, 12_000, TookFor.CAME_BACK)),
    "lifted, long": replace(
        FINE,
        lifted=LiftedNote(118, -1_234_500, TookFor.BOARDED),
        signal=SIGNAL,
        notice="So be it.",
    ),
    "offer": replace(
        USUAL, offer="Offer: 49 pieces, not 48, and aim 732 g from here: the dough comes out even."
    ),
    "notice": replace(
        USUAL,
        notice="Two pieces left together and were not counted: weigh them one at a time.",
        signal=SIGNAL,
    ),
    "long name": replace(CUES["add"], product=LONG_NAME),
    "long word": replace(CUES["add"], product=NOT_SPACED),
    "markup": replace(CUES["add"], product='<img src=x onerror="alert(1)"> & co'),
    "too many": replace(USUAL, counted=1051, planned=1000, last_number=1051),
}
CLOCKS = {
    "waits": replace(USUAL, t_s=252.0),
    "ready": replace(USUAL, t_s=840.0),
    "late": replace(USUAL, t_s=1100.0),
    "behind": replace(
        USUAL, t_s=1205.0, clocks=boards(BoardToBench(1, 700.0), BoardToBench(2, 1000.0), pieces=80)
    ),
    "cover": replace(USUAL, t_s=75.0, clocks=boards(pieces=6), counted=6),
    "dough over": replace(USUAL, t_s=9000.0, clocks=boards(pieces=80), counted=80),
    "all cut": replace(USUAL, counted=60),
    "no boards": replace(
        USUAL, clocks=Clocks(DoughClock(first_cut_s=-192.0), Pace(10.0, 12)), known_number=None
    ),
    "in the oven": replace(
        USUAL, clocks=boards(OvenIn(1, 600.0), OvenIn(2, 610.0), BoardToBench(3, 620.0), pieces=40)
    ),
}
PICTURES = CUES | SCENES | SAID | CLOCKS
