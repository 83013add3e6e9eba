"""Snapshots -> the panel, a screen of fixed height that a baker reads from two metres."""

from __future__ import annotations

import textwrap
from collections import Counter
from typing import TYPE_CHECKING, Any, Self

from rich.live import Live

from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.wording import (
    armed_sentences,
    band_text,
    lifted_key_text,
    lifted_text,
    promised,
)
from weighstation.station.panel.cue import WORD_LINES, cue_lines, size_for
from weighstation.station.panel.palette import IN_COLOUR, WITHOUT_COLOUR
from weighstation.station.panel.ruler import ruler_lines
from weighstation.station.panel.screen import Screen
from weighstation.station.panel.small import draw_small
from weighstation.station.showing.facts import (
    NONE_YET,
    caption,
    dough,
    left_facts,
    resting,
    right_facts,
)
from weighstation.station.showing.told import told

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import TracebackType

    from rich.console import Console, RenderableType

    from weighstation.events import Cue
    from weighstation.station.bench.snapshot import Snapshot
    from weighstation.station.panel.cue import Size

FASTEST_S = 1 / 8
"""A screen is not redrawn sooner than this after the one before."""
TICK_S = 1 / 4
"""A screen is redrawn at least this often."""
_NEEDED = "\u2580\u2584\u2588\u2593\u25bc\u25c4\u25ba\u25bd\u2500\u2550\u256a\u2212"
"""Blocks, marker, lines and minus: what a terminal must be able to write."""
LEAST_WIDTH, LEAST_HEIGHT = 72, 22
"""A smaller screen is given words in ordinary letters."""
_FIXED_LINES = 8
"""All lines but those of the letters, the ruler and the facts."""
_RULER = 3
"""Lines of the ruler, which a screen of fewer lines than usual goes without."""
_FACTS = 4
"""Lines of facts; one more where boards are kept."""
_GAPS = ("letters", "facts", "ruler", "cue", "messages")
_LEAST_GAPS = 2
_BESIDE = 14
"""Columns from the left of a fact's name to its text, and of the text to the next name."""
_MIXED = 24
"""Columns of the dough's age since mixing, so that what stands behind it does not jump."""
_WIDE = 112
"""Columns from which there is room for the full names of all keys."""
_SIGN = 7
"""Columns of the sign and the word of a rest."""
MOST_OF_HEIGHT = 0.4
"""Share of the screen that the big letters may take."""


def suits(console: Console) -> bool:
    """Return whether a console can show the panel; where not, plain lines are for it.

    Parameters
    ----------
    console : Console

    Returns
    -------
    bool
    """
    if not console.is_terminal or console.is_dumb_terminal:
        return False
    try:
        _NEEDED.encode(console.encoding)
    except (LookupError, UnicodeEncodeError):
        return False
    return True


def render(snapshot: Snapshot, *, width: int, height: int, colour: bool) -> RenderableType:
    """Return the panel for one picture of the bench.

    Parameters
    ----------
    snapshot : Snapshot
    width, height : int
        Columns and lines of the screen; meant for 80 by 24 and larger.
    colour : bool
        Without it the panel uses bold, dim and reverse only.

    Returns
    -------
    RenderableType
        Exactly ``height`` lines of ``width`` columns; where that is too small for big letters, the
        cue in ordinary ones.
    """
    screen = Screen(width, IN_COLOUR if colour else WITHOUT_COLOUR)
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        draw_small(screen, snapshot)
    else:
        _draw(screen, snapshot, height)
    return screen.text(height)


def _draw(screen: Screen, snapshot: Snapshot, height: int) -> None:
    facts = _FACTS if snapshot.clocks.record is None else _FACTS + 1
    spare = height - _FIXED_LINES - facts
    has_ruler = spare >= _RULER + WORD_LINES
    spare -= _RULER if has_ruler else 0
    rows = max(min(spare - _LEAST_GAPS, round(height * MOST_OF_HEIGHT)), WORD_LINES)
    size = size_for(screen.width, rows, snapshot.division_mg)
    gap = _gaps(spare - size.rows, facts)
    _header(screen, snapshot)
    screen.blank(gap["cue"])
    _cue(screen, snapshot, size, gap["letters"])
    screen.blank(gap["ruler"])
    if has_ruler:
        _ruler(screen, snapshot)
    screen.blank(gap["facts"])
    _facts(screen, snapshot, gap["fact"])
    screen.blank(gap["messages"])
    _messages(screen, snapshot)
    screen.blank(gap["keys"])
    _keys(screen, snapshot)


def _gaps(lines: int, facts: int) -> dict[str, int]:
    """Return the empty lines above each part, dealt out one by one, the first parts first."""
    parts = (*_GAPS, *["fact"] * (facts - 1), "keys")
    dealt = Counter(parts[place % len(parts)] for place in range(max(lines, 0)))
    # There is a gap less than there are facts; what does not go round them goes to the keys.
    fact, over = divmod(dealt["fact"], facts - 1)
    return {part: dealt[part] for part in _GAPS} | {"fact": fact, "keys": dealt["keys"] + over}


def _header(screen: Screen, snapshot: Snapshot) -> None:
    style = screen.palette.alarm if snapshot.alarm else screen.palette.strong
    aim = f"aim {promised(snapshot.limits.target_mg)} g, {band_text(snapshot)}"
    screen.ends(snapshot.product, aim, style)


def _cue(screen: Screen, snapshot: Snapshot, size: Size, gap: int) -> None:
    palette, cue = screen.palette, told(snapshot)
    style = palette.quiet if cue is None else palette.cue(cue)
    if snapshot.scene in (Scene.OVERLOADED, Scene.SCALE_LOST):
        style = palette.odd if snapshot.scene is Scene.OVERLOADED else palette.alarm
    frame = _frame(snapshot, cue)
    frame_style = palette.alarm if snapshot.alarm else palette.quiet
    screen.line((frame * screen.width, frame_style))
    for line in [""] * gap + cue_lines(snapshot, size):
        screen.line((line, style), fill=style)
    screen.line((" " * size.margin + caption(snapshot), style), fill=style)
    screen.line((frame * screen.width, frame_style))


def _frame(snapshot: Snapshot, cue: Cue | None) -> str:
    if snapshot.alarm:
        return "!"
    if cue is None:
        return "\N{BOX DRAWINGS LIGHT HORIZONTAL}"
    return "\N{BOX DRAWINGS DOUBLE HORIZONTAL}" if cue.firm else "- "


def _ruler(screen: Screen, snapshot: Snapshot) -> None:
    palette = screen.palette
    cue = told(snapshot) if snapshot.slowed else None
    lines = ruler_lines(snapshot.limits, cue, screen.width - 4)
    for line, style in zip(lines, (palette.strong, palette.plain, palette.quiet), strict=True):
        screen.line((f"  {line}", style))


def _facts(screen: Screen, snapshot: Snapshot, gap: int) -> None:
    palette = screen.palette
    half = screen.width // 2
    rows = zip(left_facts(snapshot), right_facts(snapshot), strict=True)
    for (name, said), (other, said_too) in rows:
        left = f"{said[: half - _BESIDE - 1]:<{half - _BESIDE}}"
        screen.line(
            (f"  {name:<12}", palette.quiet),
            (left, palette.plain),
            (f"{other:<12}", palette.quiet),
            (said_too, palette.plain),
        )
        screen.blank(gap)
    _dough(screen, snapshot, half - _BESIDE)
    if snapshot.clocks.record is not None:
        screen.blank(gap)
        _resting(screen, snapshot)


def _dough(screen: Screen, snapshot: Snapshot, room: int) -> None:
    palette, said = screen.palette, dough(snapshot)
    mixed = f"{said.mixed:<{_MIXED}}" if said.mixed else ""
    screen.line(
        (f"  {'Dough':<12}", palette.quiet),
        (f"{said.cut:<{room}}{mixed}", palette.plain),
        (said.fits, palette.alarm if said.is_late else palette.plain),
    )


def _resting(screen: Screen, snapshot: Snapshot) -> None:
    palette, found = screen.palette, resting(snapshot)
    name = (f"  {'Resting':<12}", palette.quiet)
    if found is None:
        screen.line(name, (NONE_YET, palette.plain))
        return
    rested, text = found
    screen.line(name, (text[:_SIGN], palette.rest(rested)), (text[_SIGN:], palette.plain))


def _messages(screen: Screen, snapshot: Snapshot) -> None:
    """Three lines, filled from below: a lifted piece, a caution or signal, the alarm or notice."""
    palette, room = screen.palette, screen.width - 4
    if snapshot.alarm:
        lines = 2 if armed_sentences(snapshot)[:-1] else 3
        said = textwrap.wrap(snapshot.alarm, room, max_lines=lines, placeholder=" ...")
        parts = [(line.center(screen.width), palette.alarm) for line in said]
    else:
        urgent = _urgent(snapshot)
        lines = 1 if urgent else 2
        text, style = snapshot.notice, palette.plain
        if not text:
            text, style = snapshot.offer, palette.quiet
        said = textwrap.wrap(text, room, max_lines=lines, placeholder=" ...") or [""]
        parts = [(f"  {line}", palette.strong) for line in urgent]
        parts += [(f"  {line}", style) for line in said if line or len(urgent) < 2]
    above = 3 - len(parts)
    if above:
        screen.blank(above - 1)
        _lifted(screen, snapshot)
    for part in parts:
        screen.line(part, fill=part[1])


def _urgent(snapshot: Snapshot) -> list[str]:
    """Return what to be careful about and what the cuts show, as far as there is room for both."""
    caution = snapshot.clocks.caution(snapshot.t_s, snapshot.pieces_left)
    said = [f"! {caution.text}"] if caution else []
    if not snapshot.signal:
        return said
    is_full = snapshot.notice and (snapshot.lifted or armed_sentences(snapshot)[:-1])
    return [snapshot.signal] if is_full else [*said, snapshot.signal]


def _lifted(screen: Screen, snapshot: Snapshot) -> None:
    palette, note = screen.palette, snapshot.lifted
    before = armed_sentences(snapshot)[:-1]
    if before:
        screen.line((f"  {before[0]}", palette.strong))
        return
    if note is None:
        screen.blank(1)
        return
    said = f"  {lifted_text(note, snapshot.division_mg)} \N{EM DASH} "
    screen.line((said, palette.plain), (lifted_key_text(note), palette.strong))


def _keys(screen: Screen, snapshot: Snapshot) -> None:
    armed = armed_sentences(snapshot)
    if armed:
        screen.line((armed[-1].center(screen.width), screen.palette.ask), fill=screen.palette.ask)
        return
    names = _key_names(snapshot, screen.width)
    natural = sum(len(f" {key}  {name}") for key, name in names.items())
    apart = (screen.width - 4 - natural) // len(names)
    parts = [("  ", screen.palette.quiet)]
    for key, name in names.items():
        parts.append((f" {key} ", screen.palette.key))
        parts.append((f" {name}{' ' * apart}", screen.palette.quiet))
    screen.line(*parts)


def _key_names(snapshot: Snapshot, width: int) -> dict[str, str]:
    pause = "go on" if snapshot.scene is Scene.PAUSED else "pause"
    dough = "all weighed" if snapshot.scene is Scene.DOUGH_LEFT else "weigh dough"
    if snapshot.clocks.record is None:
        return {"B": "turn lifted", "V": "strike out", "D": dough, "P": pause, "E": "end batch"}
    wide = {"C": "close board", "S": "to bench", "I": "oven in", "O": "oven out"}
    if width >= _WIDE:
        names = {"B": "turn lifted", "V": "strike out", **wide}
        return {**names, "D": dough, "P": pause, "E": "end batch"}
    short = {"C": "close", "S": "bench", "I": "oven", "O": "out"}
    return {"B": "turn", "V": "strike", **short, "D": "dough", "P": pause, "E": "end"}


class Panel:
    """The panel on a terminal, while it is entered.

    Parameters
    ----------
    console : Console
        One that :func:`suits`.
    draw : callable
        Makes a screen of a picture; as `render` does.
    """

    def __init__(self, console: Console, draw: Callable[..., RenderableType] = render) -> None:
        self._console = console
        self._draw = draw
        self._live = Live(
            console=console, screen=True, auto_refresh=False, vertical_overflow="crop"
        )
        self._shown: object = None
        self._drawn_s = float("-inf")

    def __enter__(self) -> Self:
        """Take the screen."""
        self._live.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        exc: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Give the screen back as it was."""
        self._live.stop()

    def show(self, snapshot: Any, t_s: float) -> bool:  # noqa: ANN401 - what is drawn knows it
        """Draw a snapshot if it is time to; call it often, with the latest there is.

        Parameters
        ----------
        snapshot : Snapshot, or another kind that is drawn
        t_s : float, seconds
            A steady clock.

        Returns
        -------
        bool
            Whether it was drawn.
        """
        since_s = t_s - self._drawn_s
        if since_s < (TICK_S if snapshot is self._shown else FASTEST_S):
            return False
        width, height = self._console.size
        colour = self._console.color_system is not None and not self._console.no_color
        drawn = self._draw(snapshot, width=width, height=height, colour=colour)
        self._live.update(drawn, refresh=True)
        self._shown, self._drawn_s = snapshot, t_s
        return True
