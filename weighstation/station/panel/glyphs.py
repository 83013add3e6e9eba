"""Text -> big letters of our own, two pixels to a character cell.

Every letter is drawn on seven rows. A terminal cell is about twice as tall as wide, so the half
blocks give square pixels, and a letter can be made bigger by whole numbers.
"""

from __future__ import annotations

HEIGHT = 7
"""Pixel rows of a letter at scale 1."""

Pixels = tuple[tuple[bool, ...], ...]

_DRAWN = {
    "0": ".##. #..# #..# #..# #..# #..# .##.",
    "1": "..#. .##. ..#. ..#. ..#. ..#. .###",
    "2": ".##. #..# ...# ..#. .#.. #... ####",
    "3": "###. ...# ...# .##. ...# ...# ###.",
    "4": "#..# #..# #..# #### ...# ...# ...#",
    "5": "#### #... ###. ...# ...# #..# .##.",
    "6": ".##. #... #... ###. #..# #..# .##.",
    "7": "#### ...# ...# ..#. ..#. .#.. .#..",
    "8": ".##. #..# #..# .##. #..# #..# .##.",
    "9": ".##. #..# #..# .### ...# ...# .##.",
    "+": "..... ..#.. ..#.. ##### ..#.. ..#.. .....",
    "-": "..... ..... ..... ##### ..... ..... .....",
    ".": ". . . . . . #",
    " ": ".. .. .. .. .. .. ..",
    "A": ".##. #..# #..# #### #..# #..# #..#",
    "C": ".### #... #... #... #... #... .###",
    "D": "###. #..# #..# #..# #..# #..# ###.",
    "E": "#### #... #... ###. #... #... ####",
    "F": "#### #... #... ###. #... #... #...",
    "G": ".### #... #... #.## #..# #..# .###",
    "H": "#..# #..# #..# #### #..# #..# #..#",
    "I": "# # # # # # #",
    "K": "#..# #..# #.#. ##.. #.#. #..# #..#",
    "L": "#... #... #... #... #... #... ####",
    "M": "#...# ##.## #.#.# #.#.# #...# #...# #...#",
    "N": "#..# ##.# ##.# #.## #.## #..# #..#",
    "O": ".##. #..# #..# #..# #..# #..# .##.",
    "P": "###. #..# #..# ###. #... #... #...",
    "R": "###. #..# #..# ###. #.#. #..# #..#",
    "S": ".### #... #... .##. ...# ...# ###.",
    "T": "##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#..",
    "U": "#..# #..# #..# #..# #..# #..# .##.",
    "V": "#...# #...# #...# .#.#. .#.#. ..#.. ..#..",
    "W": "#...# #...# #...# #.#.# #.#.# ##.## #...#",
    "X": "#..# #..# #..# .##. #..# #..# #..#",
    "Y": "#...# #...# .#.#. ..#.. ..#.. ..#.. ..#..",
    "up": "...... ..##.. .####. ###### ..##.. ..##.. ..##..",
    "down": "..##.. ..##.. ..##.. ###### .####. ..##.. ......",
    "tick": "......# .....## #...##. ##.##.. .###... ..#.... .......",
    "two": "......... .##...##. ####.#### ####.#### ####.#### .##...##. .........",
}
GLYPHS: dict[str, Pixels] = {
    name: tuple(tuple(pixel == "#" for pixel in row) for row in rows.split())
    for name, rows in _DRAWN.items()
}


def letters(text: str) -> list[Pixels]:
    """Return the letters of a text.

    Parameters
    ----------
    text : str
        Of the characters drawn here; a true minus is one.

    Returns
    -------
    list of Pixels
    """
    return [GLYPHS[char] for char in text.upper().replace("\N{MINUS SIGN}", "-")]


def joined(glyphs: list[Pixels], *, gap: int = 1) -> Pixels:
    """Return letters side by side.

    Parameters
    ----------
    glyphs : list of Pixels
        At least one, all of one height.
    gap : int
        Empty pixels between two.

    Returns
    -------
    Pixels
    """
    rows = []
    for row in range(len(glyphs[0])):
        pixels: tuple[bool, ...] = ()
        for place, glyph in enumerate(glyphs):
            pixels += (False,) * (gap if place else 0) + glyph[row]
        rows.append(pixels)
    return tuple(rows)


def scaled(pixels: Pixels, scale: int) -> Pixels:
    """Return every pixel as a square of pixels.

    Parameters
    ----------
    pixels : Pixels
    scale : int
        At least 1.

    Returns
    -------
    Pixels
    """
    return tuple(
        tuple(pixel for pixel in row for _ in range(scale)) for row in pixels for _ in range(scale)
    )


def smoothed(pixels: Pixels, scale: int) -> Pixels:
    """Return letters made bigger, their slopes in finer steps where the scale is even.

    Parameters
    ----------
    pixels : Pixels
    scale : int
        At least 1.

    Returns
    -------
    Pixels
    """
    if scale % 2:
        return scaled(pixels, scale)
    return scaled(_doubled(pixels), scale // 2)


def enlarged(text: str, scale: int) -> Pixels:
    """Return a text in big letters, smooth but for its signs, whose corners are square.

    Parameters
    ----------
    text : str
    scale : int
        At least 1.

    Returns
    -------
    Pixels
    """
    signs = (GLYPHS["+"], GLYPHS["-"])
    grown = [
        scaled(glyph, scale) if glyph in signs else smoothed(glyph, scale)
        for glyph in letters(text)
    ]
    return joined(grown, gap=scale)


def _doubled(pixels: Pixels) -> Pixels:
    """Return every pixel as four; a corner goes to its two neighbours where they alone agree."""
    rows = []
    for r, row in enumerate(pixels):
        upper, lower = [], []
        for c, pixel in enumerate(row):
            up, down = _at(pixels, r - 1, c), _at(pixels, r + 1, c)
            left, right = _at(pixels, r, c - 1), _at(pixels, r, c + 1)
            upper.append(up if up == left and up != right and left != down else pixel)
            upper.append(up if up == right and up != left and right != down else pixel)
            lower.append(down if down == left and down != right and left != up else pixel)
            lower.append(down if down == right and down != left and right != up else pixel)
        rows += [tuple(upper), tuple(lower)]
    return tuple(rows)


def _at(pixels: Pixels, row: int, column: int) -> bool:
    return 0 <= row < len(pixels) and 0 <= column < len(pixels[row]) and pixels[row][column]


def hollow(pixels: Pixels, scale: int) -> Pixels:
    """Return scaled letters with their inside taken out.

    Parameters
    ----------
    pixels : Pixels
        Already scaled.
    scale : int
        Below 3 there is no inside, and nothing is taken out.

    Returns
    -------
    Pixels
    """
    if scale < 3:
        return pixels

    def inside(row: int, column: int) -> bool:
        return all(
            _at(pixels, r, c)
            for r in (row - 1, row, row + 1)
            for c in (column - 1, column, column + 1)
        )

    return tuple(
        tuple(pixel and not inside(r, c) for c, pixel in enumerate(row))
        for r, row in enumerate(pixels)
    )


def cells(pixels: Pixels) -> list[str]:
    """Return pixels as lines of half blocks, two pixel rows to a line.

    Parameters
    ----------
    pixels : Pixels

    Returns
    -------
    list of str
    """
    blank = (False,) * (len(pixels[0]) if pixels else 0)
    rows = [*pixels, blank] if len(pixels) % 2 else list(pixels)
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return ["".join(map(_cell, upper, lower)) for upper, lower in pairs]


def _cell(upper: bool, lower: bool) -> str:  # noqa: FBT001 - two pixels, mapped over rows
    return " \N{LOWER HALF BLOCK}\N{UPPER HALF BLOCK}\N{FULL BLOCK}"[2 * upper + lower]
