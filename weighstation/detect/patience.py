"""How many readings longer than physics asks for, learned from the hands at this bench."""

from __future__ import annotations

_MOST = 3
_TOO_MANY = 0.02
_CLEAN = 80


class Patience:
    """Wait longer where firm weights turned out to be a hand, less where they never did.

    Hands that lie still on a piece look like dough. How often they do is a habit of the baker, so
    each time a firm weight had to be corrected the run that is asked for grows by one, and after
    eighty that held it shrinks again.
    """

    def __init__(self) -> None:
        self.extra = 0
        self._held = 0
        self._wrong = 0

    def see(self, *, held: bool) -> None:
        """Take in how a firm weight turned out.

        Parameters
        ----------
        held : bool
            False when the weight was a hand, and fell as it came off.
        """
        self._held += held
        self._wrong += not held
        tried = self._held + self._wrong
        if self._wrong and self._wrong > _TOO_MANY * (tried + 20):
            self.extra = min(_MOST, self.extra + 1)
            self._held = self._wrong = 0
        elif self._held >= _CLEAN:
            self.extra = max(0, self.extra - 1)
            self._held = self._wrong = 0
