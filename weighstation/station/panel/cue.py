"""The big letters: word, symbol, sign and grams of a cue, or the word for a scene without one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.quantities import decimals
from weighstation.station.bench.wording import signed
from weighstation.station.panel.glyphs import (
    GLYPHS,
    HEIGHT,
    Pixels,
    cells,
    enlarged,
    hollow,
    joined,
    letters,
    scaled,
    smoothed,
)
from weighstation.station.showing.told import scene_words, told

if TYPE_CHECKING:
    from weighstation.events import Cue
    from weighstation.station.bench.snapshot import Snapshot

WORD_PX = 19
"""Widest of the words that stand beside grams, in pixels at scale 1."""
SOLID, SHADE = "\N{FULL BLOCK}", "\N{DARK SHADE}"
BESIDE = 3
"""Columns between the word and the grams."""
WORD_LINES = 8
"""Lines of a word with its symbol, or of two words, at scale 1."""
_NOMINAL = {0: "-88", 1: "-88.8", 2: "-8.88", 3: "-8.88"}
_SYMBOLS = {Verdict.ADD: "up", Verdict.TRIM: "down", Verdict.KEEP: "tick"}


@dataclass(frozen=True, slots=True)
class Size:
    """How big the letters are.

    Parameters
    ----------
    word, grams : int
        Scales of the word and of the digits.
    rows : int
        Lines of the whole cue.
    width : int
        Columns of the whole cue.
    margin : int
        Columns left of the word.
    """

    word: int
    grams: int
    rows: int
    width: int
    margin: int


def size_for(width: int, rows: int, division_mg: int) -> Size:
    """Return the biggest letters that a place holds, the same for every cue of a scale.

    Parameters
    ----------
    width, rows : int
        Columns and lines of the place.
    division_mg : int, milligrams
        Decides how many digits are usual.

    Returns
    -------
    Size
    """
    usual = _NOMINAL[decimals(division_mg)]
    for grams in range(8, 1, -1):
        word = max(1, grams // 2)
        across = _across(usual, word, grams)
        down = max(_lines(grams), WORD_LINES * word)
        if across <= width - 2 and down <= rows:
            spare = width - _across(usual + "8", word, grams)
            middle = (width - across) // 2
            return Size(word, grams, down, width, min(middle, spare) if spare > 0 else middle)
    return Size(1, 1, min(rows, WORD_LINES), width, 1)


def cue_lines(snapshot: Snapshot, size: Size) -> list[str]:
    """Return the big letters for what the bench is doing.

    Parameters
    ----------
    snapshot : Snapshot
    size : Size

    Returns
    -------
    list of str
        ``size.rows`` lines of ``size.width`` columns.
    """
    cue = told(snapshot)
    if cue is None:
        return big_lines(scene_words(snapshot), "", size)
    if cue.verdict is Verdict.ONE_AT_A_TIME:
        beside = cells(smoothed(GLYPHS["two"], size.grams))
        return _placed(_side_by_side(_stacked(("ONE AT", "A TIME"), size), beside), size)
    return _placed(_side_by_side(_told(cue, size), _grams(cue, snapshot, size)), size)


def big_lines(words: tuple[str, ...], text: str, size: Size) -> list[str]:
    """Return words, one above the other, and grams beside them where there are some.

    Parameters
    ----------
    words : tuple of str
        One or two; beside grams none is wider than ``WORD_PX``.
    text : str, grams
        May be empty.
    size : Size

    Returns
    -------
    list of str
        ``size.rows`` lines of ``size.width`` columns.
    """
    block = _stacked(words, size)
    if text:
        block = [line.ljust(WORD_PX * size.word) for line in block]
        block = _side_by_side(block, _drawn(text, size))
    return _placed(block, size)


def _told(cue: Cue, size: Size) -> list[str]:
    """Return word and symbol: the arrow of *add* stands above its word, others below."""
    if cue.cut_again and cue.verdict is not Verdict.KEEP:
        block = _stacked(("CUT", "AGAIN"), size)
    else:
        word = cells(enlarged(cue.verdict.value, size.word))
        symbol = cells(smoothed(GLYPHS[_SYMBOLS[cue.verdict]], size.word))
        pair = (symbol, word) if cue.verdict is Verdict.ADD else (word, symbol)
        block = _above(*pair, size.word)
    width = WORD_PX * size.word
    return [line.ljust(width) for line in block]


def _grams(cue: Cue, snapshot: Snapshot, size: Size) -> list[str]:
    if not snapshot.slowed:
        return [""]
    text = signed(cue.error_mg, snapshot.division_mg)
    return _drawn(text, size, is_firm=cue.firm)


def _drawn(text: str, size: Size, *, is_firm: bool = True) -> list[str]:
    """Return grams as big as there is room for beside a word."""
    room = size.width - size.margin
    scales = range(size.grams, 1, -1)
    scale = next((s for s in scales if _across(text, size.word, s) <= room), 1)
    drawn = cells(enlarged(text, scale)) if is_firm else _soft(joined(letters(text)), scale)
    return [*drawn[:-1], f"{drawn[-1]} g"]


def _soft(pixels: Pixels, scale: int) -> list[str]:
    """Return letters that are plainly not the firm ones: hollow, or where too small, shaded."""
    drawn = cells(hollow(scaled(pixels, scale), scale))
    return drawn if scale > 2 else [line.replace(SOLID, SHADE) for line in drawn]


def _above(upper: list[str], lower: list[str], scale: int) -> list[str]:
    """Return two blocks, apart from each other where their own pixels do not see to it."""
    between = [""] if scale * HEIGHT % 2 == 0 else []
    return [*upper, *between, *lower]


def _stacked(words: tuple[str, ...], size: Size) -> list[str]:
    widest = max(_width(word, 1) for word in words)
    scale = max(1, min(size.word, (size.width - size.margin) // widest))
    drawn = [cells(enlarged(word, scale)) for word in words]
    return drawn[0] if len(drawn) == 1 else _above(drawn[0], drawn[1], scale)


def _side_by_side(left: list[str], right: list[str]) -> list[str]:
    rows = max(len(left), len(right))
    sides = (_padded(left, rows), _padded(right, rows))
    return [a + " " * BESIDE + b for a, b in zip(*sides, strict=True)]


def _padded(lines: list[str], rows: int) -> list[str]:
    """Return lines of equal width, as many as asked for, those given in their middle."""
    width = max(map(len, lines))
    above = (rows - len(lines)) // 2
    blank = [" " * width]
    below = rows - len(lines) - above
    return blank * above + [line.ljust(width) for line in lines] + blank * below


def _placed(lines: list[str], size: Size) -> list[str]:
    """Return a block at the one left margin that all cues share, in the middle of the lines."""
    padded = _padded(lines, max(size.rows, len(lines)))[: size.rows]
    return [(" " * size.margin + line).ljust(size.width)[: size.width] for line in padded]


def _across(text: str, word: int, grams: int) -> int:
    """Return the columns of a word and grams beside it."""
    return WORD_PX * word + BESIDE + _width(text, grams) + len(" g")


def _width(text: str, scale: int) -> int:
    return len(joined(letters(text))[0]) * scale


def _lines(scale: int) -> int:
    return -(-HEIGHT * scale // 2)
