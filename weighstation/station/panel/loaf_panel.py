"""Pictures of baked loaves -> the panel: what a loaf weighs, read from two metres, and no cue."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from weighstation.quantities import grams_text
from weighstation.station.bench.loaf_words import loaf_armed_text, loaf_lain_text, why_not_text
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.wording import promised, signed
from weighstation.station.panel.cue import WORD_LINES, big_lines, size_for
from weighstation.station.panel.palette import IN_COLOUR, WITHOUT_COLOUR
from weighstation.station.panel.panel import LEAST_HEIGHT, LEAST_WIDTH, MOST_OF_HEIGHT
from weighstation.station.panel.screen import Screen
from weighstation.station.showing.facts import NONE_YET, TENTH_MG
from weighstation.station.showing.told import SCENE_WORDS

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.style import Style

    from weighstation.events import LoafShown
    from weighstation.station.bench.loaf_snapshot import LoafSnapshot
    from weighstation.station.panel.cue import Size
    from weighstation.station.showing.facts import Fact

_FIXED_LINES = 11
"""Header, frame, caption and frame, three facts, three messages, keys."""
_GAPS = 5
_CAPTIONS: dict[Scene, str] = {
    Scene.NO_SCALE_YET: "waiting for the first line of the scale",
    Scene.EMPTY: "the pan is empty",
    Scene.MOVING: "the pan is moving",
    Scene.OVERLOADED: "more than the scale can weigh",
    Scene.SCALE_LOST: "no readings are coming",
}


def render_loaves(
    snapshot: LoafSnapshot, *, width: int, height: int, colour: bool
) -> RenderableType:
    """Return the panel for one picture of the bench.

    Parameters
    ----------
    snapshot : LoafSnapshot
    width, height : int
        Columns and lines of the screen.
    colour : bool
        Without it the panel uses bold, dim and reverse only.

    Returns
    -------
    RenderableType
        Exactly ``height`` lines of ``width`` columns.
    """
    screen = Screen(width, IN_COLOUR if colour else WITHOUT_COLOUR)
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        _draw_small(screen, snapshot)
    else:
        _draw(screen, snapshot, height)
    return screen.text(height)


def _draw(screen: Screen, snapshot: LoafSnapshot, height: int) -> None:
    spare = height - _FIXED_LINES
    rows = max(min(spare - _GAPS, round(height * MOST_OF_HEIGHT)), WORD_LINES)
    size = size_for(screen.width, rows, snapshot.division_mg)
    gap, more = divmod(max(spare - size.rows, 0), _GAPS)
    _header(screen, snapshot)
    screen.blank(gap)
    _weight(screen, snapshot, size, gap)
    screen.blank(gap)
    _facts(screen, snapshot)
    screen.blank(gap)
    _messages(screen, snapshot)
    screen.blank(gap + more)
    _keys(screen, snapshot)


def _header(screen: Screen, snapshot: LoafSnapshot) -> None:
    style = screen.palette.alarm if snapshot.alarm else screen.palette.strong
    screen.ends(snapshot.product, _declared(snapshot), style)


def _declared(snapshot: LoafSnapshot) -> str:
    if snapshot.declared_mg is None:
        return "baked loaves, no declared weight"
    return f"baked loaves, declared {promised(snapshot.declared_mg)} g"


def _on_pan(snapshot: LoafSnapshot) -> LoafShown | None:
    return snapshot.shown if snapshot.scene is Scene.CUED else None


def _style(screen: Screen, snapshot: LoafSnapshot) -> Style:
    palette, shown = screen.palette, _on_pan(snapshot)
    if snapshot.scene is Scene.SCALE_LOST:
        return palette.alarm
    if snapshot.scene is Scene.OVERLOADED or (shown is not None and shown.why_not is not None):
        return palette.odd
    return palette.quiet if shown is None else palette.keep


def _weight(screen: Screen, snapshot: LoafSnapshot, size: Size, gap: int) -> None:
    style, shown = _style(screen, snapshot), _on_pan(snapshot)
    light, double = "\N{BOX DRAWINGS LIGHT HORIZONTAL}", "\N{BOX DRAWINGS DOUBLE HORIZONTAL}"
    frame = "!" if snapshot.alarm else light if shown is None else double
    frame_style = screen.palette.alarm if snapshot.alarm else screen.palette.quiet
    screen.line((frame * screen.width, frame_style))
    for line in [""] * gap + _big(snapshot, size):
        screen.line((line, style), fill=style)
    screen.line((" " * size.margin + _caption(snapshot), style), fill=style)
    screen.line((frame * screen.width, frame_style))


def _big(snapshot: LoafSnapshot, size: Size) -> list[str]:
    shown = _on_pan(snapshot)
    if shown is None:
        return big_lines(SCENE_WORDS.get(snapshot.scene, ("WAIT",)), "", size)
    words = ("LOAF",) if shown.why_not is None else ("NO", "LOAF")
    return big_lines(words, grams_text(shown.net_mg, snapshot.division_mg), size)


def _caption(snapshot: LoafSnapshot) -> str:
    shown = _on_pan(snapshot)
    if snapshot.scene is Scene.LADEN:
        return loaf_lain_text(snapshot)
    if snapshot.scene is Scene.EMPTY and snapshot.shown is not None:
        return f"{_named(snapshot.shown, snapshot)}   off the pan"
    if shown is None:
        return _CAPTIONS.get(snapshot.scene, "")
    if shown.why_not is not None:
        return f"does not count: {why_not_text(shown.why_not)}"
    outlook = "cannot be counted now" if snapshot.alarm else "counts once it is off the pan"
    return f"{_named(shown, snapshot)}   {outlook}"


def _named(shown: LoafShown, snapshot: LoafSnapshot) -> str:
    return f"loaf {shown.number}   {grams_text(shown.net_mg, snapshot.division_mg)} g"


def _left_facts(snapshot: LoafSnapshot) -> tuple[Fact, Fact, Fact]:
    last = NONE_YET
    if snapshot.last_number is not None and snapshot.last_mg is not None:
        weight = grams_text(snapshot.last_mg, snapshot.division_mg)
        last = f"loaf {snapshot.last_number}, {weight} g, saved"
    return ("Counted", _counted(snapshot)), ("Last", last), ("Mean", _mean(snapshot))


def _counted(snapshot: LoafSnapshot) -> str:
    if snapshot.planned is None:
        return str(snapshot.counted)
    left = snapshot.planned - snapshot.counted
    said = f"{left} left" if left >= 0 else f"{-left} too many"
    return f"{snapshot.counted} of {snapshot.planned}, {said}"


def _mean(snapshot: LoafSnapshot) -> str:
    mean_mg, declared_mg = snapshot.mean_mg, snapshot.declared_mg
    if mean_mg is None:
        return NONE_YET
    said = f"{grams_text(round(mean_mg), TENTH_MG)} g"
    return said if declared_mg is None else f"{said} ({signed(mean_mg - declared_mg, TENTH_MG)})"


def _right_facts(snapshot: LoafSnapshot) -> tuple[Fact, Fact, Fact]:
    spread, minutes = snapshot.sd_mg, snapshot.out_of_oven_min
    piece = "no mark" if snapshot.piece is None else f"piece {snapshot.piece}"
    typed = f", typed {snapshot.typed}" if snapshot.typed else ""
    return (
        ("Spread", NONE_YET if spread is None else f"{grams_text(round(spread), TENTH_MG)} g"),
        ("Since oven", "not said" if minutes is None else f"{minutes:.0f} min"),
        ("Next is" if _on_pan(snapshot) is None else "This is", f"{piece}{typed}"),
    )


def _facts(screen: Screen, snapshot: LoafSnapshot) -> None:
    palette, half = screen.palette, screen.width // 2
    rows = zip(_left_facts(snapshot), _right_facts(snapshot), strict=True)
    for (name, said), (other, said_too) in rows:
        screen.line(
            (f"  {name:<12}", palette.quiet),
            (f"{said[: half - 15]:<{half - 14}}", palette.plain),
            (f"{other:<12}", palette.quiet),
            (said_too, palette.plain),
        )


def _messages(screen: Screen, snapshot: LoafSnapshot) -> None:
    """Three lines, filled from below: the alarm, else the notice."""
    palette, room = screen.palette, screen.width - 4
    style = palette.alarm if snapshot.alarm else palette.plain
    said = snapshot.alarm or snapshot.notice
    lines = textwrap.wrap(said, room, max_lines=3, placeholder=" ...")
    screen.blank(3 - len(lines))
    for line in lines:
        text = line.center(screen.width) if snapshot.alarm else f"  {line}"
        screen.line((text, style), fill=style)


def _keys(screen: Screen, snapshot: LoafSnapshot) -> None:
    palette, armed = screen.palette, loaf_armed_text(snapshot)
    if armed:
        screen.line((armed.center(screen.width), palette.ask), fill=palette.ask)
        return
    names = {"V": "strike out", "0-9": "which piece it was", "E": "end"}
    room = (screen.width - 4) // len(names)
    parts = [("  ", palette.quiet)]
    for key, name in names.items():
        parts.append((f" {key} ", palette.key))
        parts.append((f" {name}".ljust(room - len(key) - 2), palette.quiet))
    screen.line(*parts)


def _draw_small(screen: Screen, snapshot: LoafSnapshot) -> None:
    """Draw what is told first, so that the last lines are what a small screen loses."""
    palette, width = screen.palette, max(screen.width, 1)
    for line in textwrap.wrap(snapshot.alarm, width):
        screen.line((line, palette.alarm), fill=palette.alarm)
    shown = _on_pan(snapshot)
    words = " ".join(SCENE_WORDS.get(snapshot.scene, ("WAIT",)))
    if shown is not None:
        word = "LOAF" if shown.why_not is None else "NO LOAF"
        words = f"{word} {grams_text(shown.net_mg, snapshot.division_mg)} g"
    style = _style(screen, snapshot)
    screen.line((words, style), fill=style)
    screen.line((_caption(snapshot), palette.plain))
    for said, look in ((loaf_armed_text(snapshot), palette.ask), (snapshot.notice, palette.plain)):
        for line in textwrap.wrap(said, width):
            screen.line((line, look), fill=look)
    for name, fact in (*_left_facts(snapshot), *_right_facts(snapshot)):
        screen.line((f"{name}: ", palette.quiet), (fact, palette.plain))
    screen.line((f"{snapshot.product}, {_declared(snapshot)}", palette.quiet))
    screen.line(("V strike out  0-9 piece  E end", palette.quiet))
