"""What a dossier is made of: batches with the lines they rest on, and how far those were proved."""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce
from typing import TYPE_CHECKING

from weighstation.journal import Sums
from weighstation.report.page.tables import as_of
from weighstation.report.sheet.figures import is_stand_in

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import tzinfo

    from weighstation.journal import Head, RunStarted, ScaleChecked
    from weighstation.report.baked.batch import BakedBatch
    from weighstation.report.baked.figures import Found
    from weighstation.report.baked.lot import BakedLot
    from weighstation.report.dossier.former import FormerRun
    from weighstation.report.giveaway.too_light import TooLight
    from weighstation.report.sheet.figures import BatchFigures


@dataclass(frozen=True, slots=True)
class Scope:
    """What the dossier is about.

    Parameters
    ----------
    title : str
        In a few words, such as "batch 1f2e3d4c" or "Country loaf, 2026-03-02 to 2026-03-08".
    zone : tzinfo
        Whose clock times are told in.
    with_people : bool
        Whether it is shown who divided, and who signed a check or a note.
    """

    title: str
    zone: tzinfo
    with_people: bool = False


@dataclass(frozen=True, slots=True)
class Check:
    """A check of a scale.

    Parameters
    ----------
    line : int
    t_utc_ms : int, milliseconds since 1970 UTC
    said : ScaleChecked
    """

    line: int
    t_utc_ms: int
    said: ScaleChecked

    @property
    def names(self) -> frozenset[str]:
        """What the scale goes by: who it is, and where it was read."""
        return frozenset({self.said.scale, self.said.port.partition("?")[0]})


@dataclass(frozen=True, slots=True)
class Remark:
    """A note about an earlier line.

    Parameters
    ----------
    line : int
    t_utc_ms : int, milliseconds since 1970 UTC
    about : int
        Number of the line that it is about.
    text : str
    more : tuple of (str, str)
        What else it says, by name, such as the reason found and the action taken.
    """

    line: int
    t_utc_ms: int
    about: int
    text: str
    more: tuple[tuple[str, str], ...] = ()

    @property
    def said(self) -> str:
        """All that it says, with its line."""
        more = "".join(f"; {name.replace('_', ' ')}: {value}" for name, value in self.more)
        return f"{self.text}{more} (line {self.line})"


@dataclass(frozen=True, slots=True)
class SignalLine:
    """First cuts that had moved by more than chance, as the bench was told.

    Parameters
    ----------
    line : int
    t_utc_ms : int, milliseconds since 1970 UTC
    pieces : (2,) tuple of int
        The first and the last that it rests on.
    text : str
    remarks : tuple of Remark
        What was noted about it: the reaction.
    """

    line: int
    t_utc_ms: int
    pieces: tuple[int, int]
    text: str
    remarks: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class Happened:
    """Something out of the ordinary, as a line says it.

    Parameters
    ----------
    line : int
    t_utc_ms : int, milliseconds since 1970 UTC
    what : str
        In two or three words.
    said : str
    remarks : tuple of Remark
    """

    line: int
    t_utc_ms: int
    what: str
    said: str
    remarks: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class Counting:
    """The line that counted a piece.

    Parameters
    ----------
    line : int
    run : str
        In which it was counted.
    written_utc_ms : int, milliseconds since 1970 UTC
        When the line was written, which of a piece from a file is later than the piece.
    """

    line: int
    run: str
    written_utc_ms: int


@dataclass(frozen=True, slots=True)
class BatchEvidence:
    """One batch and the lines that it rests on.

    Parameters
    ----------
    figures : BatchFigures
    promises : tuple of (int, RunStarted)
        What each run promised, by the number of its line.
    last_line : int
        Number of its last line.
    counted : mapping of int to Counting
        What counted each piece, by its number.
    signals : tuple of SignalLine
    happened : tuple of Happened
    remarks : tuple of Remark
        Notes about other lines of it.
    before, after : Check or None
        The last check of its scale before it began, and the first after its last line.
    baked : BakedBatch or None
        Its baked loaves; None where none counts.
    lot : Found of BakedLot or None
        What the rule says of them, or why nothing.
    rule_said : str
        What is to be minded of its rule, in a plain sentence; empty where nothing is.
    struck_out_late : tuple of int
        Lines that struck out a piece long after it was weighed.
    """

    figures: BatchFigures
    promises: tuple[tuple[int, RunStarted], ...]
    last_line: int
    counted: Mapping[int, Counting]
    signals: tuple[SignalLine, ...] = ()
    happened: tuple[Happened, ...] = ()
    remarks: tuple[Remark, ...] = ()
    before: Check | None = None
    after: Check | None = None
    baked: BakedBatch | None = None
    lot: Found[BakedLot] | None = None
    rule_said: str = ""
    struck_out_late: tuple[int, ...] = ()

    @property
    def run(self) -> str:
        """What it goes by: its newest run."""
        return self.figures.runs[-1].run

    @property
    def first_line(self) -> int:
        """Number of its first line."""
        return self.promises[0][0]

    @property
    def lines(self) -> str:
        """From which line to which it reaches, in words."""
        return f"{self.first_line} to {self.last_line}"

    @property
    def without_scale(self) -> bool:
        """Whether no scale of ours was read, so that no check is missing."""
        return all(
            is_stand_in(bench.scale) or bench.imported_from is not None
            for bench in self.figures.benches
        )

    @property
    def not_weighed(self) -> tuple[str, ...]:
        """What of it no scale has weighed, so that its weights prove nothing: pieces or loaves."""
        loaves = () if self.baked is None else self.baked.loaves
        scales = {
            "pieces": [bench.scale for bench in self.figures.benches],
            "baked loaves": [each.loaf.scale for each in loaves],
        }
        return tuple(what for what, used in scales.items() if any(map(is_stand_in, used)))


@dataclass(frozen=True, slots=True)
class SetBack:
    """Lines that are dated before the line before them.

    Parameters
    ----------
    line : int
        Number of the first.
    times : int
        How many there are.
    most_ms : int, milliseconds
        How far back at most.
    """

    line: int
    times: int
    most_ms: int


@dataclass(frozen=True, slots=True)
class Proof:
    """Which lines the dossier rests on, and how far they were proved.

    Parameters
    ----------
    journal_id, station : str
    first_line : int
        The first that was read.
    prev : str
        Digest of the line before it; the journal's id where it is line 1.
    head : Head
        The last line.
    head_utc_ms : int, milliseconds since 1970 UTC
        When that was written.
    is_whole : bool
        Whether every line of the journal was read and the totals were made again.
    fault : str
        What did not hold outside the lines used, in a sentence; empty where all did.
    set_back : SetBack or None
        Where the clock was set back among the lines used.
    """

    journal_id: str
    station: str
    first_line: int
    prev: str
    head: Head
    head_utc_ms: int
    is_whole: bool
    fault: str = ""
    set_back: SetBack | None = None

    @property
    def as_of(self) -> str:
        """Which line of the journal the dossier is as of."""
        return as_of(self.head.seq, self.head.digest)

    @property
    def answer(self) -> str:
        """Whether all of it was verified, in a word or two."""
        if self.fault:
            return "NOT the whole journal"
        return "yes, all" if self.is_whole else "in part"

    @property
    def verified(self) -> str:
        """What was verified and what came of it, in one or two sentences."""
        used = f"lines {self.first_line} to {self.head.seq} follow from each other"
        if self.fault:
            return f"{self.fault} Of it, {used}."
        if self.is_whole:
            return (
                f"All {self.head.seq} lines follow from the first, every run holds the lines that"
                " it counts, and the totals are what the lines add up to."
            )
        return (
            f"L{used[1:]}, and the totals of the batches are what their lines add up to. The lines"
            " before were not read again; 'weighstation journal verify' reads all."
        )


@dataclass(frozen=True, slots=True)
class Evidence:
    """All that a dossier is made of.

    Parameters
    ----------
    scope : Scope
    proof : Proof
    batches : tuple of BatchEvidence
        In the order in which they began; at least one.
    checks : tuple of Check
        Of their scales, oldest first: from the last before them to the first after.
    check_remarks : tuple of Remark
        Notes about those.
    software : str
        Version of this program.
    former : tuple of FormerRun
        Runs of the weeks before, which its weeks are held against.
    too_light : tuple of TooLight
        Products that these batches scaled below the least lawful weight.
    """

    scope: Scope
    proof: Proof
    batches: tuple[BatchEvidence, ...]
    checks: tuple[Check, ...]
    check_remarks: tuple[Remark, ...]
    software: str
    former: tuple[FormerRun, ...] = ()
    too_light: tuple[TooLight, ...] = ()

    @property
    def kept(self) -> Sums:
        """Sums of all counted pieces."""
        return reduce(Sums.__add__, (each.figures.kept for each in self.batches), Sums())

    @property
    def out_of_band(self) -> int:
        """How many counted pieces left out of band."""
        return sum(each.figures.out_of_band for each in self.batches)
