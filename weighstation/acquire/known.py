"""What is kept about lines, so that the next one like them is read in one look."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weighstation.acquire.division import DivisionLearner

if TYPE_CHECKING:
    from weighstation.acquire.marks import MarkPattern
    from weighstation.acquire.resolution import Resolution
    from weighstation.events import Status

_DIGITS_TO_ZERO = bytes.maketrans(b"123456789", b"000000000")
_SEPARATORS = b".,'"


@dataclass(slots=True)
class Scale:
    """A resolution and the division learned in it."""

    resolution: Resolution
    division: DivisionLearner = field(default_factory=DivisionLearner)

    @property
    def division_mg(self) -> int:
        """The division in milligrams, at least one."""
        return max(1, self.resolution.mg(self.division.step))


@dataclass(frozen=True, slots=True)
class Template:
    """What is the same on all lines that differ in their digits only.

    Parameters
    ----------
    start, end : int
        Where the digits of the number lie.
    sign : int
        1 or -1.
    scale : Scale
    pattern : MarkPattern or None
    state : Status or None
        Where the marks tell a state instead of a weight.
    several : bool
        The lines hold other numbers too.
    flags : tuple of int
        Where digits stand that are marks; each of their values has its own template.
    """

    start: int
    end: int
    sign: int
    scale: Scale
    pattern: MarkPattern | None
    state: Status | None
    flags: tuple[int, ...]
    several: bool = False

    def counts(self, line: bytes) -> int:
        """Return the number of a line in counts of its last printed place.

        Parameters
        ----------
        line : bytes

        Returns
        -------
        int
        """
        return self.sign * int(line[self.start : self.end].translate(None, _SEPARATORS))


@dataclass(frozen=True, slots=True)
class Seen:
    """A weight line that has been read before."""

    line: bytes
    text: str
    gross_mg: int
    scale: Scale
    pattern: MarkPattern | None


@dataclass(slots=True)
class Templates:
    """The templates of a port, found by a line with all its digits made zero."""

    _known: dict[bytes, Template] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self._known)

    def find(self, line: bytes) -> Template | None:
        """Return the template of a line, or None.

        Parameters
        ----------
        line : bytes

        Returns
        -------
        Template or None
        """
        form = line.translate(_DIGITS_TO_ZERO)
        template = self._known.get(form)
        if template is not None and template.flags:
            return self._known.get(_flagged(form, line, template.flags))
        return template

    def keep(self, line: bytes, template: Template) -> None:
        """Keep the template of a line.

        Parameters
        ----------
        line : bytes
        template : Template
        """
        form = line.translate(_DIGITS_TO_ZERO)
        self._known[form] = template
        if template.flags:
            self._known[_flagged(form, line, template.flags)] = template

    def clear(self) -> None:
        """Forget all of them."""
        self._known.clear()


def _flagged(form: bytes, line: bytes, flags: tuple[int, ...]) -> bytes:
    """Return a form with the values of its flags, which no plain form can equal."""
    return form + b"\n" + bytes(line[place] for place in flags)
