"""Lines -> totals, made again from nothing, for every store's ``verify`` and ``rebuild``."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from weighstation.errors import ChainBrokenError, WeighstationError
from weighstation.journal import Verifier, apply, dump_run, run_of, tally_changes

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weighstation.journal import Entry, Head, RunState, TallyKey


class Remade:
    """Totals of all runs, as their lines give them."""

    def __init__(self) -> None:
        self.states: dict[str, RunState] = {}
        self.tallies: dict[str, Counter[TallyKey]] = {}

    def feed(self, entry: Entry) -> None:
        """Take the next line.

        Parameters
        ----------
        entry : Entry
        """
        run = run_of(entry)
        if run is None:
            return
        state = apply(self.states.get(run), entry)
        self.states[run] = state
        tally = self.tallies.setdefault(run, Counter())
        for key, n in tally_changes(state, entry):
            tally[key] += n

    def dump(self) -> Iterator[str]:
        """Yield the totals as ordered text.

        Yields
        ------
        str
        """
        for state in self.states.values():
            yield from dump_run(state, self.tallies[state.run])


def verify_against(entries: Iterable[Entry], journal_id: str, stored: Iterator[str]) -> Head:
    """Read all lines, and compare their totals with the stored ones.

    Parameters
    ----------
    entries : iterable of Entry
    journal_id : str
    stored : iterator of str
        The stored totals as ordered text; read after the last line.

    Returns
    -------
    Head

    Raises
    ------
    ChainBrokenError
        Naming the first line that does not hold, or the first line of the first run whose totals
        do not.
    """
    verifier, remade = Verifier(journal_id), Remade()
    for entry in entries:
        verifier.feed(entry)
        try:
            remade.feed(entry)
        except WeighstationError as exc:
            raise ChainBrokenError(f"Line {entry.seq} does not hold: {exc}", seq=entry.seq) from exc
    rows = set(stored)
    for state in remade.states.values():
        lines = set(dump_run(state, remade.tallies[state.run]))
        if not lines <= rows:
            raise _totals_wrong(state.started_seq)
        rows -= lines
    if rows:
        raise _totals_wrong(1)
    return verifier.head


def _totals_wrong(seq: int) -> ChainBrokenError:
    return ChainBrokenError(
        f"The totals of the run that starts with line {seq} do not agree with its lines.",
        seq=seq,
        hint="The lines themselves hold: 'weighstation journal rebuild' remakes the totals.",
    )
