"""Lines -> totals, made again from nothing, for every store's ``verify`` and ``rebuild``."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING, TypeAlias

from weighstation.errors import ChainBrokenError, WeighstationError
from weighstation.journal import Sums, Verifier, advance, codec, read_body

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from weighstation.journal import Entry, Head, RunState, TallyChange, TallyKey

KEEP = "Keep the file as it is and go back to a copy that holds."
COMPARE = (
    "Lines may be missing at the end: compare a printed sheet with 'weighstation journal"
    " verify --line N --head H' before 'weighstation journal rebuild' remakes the totals."
)
"""What to do where nothing says any more how many lines there were."""

Totals: TypeAlias = "tuple[RunState, Mapping[TallyKey, Sums]]"


class Remade:
    """Totals of all runs, as their lines give them."""

    def __init__(self) -> None:
        self.states: dict[str, RunState] = {}
        self.tallies: dict[str, dict[TallyKey, Sums]] = {}

    def feed(self, entry: Entry) -> None:
        """Take the next line.

        Parameters
        ----------
        entry : Entry
        """
        body = read_body(entry.body)
        run = body.get("run")
        if isinstance(run, str):
            happened = codec.change(entry.kind, body)
            self.take(*advance(self.states.get(run), entry, body, happened))

    def take(self, state: RunState, changes: Iterable[TallyChange]) -> None:
        """Take what a line has made of its run.

        Parameters
        ----------
        state : RunState
            The run after the line.
        changes : iterable of TallyChange
            What the line changes in its tally.
        """
        self.states[state.run] = state
        tally = self.tallies.setdefault(state.run, {})
        for key, sums in changes:
            tally[key] = tally.get(key, Sums()) + sums

    def totals(self) -> Iterator[Totals]:
        """Yield each run's totals and its tally, oldest first.

        Yields
        ------
        (RunState, dict of TallyKey to Sums)
            Cells that hold nothing are left out.
        """
        for state in self.states.values():
            yield state, {key: sums for key, sums in self.tallies[state.run].items() if sums}


def verify_against(entries: Iterable[Entry], journal_id: str, stored: Iterable[Totals]) -> Head:
    """Read all lines, and compare their totals with the stored ones.

    Parameters
    ----------
    entries : iterable of Entry
    journal_id : str
    stored : iterable of (RunState, Mapping of TallyKey to Sums)
        The stored totals, oldest run first; read after the last line.

    Returns
    -------
    Head

    Raises
    ------
    ChainBrokenError
        Naming the first line that does not hold, or the first line of the first run whose totals
        do not.
    """
    remade, head = remade_from(entries, journal_id)
    for right, found in zip_longest(remade.totals(), stored):
        if right != found:
            state = min((totals[0] for totals in (right, found) if totals), key=_started_seq)
            raise totals_wrong(state.started_seq)
    return head


def remade_from(entries: Iterable[Entry], journal_id: str) -> tuple[Remade, Head]:
    """Return the totals that all lines give, and the last of them.

    Parameters
    ----------
    entries : iterable of Entry
        All lines, in order.
    journal_id : str

    Returns
    -------
    Remade
    Head

    Raises
    ------
    ChainBrokenError
        Naming the first line that does not hold: no totals are made of it.
    """
    verifier, remade = Verifier(journal_id), Remade()
    for entry in entries:
        verifier.feed(entry)
        try:
            remade.feed(entry)
        except WeighstationError as exc:
            raise ChainBrokenError(
                f"Line {entry.seq} does not hold: {exc}", seq=entry.seq, hint=KEEP
            ) from exc
    return remade, verifier.head


def _started_seq(state: RunState) -> int:
    return state.started_seq


def totals_wrong(seq: int) -> ChainBrokenError:
    """Return the error for stored totals that do not agree with their lines.

    Parameters
    ----------
    seq : int
        First line of the run.

    Returns
    -------
    ChainBrokenError
    """
    return ChainBrokenError(
        f"The totals of the run that starts with line {seq} do not agree with its lines.",
        seq=seq,
        hint=COMPARE,
    )
