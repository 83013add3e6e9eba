"""A store -> the evidence of some batches, read in one go and held against the chain of lines."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC
from itertools import chain
from typing import TYPE_CHECKING

from weighstation import __version__
from weighstation.errors import ChainBrokenError, SpecificationError
from weighstation.journal import Doubts, Kind, read_body, read_scale_checked, scale_name
from weighstation.journal.chain import SET_BACK_MS
from weighstation.report.baked.figures import BakedFigures, Found
from weighstation.report.dossier import BatchEvidence, Check, Evidence, Proof, Scope, SetBack
from weighstation.report.dossier.packed import PackedCountings, PackedNumbers, PackedPieces
from weighstation.report.page.tables import named
from weighstation.station.commands.baking.baked import baked_batches, newest_of
from weighstation.station.commands.batches.sheet import (
    BatchLines,
    batch_runs,
    figures_of,
    lines_from,
    scale_check,
)
from weighstation.station.commands.shop.quantity_rules import about_rule, rule_for
from weighstation.station.commands.statements.former import former_runs
from weighstation.station.commands.statements.rows import too_light_among
from weighstation.station.commands.statements.told import (
    batch_told,
    counted_by,
    ended_at,
    remark_of,
    struck_out_late,
)
from weighstation.station.commands.statements.unsigned import unsigned, without_people

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.journal import Entry, Head, RunStarted, RunState
    from weighstation.report.baked.batch import BakedBatch
    from weighstation.report.baked.lot import BakedLot
    from weighstation.report.dossier import Remark
    from weighstation.report.giveaway import Span
    from weighstation.station.commands.shop.home import Home
    from weighstation.station.commands.terminal.patience import Patience
    from weighstation.station.stores import Store

WHOLE_UP_TO = 50_000
"""Lines of a journal that is still verified whole, beside the lines used; house figure."""


@dataclass(frozen=True, slots=True)
class Meant:
    """Which batches a dossier is about.

    Parameters
    ----------
    run : str
        One of the runs of a batch; empty where others are meant.
    product : str
        Empty for all.
    span : Span or None
        None for all days, or where one batch is meant.
    """

    run: str = ""
    product: str = ""
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class _Batch:
    runs: tuple[RunState, ...]
    promises: tuple[RunStarted, ...]

    @property
    def scale(self) -> str:
        return scale_name(self.promises[-1].scale_identity, self.promises[-1].scale)

    @property
    def start(self) -> int:
        """The first line that it rests on: its own, or that of the check before it."""
        check, own = self.promises[0].last_check, self.runs[0].started_seq
        return own if check is None else min(own, max(1, check.line))


def evidence_of(
    store: Store, home: Home, meant: Meant, scope: Scope, patience: Patience
) -> Evidence:
    """Return the evidence of the batches that are meant.

    Parameters
    ----------
    store : Store
        Held still by the caller.
    home : Home
        Where rule files of the shop's own stand.
    meant : Meant
    scope : Scope
    patience : Patience
        Is told what is being done.

    Returns
    -------
    Evidence

    Raises
    ------
    SpecificationError
        If there is no such batch.
    ChainBrokenError
        If the lines used do not follow from each other, or stored totals from them.
    """
    batches = _batches(store, meant)
    read = _Reading(
        store, batches, patience, with_people=scope.with_people, days_ms=_days_ms(meant)
    )
    patience.say("Reading loaves")
    lots = _Lots(store, home, {batch.runs[-1].run for batch in batches})
    found = tuple(read.evidence(each, lots) for each in patience.over(batches, "Reading batches"))
    checks = read.checks_of(batches)
    about = {check.line for check in checks}
    return Evidence(
        scope=scope,
        proof=read.proof(),
        batches=tuple(sorted(found, key=lambda each: each.figures.started_utc_ms)),
        checks=checks,
        check_remarks=tuple(remark for remark in read.remarks if remark.about in about),
        software=__version__,
        former=former_runs(store, found, zone=scope.zone, patience=patience),
        too_light=too_light_among(store, home, (run for batch in batches for run in batch.runs)),
    )


def _days_ms(meant: Meant) -> tuple[int, int]:
    """Return from when to when the days asked for last; no time at all where none were."""
    return meant.span.utc_ms if meant.span is not None else (0, 0)


def _batches(store: Store, meant: Meant) -> tuple[_Batch, ...]:
    newest = newest_of(store)
    if not newest:
        raise SpecificationError(
            "There is no batch in the journal yet; 'weighstation divide' writes the first."
        )
    runs = dict.fromkeys(newest[run] for run in _runs(store, meant, newest))
    return tuple(_Batch(*batch_runs(store, run)) for run in runs)


def _runs(store: Store, meant: Meant, newest: dict[str, str]) -> list[str]:
    if meant.run:
        if meant.run not in newest:
            raise SpecificationError(
                f"There is no run '{meant.run}' in the journal.",
                hint="'weighstation journal show' lists them; a batch goes by any of its runs.",
            )
        return [meant.run]
    states = store.runs() if meant.span is None else store.runs_begun(*meant.span.utc_ms)
    wanted = meant.product.casefold()
    found = [state.run for state in states if wanted in ("", state.product.casefold())]
    if not found:
        raise _none(store, meant)
    return found


def _none(store: Store, meant: Meant) -> SpecificationError:
    """Return why no batch is meant: a name mistyped, or nothing divided in these days."""
    names = sorted({state.product for state in store.runs()})
    if meant.product and meant.product.casefold() not in map(str.casefold, names):
        return SpecificationError(
            f"There is no batch of '{meant.product}' in the journal.",
            hint=f"It holds batches of {named(names)}.",
        )
    what = f" of {meant.product}" if meant.product else ""
    span = meant.span
    when = "" if span is None else f" from {span.first} to {span.last}"
    return SpecificationError(
        f"No batch{what} was begun{when}.", hint="Choose other days with --from and --to."
    )


class _Reading:
    """Reads the lines from the first that is needed to the last, then those of each batch again.

    So no more lines are in memory than one batch has.
    """

    def __init__(
        self,
        store: Store,
        batches: tuple[_Batch, ...],
        patience: Patience,
        *,
        with_people: bool,
        days_ms: tuple[int, int] = (0, 0),
    ) -> None:
        self._store = store
        self._with_people = with_people
        checks = list(store.scale_checks())
        self._in_days = {check.seq for check in checks if days_ms[0] <= check.t_utc_ms < days_ms[1]}
        self._start = min({batch.start for batch in batches} | self._in_days)
        self._head = store.head()
        self._doubts = Doubts()
        self._head_utc_ms = 0
        self._set_backs: list[tuple[int, int]] = []
        self.checks: list[Check] = []
        self.remarks: list[Remark] = []
        self._of_no_run: list[Entry] = []
        self._last: dict[str, int] = {}
        for entry in reversed(checks):
            if entry.seq < self._start:
                self._doubts.feed(entry)
        count = self._head.seq - self._start + 1
        for entry in patience.over(lines_from(store, self._start), "Reading lines", count):
            self._feed(entry)

    def _feed(self, entry: Entry) -> None:
        back_ms = self._head_utc_ms - entry.t_utc_ms
        if back_ms > SET_BACK_MS:
            self._set_backs.append((entry.seq, back_ms))
        self._head_utc_ms = entry.t_utc_ms
        self._doubts.feed(entry)
        if entry.kind in (Kind.SCALE_CHECKED, Kind.NOTED):
            self._of_no_run.append(entry)
        if entry.kind is Kind.SCALE_CHECKED:
            said = read_scale_checked(read_body(entry.body))
            shown = said if self._with_people else unsigned(said)
            self.checks.append(Check(entry.seq, entry.t_utc_ms, shown))
        elif entry.kind is Kind.NOTED:
            self.remarks.append(remark_of(entry, with_people=self._with_people))

    def proof(self) -> Proof:
        """Return what was proved; the whole journal is read again where that is soon done."""
        start, head = self._start, self._head
        return Proof(
            journal_id=self._store.journal_id,
            station=self._store.station,
            first_line=start,
            prev=digest_before(self._store, start),
            head=head,
            head_utc_ms=self._head_utc_ms,
            is_whole=head.seq <= WHOLE_UP_TO,
            fault=self._fault(head),
            set_back=self._set_back(),
        )

    def _set_back(self) -> SetBack | None:
        found = self._set_backs
        return SetBack(found[0][0], len(found), max(ms for _, ms in found)) if found else None

    def _fault(self, head: Head) -> str:
        if head.seq > WHOLE_UP_TO:
            return ""
        try:
            self._store.verify()
        except ChainBrokenError as exc:
            return str(exc)
        return ""

    def evidence(self, batch: _Batch, lots: _Lots) -> BatchEvidence:
        """Return what was read of a batch."""
        runs = [self._store.run_lines(state.run) for state in batch.runs]
        lines = sorted(chain.from_iterable(runs), key=lambda entry: entry.seq)
        figures = figures_of(
            BatchLines(
                batch.runs,
                batch.promises,
                self._chain(batch, lines),
                self._doubts,
                self._head,
                scale_check=scale_check(self._store, batch.promises[-1]),
            )
        )
        if not self._with_people:
            figures = without_people(figures)
        last = lines[-1].seq
        weighed_to = ended_at(lines)
        self._last[batch.runs[0].run] = weighed_to
        before, after = self._around(batch, weighed_to)
        baked, lot = lots.of(batch.runs[-1].run)
        starts = (state.started_seq for state in batch.runs)
        signals, happened, remarks = batch_told(lines, self.remarks)
        return BatchEvidence(
            figures=replace(
                figures,
                pieces=PackedPieces(figures.pieces),
                counted_utc_ms=PackedNumbers(figures.counted_utc_ms),
            ),
            promises=tuple(zip(starts, batch.promises, strict=True)),
            last_line=last,
            counted=PackedCountings(counted_by(lines)),
            signals=signals,
            happened=happened,
            remarks=remarks,
            before=before,
            after=after,
            baked=baked,
            lot=lot,
            rule_said=about_rule(batch.promises[-1].product, lots.home),
            struck_out_late=struck_out_late(lines),
        )

    def _chain(self, batch: _Batch, lines: list[Entry]) -> list[Entry]:
        """Return the lines of a batch, and notes and checks since its first, in order."""
        start = batch.runs[0].started_seq
        others = (entry for entry in self._of_no_run if entry.seq > start)
        return sorted((*lines, *others), key=lambda entry: entry.seq)

    def _around(self, batch: _Batch, last: int) -> tuple[Check | None, Check | None]:
        """Return the last check of its scale before a batch, and the first after it."""
        of = [check for check in self.checks if batch.scale in check.names]
        before = [check for check in of if check.line < batch.runs[0].started_seq]
        after = [check for check in of if check.line > last]
        return before[-1] if before else None, after[0] if after else None

    def checks_of(self, batches: Iterable[_Batch]) -> tuple[Check, ...]:
        """Return the checks from the last before each batch that was read to the first after.

        Those of the same scales in the days asked for are told too, wherever they lie: one that
        failed before the first batch of a week is in no batch's own time.
        """
        found: dict[int, Check] = {}
        for batch in batches:
            before, after = self._around(batch, self._last[batch.runs[0].run])
            first = before.line if before else batch.runs[0].started_seq
            last = after.line if after else self._head.seq
            found |= {
                check.line: check
                for check in self.checks
                if batch.scale in check.names
                and (first <= check.line <= last or check.line in self._in_days)
            }
        return tuple(found[line] for line in sorted(found))


class _Lots:
    """Baked loaves of the batches that are meant, and what the rule says of them."""

    def __init__(self, store: Store, home: Home, newest: set[str]) -> None:
        self._head = store.head()
        self.home = home
        self._found = {
            each.batch: (replace(each, raw_mg={}), self._judged(each))
            for each in baked_batches(store, lambda run, *_: run in newest, zone=UTC)
        }

    def of(self, run: str) -> tuple[BakedBatch | None, Found[BakedLot] | None]:
        """Return the loaves of a batch, without the dough pieces, and the verdict."""
        return self._found.get(run, (None, None))

    def _judged(self, batch: BakedBatch) -> Found[BakedLot]:
        losses = batch.product.losses
        return BakedFigures(
            product=batch.product.name,
            batches=(batch,),
            taught_by=(),
            rule=Found.of(lambda: rule_for(batch.product, self.home)),
            as_of_line=self._head.seq,
            head=self._head.digest,
            cooling_loss_per_h=None if losses is None else losses.of_dough.get("cooling"),
        ).lot(batch)


def digest_before(store: Store, line: int) -> str:
    """Return what the digest of a line starts from.

    Parameters
    ----------
    store : Store
    line : int

    Returns
    -------
    str
        The digest of the line before; the journal's id for the first.
    """
    return next(store.entries(line - 1)).digest if line > 1 else store.journal_id
