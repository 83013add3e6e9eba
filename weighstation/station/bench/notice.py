"""Sentences for the panel, one at a time -> how long each stays."""

from __future__ import annotations

HELD_S = 4.0
"""A sentence that nobody waits for stays at least this long."""


class Notice:
    """The one plain sentence on the panel.

    Parameters
    ----------
    text : str
        What is said before the first load; may be empty.

    Attributes
    ----------
    text : str
        May be set; another one takes its place at once.
    """

    def __init__(self, text: str) -> None:
        self.text = text
        self._held_until_s = 0.0

    def hold(self, text: str, now_s: float) -> None:
        """Say what a person may not be looking for.

        Parameters
        ----------
        text : str
        now_s : float, seconds
        """
        self.text, self._held_until_s = text, now_s + HELD_S

    def held(self, now_s: float) -> str:
        """Return the text while it is held, else nothing.

        Parameters
        ----------
        now_s : float, seconds

        Returns
        -------
        str
        """
        return self.text if now_s < self._held_until_s else ""

    def pass_by(self, now_s: float) -> None:
        """Say nothing more, because the work goes on, unless it is held.

        Parameters
        ----------
        now_s : float, seconds
        """
        if now_s >= self._held_until_s:
            self.text = ""
