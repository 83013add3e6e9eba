"""Every way this package says that something went wrong.

::

    WeighstationError(Exception)              .hint: what to do next; .exit_code
     +-- SpecificationError(ValueError)       what was promised is impossible; all faults at once
     +-- RecordingError(ValueError)           a file that is not a recording
     +-- ScaleError                           the scale or the link to it
     |    +-- ScaleAbsentError               nothing is plugged in there, at least not now
     |    +-- LinkLostError(ConnectionError)  the line went away while it was in use
     +-- SequenceError(RuntimeError)          an event that cannot follow: a bug of ours
     +-- NotEnoughDataError(ValueError)       too few pieces for a chart; carries .have and .need
     +-- JournalError                         the durable record
          +-- ChainBrokenError                a line does not follow from the last; carries .seq
          +-- JournalFullError(OSError)       disk full, read-only or gone: nothing more is counted
          +-- SchemaTooNewError               written by a newer weighstation

Outcomes of weighing are values, not exceptions: a light piece is a ``Cue``, an overload is the
status of a ``Reading``. Foreign exceptions are translated where they enter, always ``from exc``.
"""

from __future__ import annotations

from typing import ClassVar


class WeighstationError(Exception):
    """Something a person can act on.

    Parameters
    ----------
    message : str
        What is wrong, in one plain sentence.
    hint : str
        What to do next, in one plain sentence; may be empty when the message says it.
    """

    exit_code: ClassVar[int] = 2

    def __init__(self, message: str, *, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint

    @property
    def sentence(self) -> str:
        """The message and the hint as one line for the person at the bench."""
        return f"{self} {self.hint}".strip()


class SpecificationError(WeighstationError, ValueError):
    """What was asked for is impossible.

    Parameters
    ----------
    message : str
        What is wrong.
    hint : str
        What to do next.
    faults : tuple of str
        Every fault of the file, so that all can be mended at once.
    """

    def __init__(self, message: str, *, hint: str = "", faults: tuple[str, ...] = ()) -> None:
        super().__init__(message, hint=hint)
        self.faults = faults


class RecordingError(WeighstationError, ValueError):
    """The file is not a recording, or holds nothing that can be used."""


class ScaleError(WeighstationError):
    """The scale cannot be opened or read."""

    exit_code: ClassVar[int] = 3


class ScaleAbsentError(ScaleError):
    """There is no such device, or nobody answers there, at least not now."""


class LinkLostError(ScaleError, ConnectionError):
    """The link to the scale went away while it was in use."""


class SequenceError(WeighstationError, RuntimeError):
    """An event arrived that cannot follow the one before it; this is a bug of ours."""

    exit_code: ClassVar[int] = 1


class NotEnoughDataError(WeighstationError, ValueError):
    """A chart or a figure was asked of too few pieces.

    Parameters
    ----------
    message : str
        What was asked.
    have, need : int
        How many there are, and how many it takes.
    hint : str
        What to do next.
    """

    def __init__(self, message: str, *, have: int, need: int, hint: str = "") -> None:
        super().__init__(message, hint=hint)
        self.have = have
        self.need = need


class JournalError(WeighstationError):
    """The journal cannot be read or written."""

    exit_code: ClassVar[int] = 4


class ChainBrokenError(JournalError):
    """A line does not follow from the one before it.

    Parameters
    ----------
    message : str
        What does not hold.
    seq : int
        Number of the first line that does not hold.
    hint : str
        What to do next.
    """

    exit_code: ClassVar[int] = 1

    def __init__(self, message: str, *, seq: int, hint: str = "") -> None:
        super().__init__(message, hint=hint)
        self.seq = seq


class JournalFullError(JournalError, OSError):
    """The disk is full, read-only or gone: the station stops counting."""


class SchemaTooNewError(JournalError):
    """The journal was written by a newer weighstation."""
