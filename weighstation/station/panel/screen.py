"""Styled parts -> a text of exactly so many lines and columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len, set_cell_size
from rich.text import Text

from weighstation.report.page.printable import printable

if TYPE_CHECKING:
    from rich.style import Style

    from weighstation.station.panel.palette import Palette

Part = tuple[str, "Style"]


class Screen:
    """Lines from the top down, each filled up to the width.

    Parameters
    ----------
    width : int
        Columns.
    palette : Palette
    """

    def __init__(self, width: int, palette: Palette) -> None:
        self.width = width
        self.palette = palette
        self._lines: list[list[Part]] = []

    def line(self, *parts: Part, fill: Style | None = None) -> None:
        """Add a line, cut off at the width or filled up to it.

        Parameters
        ----------
        *parts : Part
            Texts and their styles.
        fill : Style or None
            Style of what is left of the line.
        """
        room, kept = self.width, []
        for text, style in parts:
            clean = printable(text)
            if cell_len(clean) > room:
                clean = set_cell_size(clean, room)
            kept.append((clean, style))
            room -= cell_len(clean)
        self._lines.append([*kept, (" " * room, fill or self.palette.ground)])

    def ends(self, left: str, right: str, style: Style) -> None:
        """Add a line with a text at each end; the left one gives way.

        Parameters
        ----------
        left, right : str
        style : Style
        """
        room = max(self.width - cell_len(right) - 6, 0)
        fitted = _fitted(printable(left), room)
        self.line((f"  {fitted}  {right}  ", style), fill=style)

    def blank(self, lines: int) -> None:
        """Add empty lines.

        Parameters
        ----------
        lines : int
        """
        for _ in range(lines):
            self.line()

    def text(self, height: int) -> Text:
        """Return the screen, cut or filled to a height.

        Parameters
        ----------
        height : int
            Lines.

        Returns
        -------
        Text
        """
        self.blank(height - len(self._lines))
        text = Text(no_wrap=True, overflow="crop", end="")
        for place, parts in enumerate(self._lines[:height]):
            if place:
                text.append("\n")
            for part, style in parts:
                text.append(part, style)
        return text


def _fitted(text: str, room: int) -> str:
    """Return a text of exactly so many columns; one that is cut off says so."""
    if cell_len(text) <= room or not room:
        return set_cell_size(text, room)
    return set_cell_size(text, room - 1).rstrip() + "\N{HORIZONTAL ELLIPSIS}"
