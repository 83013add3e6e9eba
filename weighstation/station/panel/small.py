"""The panel where there is no room for big letters: the same words, line by line."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.wording import (
    armed_sentences,
    band_text,
    cue_word,
    lifted_key_text,
    lifted_text,
    signed,
)
from weighstation.station.showing.facts import board, caption, dough, left_facts, resting
from weighstation.station.showing.told import scene_words, told

if TYPE_CHECKING:
    from rich.style import Style

    from weighstation.station.bench.snapshot import Snapshot
    from weighstation.station.panel.screen import Screen

_TIED = "\N{NO-BREAK SPACE}"


def draw_small(screen: Screen, snapshot: Snapshot) -> None:
    """Draw what is told first, so that the last lines are what a small screen loses.

    Parameters
    ----------
    screen : Screen
    snapshot : Snapshot
    """
    palette, cue = screen.palette, told(snapshot)
    _wrapped(screen, snapshot.alarm, palette.alarm, fill=palette.alarm)
    style = palette.strong if cue is None else palette.cue(cue)
    screen.line((_headline(snapshot), style), fill=style)
    screen.line((caption(snapshot), palette.plain))
    for sentence in armed_sentences(snapshot):
        _wrapped(screen, sentence, palette.ask, fill=palette.ask)
    if snapshot.lifted is not None:
        screen.line((lifted_text(snapshot.lifted, snapshot.division_mg), palette.plain))
        screen.line((lifted_key_text(snapshot.lifted), palette.strong))
    _clocks(screen, snapshot)
    _wrapped(screen, snapshot.signal, palette.strong)
    if snapshot.notice:
        _wrapped(screen, snapshot.notice, palette.plain)
    else:
        _wrapped(screen, snapshot.offer, palette.quiet)
    for name, said in left_facts(snapshot):
        screen.line((f"{name}: ", palette.quiet), (said, palette.plain))
    screen.line((f"{snapshot.product}, {band_text(snapshot)}", palette.quiet))
    _wrapped(screen, _keys(snapshot), palette.quiet)


def _clocks(screen: Screen, snapshot: Snapshot) -> None:
    """Draw the oldest board, what to be careful about, the board that fills, and the dough."""
    palette = screen.palette
    if snapshot.clocks.record is not None:
        found = resting(snapshot)
        if found is not None:
            screen.line((found[1], palette.rest(found[0])))
        screen.line(("Board: ", palette.quiet), (board(snapshot), palette.plain))
    caution = snapshot.clocks.caution(snapshot.t_s, snapshot.pieces_left)
    _wrapped(screen, f"! {caution.text}" if caution else "", palette.strong)
    said = dough(snapshot)
    parts = (said.fits, said.cut, said.mixed)
    _wrapped(screen, f"Dough: {', '.join(filter(None, parts))}", palette.plain)


def _wrapped(screen: Screen, text: str, style: Style, *, fill: Style | None = None) -> None:
    """Draw a text in as many lines as it takes; nothing of none."""
    for line in textwrap.wrap(text, max(screen.width, 1)):
        screen.line((line.replace(_TIED, " "), style), fill=fill)


def _keys(snapshot: Snapshot) -> str:
    """Return the keys, each tied to its word."""
    of_boards = ("C close", "S bench", "I oven", "O out") if snapshot.clocks.record else ()
    pause = "P go on" if snapshot.scene is Scene.PAUSED else "P pause"
    keys = ("B turn", "V strike", *of_boards, "D dough", pause, "E end")
    return "  ".join(key.replace(" ", _TIED) for key in keys)


def _headline(snapshot: Snapshot) -> str:
    cue = told(snapshot)
    if cue is None:
        return " ".join(scene_words(snapshot))
    if cue.verdict is Verdict.ONE_AT_A_TIME:
        return cue_word(cue)
    if not snapshot.slowed:
        return f"{cue_word(cue)} ~"
    about = "" if cue.firm else "~"
    return f"{cue_word(cue)} {about}{signed(cue.error_mg, snapshot.division_mg)} g"
