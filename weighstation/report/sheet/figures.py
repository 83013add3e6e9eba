"""What a batch sheet is worked out from, and the figures that follow from it."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from functools import reduce
from typing import TYPE_CHECKING

from weighstation.evaluate import DoughSum
from weighstation.events import Verdict
from weighstation.journal import Lifts, Sums, file_of_scale
from weighstation.quantities import MG_PER_G
from weighstation.report.page.tables import as_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from weighstation.journal import PieceFacts, RunState, Settled
    from weighstation.report.sheet.boards import BatchBoard
    from weighstation.report.sheet.happenings import Happening
    from weighstation.report.sheet.trace import BenchFact
    from weighstation.specification import Guard, Product

MG_PER_KG = MG_PER_G * 1000
"""Of a digest, as it is printed."""


@dataclass(frozen=True, slots=True)
class Dough:
    """What was said of the dough of a batch.

    Parameters
    ----------
    on_hand_mg : int, milligrams
        On the bench when dividing began.
    left_mg, loss_mg : int, milligrams, or None
        Left over and lost; None where nobody said.
    """

    on_hand_mg: int
    left_mg: int | None = None
    loss_mg: int | None = None


def is_stand_in(scale: str) -> bool:
    """Return whether a simulation or a recording stood for a scale.

    Parameters
    ----------
    scale : str
        URL of the port.

    Returns
    -------
    bool
    """
    return scale.startswith(("simulated:", "replay:"))


@dataclass(frozen=True, slots=True)
class Bench:
    """What a run was measured on.

    Parameters
    ----------
    scale : str
        URL of the port.
    division_mg : int, milligrams, or None
        Of the scale; None where it was not known when the run began.
    software : str
        Version of this program.
    """

    scale: str
    division_mg: int | None
    software: str

    @property
    def is_simulated(self) -> bool:
        """Whether no scale was there at all."""
        return self.scale.startswith("simulated:")

    @property
    def is_replayed(self) -> bool:
        """Whether a recording stood for the scale."""
        return self.scale.startswith("replay:")

    @property
    def imported_from(self) -> str | None:
        """Name of the file that the weights were entered from; None where a scale was read."""
        return file_of_scale(self.scale)


@dataclass(frozen=True, slots=True)
class ScaleCheck:
    """The last check of the scale before a batch.

    Parameters
    ----------
    line : int
        Number of its line in the journal.
    t_utc_ms : int, milliseconds since 1970 UTC
    is_fit : bool
    held_against : str
        The limits that were used, in one plain sentence; empty where the line does not tell.
    """

    line: int
    t_utc_ms: int
    is_fit: bool
    held_against: str = ""


@dataclass(frozen=True, slots=True)
class SettledDoubt:
    """Pieces that a failed check of the scale had made doubtful, until a person settled that.

    Parameters
    ----------
    pieces : tuple of int
        Their numbers.
    line : int
        Number of the line that says so.
    said : Settled
    """

    pieces: tuple[int, ...]
    line: int
    said: Settled


@dataclass(frozen=True, slots=True)
class BatchFigures:
    """One batch: its runs, its counted pieces, and the line they were read up to.

    Parameters
    ----------
    product : Product
    currency : str
        Of ``product.dough_cost_per_kg``; may be empty where there is none.
    started_utc_ms, last_utc_ms : int, milliseconds since 1970 UTC
        Of the batch's first and last line.
    runs : tuple of RunState
        Oldest first, all with the product's scaling weight; at least one.
    pieces : (n,) sequence of PieceFacts
        Counted pieces, in the order they were first put on the pan.
    as_of_line : int
        Number of the last line of the journal that was read.
    head : str
        Digest of that line.
    lifts : Lifts
        What lifted pieces were taken for, where no person said so.
    dough : Dough or None
        None where it was not weighed.
    benches : tuple of Bench
        Each different one that the runs were measured on, oldest first.
    gaps_ms : (n,) tuple of int, milliseconds
        How long each time was in which nothing was weighed.
    counted_utc_ms : dict of int to int, milliseconds since 1970 UTC
        When each piece was counted, by its number.
    scale_check : ScaleCheck or None
        The last check of the scale before the newest run; None where none is on record.
    doubtful : tuple of int
        Numbers of counted pieces that a failed check of the scale makes doubtful.
    settled : tuple of SettledDoubt
        Counted pieces that were doubtful and are not any more.
    guard : Guard or None
        How the band was drawn in; None where it is as promised.
    boards : (n,) tuple of BatchBoard
        That carry pieces of the batch, in the order in which they were opened.
    mixed_utc_ms : int, milliseconds since 1970 UTC, or None
        When the dough was mixed; None where nobody said.
    first_cut_utc_ms : int, milliseconds since 1970 UTC, or None
        When its first piece was put on the pan; None before it, and on records of older versions.
    entered_utc_ms : tuple of int, milliseconds since 1970 UTC
        When each part of it was entered from a file; empty where it was weighed here.
    batch : str
        What the bakery itself calls this batch; empty where nobody said.
    happenings : tuple of Happening
        What a person should look into, with what was noted about it.
    bench_facts : (n,) tuple of DoughWeighed, PanShifted, Pile or FirstCutsMoved
        What happened at the bench besides pieces, in order.
    """

    product: Product
    currency: str
    started_utc_ms: int
    last_utc_ms: int
    runs: tuple[RunState, ...]
    pieces: Sequence[PieceFacts]
    as_of_line: int
    head: str
    lifts: Lifts = field(default_factory=Lifts)
    dough: Dough | None = None
    benches: tuple[Bench, ...] = ()
    gaps_ms: tuple[int, ...] = ()
    counted_utc_ms: Mapping[int, int] = field(default_factory=dict)
    scale_check: ScaleCheck | None = None
    doubtful: tuple[int, ...] = ()
    settled: tuple[SettledDoubt, ...] = ()
    guard: Guard | None = None
    boards: tuple[BatchBoard, ...] = ()
    mixed_utc_ms: int | None = None
    first_cut_utc_ms: int | None = None
    entered_utc_ms: tuple[int, ...] = ()
    batch: str = ""
    happenings: tuple[Happening, ...] = ()
    bench_facts: tuple[BenchFact, ...] = ()

    @property
    def as_of(self) -> str:
        """Which line of the journal the figures are as of."""
        return as_of(self.as_of_line, self.head)

    @property
    def kept(self) -> Sums:
        """Sums of counted pieces as they left the bench."""
        return reduce(Sums.__add__, (run.kept for run in self.runs), Sums())

    @property
    def first(self) -> Sums:
        """Sums of counted pieces as first cut, where that is known."""
        return reduce(Sums.__add__, (run.first for run in self.runs), Sums())

    @property
    def first_cuts(self) -> dict[int, int]:
        """First cuts in milligrams by piece number, in order; only of pieces that have one."""
        known = ((piece.number, piece.first_mg) for piece in self.pieces)
        return {number: first_mg for number, first_mg in known if first_mg is not None}

    @property
    def out_of_band(self) -> int:
        """Counted pieces that left out of band."""
        return sum(run.out_of_band for run in self.runs)

    @property
    def boarded(self) -> tuple[PieceFacts, ...]:
        """The counted pieces that left out of band."""
        return tuple(piece for piece in self.pieces if piece.verdict is not Verdict.KEEP)

    @property
    def touches_each(self) -> float | None:
        """Adds and trims of a counted piece, on average of those that it is known of."""
        return _mean_of(piece.touches for piece in self.pieces)

    @property
    def ms_each(self) -> float | None:
        """Milliseconds from first on the pan to last off it, a piece that it is known of."""
        return _mean_of(piece.ms for piece in self.pieces)

    @property
    def voided(self) -> int:
        """Pieces struck out."""
        return sum(run.counts.get("voided", 0) for run in self.runs)

    @property
    def unresolved(self) -> tuple[int, ...]:
        """Numbers of pieces lifted out of band of which nobody knows what became."""
        return tuple(sorted({number for run in self.runs for number in run.open_lifted}))

    @property
    def interrupted(self) -> tuple[RunState, ...]:
        """Runs that did not come to their own end."""
        return tuple(run for run in self.runs if run.ended == "interrupted")

    @property
    def light_mg(self) -> tuple[int, ...]:
        """How far each piece below the band is below the scaling weight, in milligrams."""
        limits = self.product.limits
        short = (limits.target_mg - piece.final_mg for piece in self.pieces)
        return tuple(mg for mg in short if mg > limits.under_mg)

    @property
    def dough_sum(self) -> DoughSum | None:
        """What is known of the dough; None where it was not weighed."""
        if self.dough is None:
            return None
        target_mg = self.product.limits.target_mg
        return DoughSum(
            on_hand_mg=self.dough.on_hand_mg,
            counted_mg=self.kept.sum_d_mg + self.kept.n * target_mg,
            left_mg=self.dough.left_mg,
            loss_mg=self.dough.loss_mg or 0,
            target_mg=target_mg,
        )

    @property
    def money(self) -> Decimal | None:
        """Price of the dough given away; None where the product has no price of dough."""
        return self._price_of(self.kept.sum_d_mg)

    @property
    def over_money(self) -> Decimal | None:
        """Price of the overs alone; None where the product has no price of dough."""
        return self._price_of(self.kept.sum_over_mg)

    def _price_of(self, dough_mg: int) -> Decimal | None:
        cost = self.product.dough_cost_per_kg
        return None if cost is None else cost * Decimal(dough_mg) / MG_PER_KG


def _mean_of(figures: Iterable[int | None]) -> float | None:
    known = [figure for figure in figures if figure is not None]
    return sum(known) / len(known) if known else None
