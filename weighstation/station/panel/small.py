"""The panel where there is no room for big letters: the same words, line by line."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.station.bench.wording import (
    armed_sentences,
    band_text,
    cue_word,
    lifted_key_text,
    lifted_text,
    signed,
)
from weighstation.station.panel.cue import SCENE_WORDS, told
from weighstation.station.panel.facts import board, caption, dough, left_facts, resting

if TYPE_CHECKING:
    from weighstation.station.bench.snapshot import Snapshot
    from weighstation.station.panel.screen import Screen


def draw_small(screen: Screen, snapshot: Snapshot) -> None:
    """Draw what is told first, so that the last lines are what a small screen loses.

    Parameters
    ----------
    screen : Screen
    snapshot : Snapshot
    """
    palette, cue = screen.palette, told(snapshot)
    for line in textwrap.wrap(snapshot.alarm, max(screen.width, 1)):
        screen.line((line, palette.alarm), fill=palette.alarm)
    style = palette.strong if cue is None else palette.cue(cue)
    screen.line((_headline(snapshot), style), fill=style)
    screen.line((caption(snapshot), palette.plain))
    for sentence in armed_sentences(snapshot):
        for line in textwrap.wrap(sentence, max(screen.width, 1)):
            screen.line((line, palette.ask), fill=palette.ask)
    if snapshot.lifted is not None:
        screen.line((lifted_text(snapshot.lifted, snapshot.division_mg), palette.plain))
        screen.line((lifted_key_text(snapshot.lifted), palette.strong))
    _clocks(screen, snapshot)
    for line in textwrap.wrap(snapshot.signal, max(screen.width, 1)):
        screen.line((line, palette.strong))
    if snapshot.notice:
        screen.line((snapshot.notice, palette.plain))
    elif snapshot.offer:
        screen.line((snapshot.offer, palette.quiet))
    for name, said in left_facts(snapshot):
        screen.line((f"{name}: ", palette.quiet), (said, palette.plain))
    screen.line((f"{snapshot.product}, {band_text(snapshot)}", palette.quiet))
    keys = "B turn  V strike out  P pause  E end"
    if snapshot.clocks.record is not None:
        keys = "B turn  V strike  C close  S bench  I oven  O out  P pause  E end"
    screen.line((keys, palette.quiet))


def _clocks(screen: Screen, snapshot: Snapshot) -> None:
    """Draw the oldest board, what to be careful about, the board that fills, and the dough."""
    palette = screen.palette
    if snapshot.clocks.record is not None:
        found = resting(snapshot)
        if found is not None:
            screen.line((found[1], palette.rest(found[0])))
        screen.line(("Board: ", palette.quiet), (board(snapshot), palette.plain))
    caution = snapshot.clocks.caution(snapshot.t_s, snapshot.pieces_left)
    for line in textwrap.wrap(f"! {caution.text}" if caution else "", max(screen.width, 1)):
        screen.line((line, palette.strong))
    said = dough(snapshot)
    parts = (said.fits, said.cut, said.mixed)
    screen.line(("Dough: ", palette.quiet), (", ".join(filter(None, parts)), palette.plain))


def _headline(snapshot: Snapshot) -> str:
    cue = told(snapshot)
    if cue is None:
        return " ".join(SCENE_WORDS.get(snapshot.scene, ("WAIT",)))
    if cue.verdict is Verdict.ONE_AT_A_TIME:
        return cue_word(cue)
    if not snapshot.slowed:
        return f"{cue_word(cue)} ~"
    about = "" if cue.firm else "~"
    return f"{cue_word(cue)} {about}{signed(cue.error_mg, snapshot.division_mg)} g"
