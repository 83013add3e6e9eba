"""Lines in order -> what a failed check of the scale makes doubtful, and what settles it.

Nothing is marked in a line: which pieces and loaves are doubtful follows from the order of the
lines.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from weighstation.journal.codec import noted
from weighstation.journal.entry import read_body
from weighstation.journal.held import integer, word
from weighstation.journal.kinds import Kind
from weighstation.journal.loaves import read_baked
from weighstation.journal.piece_lines import change
from weighstation.journal.run_lines import read_run_started
from weighstation.journal.scale_checks import FIT

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weighstation.journal.entry import Body, Entry, Value
    from weighstation.journal.scale_checks import ScaleChecked


@dataclass(frozen=True, slots=True)
class Settled:
    """A person's word that a check failed by mistake, with the good one that followed.

    Parameters
    ----------
    about : int
        Number of the failed check's line.
    settled_by : int
        Number of the good check's line.
    person : str
        Who says so.
    text : str
        Why.
    """

    about: int
    settled_by: int
    person: str
    text: str


def settled(said: Settled) -> Body:
    """Return the body of the line for that.

    Parameters
    ----------
    said : Settled

    Returns
    -------
    Mapping
    """
    return {
        **noted(said.about, said.text),
        "person": said.person,
        "settled_by": said.settled_by,
    }


def read_settled(body: Body) -> Settled | None:
    """Return what the body of a note settles.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    Settled or None
        None of a note that settles nothing.

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    if "settled_by" not in body:
        return None
    return Settled(
        integer(body, "about"),
        integer(body, "settled_by"),
        word(body, "person"),
        word(body, "text"),
    )


def settling_fault(failed: ScaleChecked, good: ScaleChecked) -> str:
    """Return why a good check does not show that an earlier one failed by mistake.

    Parameters
    ----------
    failed, good : ScaleChecked
        Of one scale, the second right after the first.

    Returns
    -------
    str
        In a few words, to end a sentence with; empty where it does.

    Notes
    -----
    The good check must have done at least what the failed one did: the same weights in the same
    places as often, held against the same limits. House rule; that a result may be set aside only
    for a known cause, never because a repetition looks better, is common practice in laboratories.
    """
    if not good.is_fit:
        return "it failed too, and that is no slip"
    if replace(good.held_against, text="") != replace(failed.held_against, text=""):
        return "it was held against other limits"
    used = {weight.name: weight.mass_ug for weight in good.weights}
    if any(used.get(weight.name) != weight.mass_ug for weight in failed.weights):
        return "it was done with other weights"
    if Counter(_loads(failed)) - Counter(_loads(good)):
        return "it put the weights on less often or in fewer places"
    return ""


def _loads(check: ScaleChecked) -> list[tuple[str, str]]:
    return [(step.weight, step.where) for step in check.steps if step.weight]


def scale_name(identity: str, url: str) -> str:
    """Return the name that a scale goes by: who it is, else where it was read.

    Parameters
    ----------
    identity : str
        May be empty, as in runs of an older version.
    url : str

    Returns
    -------
    str

    Examples
    --------
    >>> scale_name("", "serial:///dev/ttyUSB0?baud=4800")
    'serial:///dev/ttyUSB0'
    """
    return identity or url.partition("?")[0]


def checked_names(body: Body) -> frozenset[str]:
    """Return the names of the scale that a check is of: who it is, and where it was read.

    Parameters
    ----------
    body : Mapping
        Of the line of the check.

    Returns
    -------
    frozenset of str

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    return frozenset({word(body, "scale"), scale_name("", word(body, "port"))})


def is_good_check(body: Body) -> bool:
    """Return whether a check found its scale fit.

    Parameters
    ----------
    body : Mapping
        Of the line of the check.

    Returns
    -------
    bool

    Raises
    ------
    JournalError
        If it does not say.
    """
    return word(body, "verdict") == FIT


Counted = tuple[str, int]
"""A run, and the number of a piece of it; or a batch, and the number of a loaf of it."""


@dataclass(slots=True)
class Doubted:
    """What counts of pieces, or of loaves, and which of it is doubtful.

    Parameters
    ----------
    doubtful : dict of (run, number) to int, milliseconds since 1970
        When each was counted.
    settled : dict of (run, number) to int
        Those that are doubtful no more: number of the line that settled it.
    failed_line : dict of (run, number) to int
        Number of the line of the first failed check that made each doubtful.
    scale_of : dict of (run, number) to str
        What those were weighed on that are doubtful, or were.
    """

    doubtful: dict[Counted, int] = field(default_factory=dict)
    settled: dict[Counted, int] = field(default_factory=dict)
    failed_line: dict[Counted, int] = field(default_factory=dict)
    scale_of: dict[Counted, str] = field(default_factory=dict)
    _since: dict[str, dict[Counted, int]] = field(default_factory=dict)

    def count(self, what: Counted, t_utc_ms: int, scale: str, failed_line: int | None) -> None:
        """Note that something counts from now on.

        Parameters
        ----------
        what : (run, number)
        t_utc_ms : int, milliseconds since 1970
        scale : str
        failed_line : int or None
            Of the check that found that scale unfit, while it is so.
        """
        if failed_line is None:
            self._since.setdefault(scale, {})[what] = t_utc_ms
        else:
            self._doubt({what: t_utc_ms}, scale, failed_line)

    def take_off(self, what: Counted) -> None:
        """Note that something counts no longer.

        Parameters
        ----------
        what : (run, number)
        """
        for counted in (*self._since.values(), self.doubtful, self.settled):
            counted.pop(what, None)

    def check(self, scale: str, failed_line: int | None) -> None:
        """Note what a check of a scale says of all since the last good one.

        Parameters
        ----------
        scale : str
        failed_line : int or None
            None of a good check.
        """
        since = self._since.pop(scale, {})
        if failed_line is not None:
            self._doubt(since, scale, failed_line)

    def _doubt(self, counted: Mapping[Counted, int], scale: str, failed_line: int) -> None:
        self.doubtful |= counted
        self.scale_of |= dict.fromkeys(counted, scale)
        self.failed_line |= dict.fromkeys(counted, failed_line)

    def settle(self, failed_line: int, line: int) -> None:
        """Note that a check failed by mistake.

        Parameters
        ----------
        failed_line : int
        line : int
            Number of the line that says so.
        """
        for what in [one for one, failed in self.failed_line.items() if failed == failed_line]:
            if self.doubtful.pop(what, None) is not None:
                self.settled[what] = line


@dataclass(slots=True)
class Doubts:
    """Reads lines in order and tells which counted pieces and loaves are doubtful.

    Either is doubtful if it was weighed on a scale after its last good check and before the next
    one, and a check in between found the scale unfit. A later good check does not clear it; a
    person may, by a line that says why the check failed by mistake.

    Parameters
    ----------
    pieces, loaves : Doubted
    settlements : dict of int to Settled
        What the lines say that settle a doubt, by their numbers.
    """

    pieces: Doubted = field(default_factory=Doubted)
    loaves: Doubted = field(default_factory=Doubted)
    settlements: dict[int, Settled] = field(default_factory=dict)
    _scale_of: dict[str, str] = field(default_factory=dict)
    _unfit: dict[str, int] = field(default_factory=dict)

    def feed(self, entry: Entry) -> None:
        """Take the next line.

        Parameters
        ----------
        entry : Entry

        Raises
        ------
        JournalError
            If it holds something that is not of its kind.
        """
        body = read_body(entry.body)
        if entry.kind is Kind.SCALE_CHECKED:
            self._checked(entry.seq, body)
        elif entry.kind is Kind.RUN_STARTED:
            self._started(body)
        elif entry.kind is Kind.NOTED:
            self._noted(entry.seq, body)
        elif entry.kind is Kind.BAKED:
            self._baked(entry, body)
        else:
            self._counted(entry, body)

    def _started(self, body: Body) -> None:
        started = read_run_started(body)
        name = scale_name(started.scale_identity, started.scale)
        self._scale_of[started.run] = name
        if started.last_check is not None and not started.last_check.is_fit:
            self._unfit.setdefault(name, started.last_check.line)  # found so before reading began

    def _checked(self, line: int, body: Body) -> None:
        is_fit = is_good_check(body)
        for name in checked_names(body):
            if is_fit:
                self._unfit.pop(name, None)
            failed_line = None if is_fit else self._unfit.setdefault(name, line)
            self.pieces.check(name, failed_line)
            self.loaves.check(name, failed_line)

    def _noted(self, line: int, body: Body) -> None:
        said = read_settled(body)
        if said is not None:
            self.settlements[line] = said
            self.pieces.settle(said.about, line)
            self.loaves.settle(said.about, line)

    def _baked(self, entry: Entry, body: Body) -> None:
        loaf = read_baked(body)
        if "reason" in body:
            self.loaves.take_off(loaf.key)
            return
        scale = scale_name(loaf.scale_identity, loaf.scale)
        self.loaves.count(loaf.key, entry.t_utc_ms, scale, self._unfit.get(scale))

    def _counted(self, entry: Entry, body: Mapping[str, Value]) -> None:
        run = body.get("run")
        scale = self._scale_of.get(run) if isinstance(run, str) else None
        if scale is None or not isinstance(run, str):
            return
        happened = change(entry.kind, body)
        for piece in happened.removes:
            self.pieces.take_off((run, piece.number))
        for piece in happened.adds:
            self.pieces.count((run, piece.number), entry.t_utc_ms, scale, self._unfit.get(scale))
