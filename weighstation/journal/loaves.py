"""A baked loaf as it stands on the record; lines in order -> which loaves count."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import TYPE_CHECKING

from weighstation.errors import JournalError
from weighstation.journal.entry import read_body
from weighstation.journal.held import integer, word
from weighstation.journal.kinds import Kind

if TYPE_CHECKING:
    from weighstation.journal.entry import Body, Entry

LoafKey = tuple[str, int]
"""A batch, and the number of a loaf of it."""


@dataclass(frozen=True, slots=True)
class BakedLoaf:
    """A baked loaf that was weighed.

    Parameters
    ----------
    batch : str
        The newest run of the batch that it was divided in.
    product : str
    number : int
        In the batch, from 1; never given twice to loaves that count.
    baked_mg : int, milligrams
    scale : str
        URL of the port.
    scale_identity : str
        Who the scale is, whatever its port is called.
    software : str
        Version of this program.
    declared_mg : int, milligrams, or None
        Declared weight that it was held against.
    division_mg : int, milligrams, or None
        Of the scale, where it was known.
    piece : int or None
        Number of the piece of dough that it was; None where nobody said.
    out_of_oven_ms : int, milliseconds, or None
        Since it left the oven; None where nobody said when that was.
    """

    batch: str
    product: str
    number: int
    baked_mg: int
    scale: str
    scale_identity: str
    software: str
    declared_mg: int | None = None
    division_mg: int | None = None
    piece: int | None = None
    out_of_oven_ms: int | None = None

    @property
    def key(self) -> LoafKey:
        """Its batch and number."""
        return self.batch, self.number


def baked(loaf: BakedLoaf) -> Body:
    """Return the body of the line for a loaf.

    Parameters
    ----------
    loaf : BakedLoaf

    Returns
    -------
    Mapping
    """
    return {key: value for key, value in asdict(loaf).items() if value is not None}


def gap_of_loaves(batch: str, why: str, ms: int) -> Body:
    """Return the body for a time in which no loaf of a batch could be weighed.

    Parameters
    ----------
    batch : str
        The newest run of the batch; the line belongs to no run, as those of its loaves.
    why : str
    ms : int, milliseconds

    Returns
    -------
    Mapping
    """
    return {"batch": batch, "why": why, "ms": ms}


def baked_struck_out(loaf: BakedLoaf, reason: str) -> Body:
    """Return the body of the line for a loaf that counts no longer.

    Parameters
    ----------
    loaf : BakedLoaf
        As it was counted.
    reason : str

    Returns
    -------
    Mapping
    """
    return {**baked(loaf), "reason": reason}


def read_baked(body: Body) -> BakedLoaf:
    """Return the loaf that a body holds.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    BakedLoaf

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    return BakedLoaf(
        batch=word(body, "batch"),
        product=word(body, "product"),
        number=integer(body, "number"),
        baked_mg=integer(body, "baked_mg"),
        scale=word(body, "scale"),
        scale_identity=word(body, "scale_identity"),
        software=word(body, "software"),
        declared_mg=_number(body, "declared_mg"),
        division_mg=_number(body, "division_mg"),
        piece=_number(body, "piece"),
        out_of_oven_ms=_number(body, "out_of_oven_ms"),
    )


def _number(body: Body, key: str) -> int | None:
    return integer(body, key) if key in body else None


@dataclass(frozen=True, slots=True)
class CountedLoaf:
    """A loaf that counts.

    Parameters
    ----------
    line : int
        Number of its line.
    t_utc_ms : int, milliseconds since 1970
    loaf : BakedLoaf
    """

    line: int
    t_utc_ms: int
    loaf: BakedLoaf


@dataclass(slots=True)
class Loaves:
    """Reads lines in order and tells which baked loaves count.

    Parameters
    ----------
    counted : dict of (batch, number) to CountedLoaf
        In the order they were weighed.
    struck_out : dict of (batch, number) to str
        Those that count no longer, and why.
    """

    counted: dict[LoafKey, CountedLoaf] = field(default_factory=dict)
    struck_out: dict[LoafKey, str] = field(default_factory=dict)

    def feed(self, entry: Entry) -> None:
        """Take the next line; those about anything else are passed over.

        Parameters
        ----------
        entry : Entry

        Raises
        ------
        JournalError
            If it lacks something, counts a loaf twice, or strikes out one that does not count.
        """
        if entry.kind is not Kind.BAKED:
            return
        body = read_body(entry.body)
        loaf = read_baked(body)
        if "reason" in body:
            self._strike_out(loaf, word(body, "reason"))
            return
        if loaf.key in self.counted:
            raise JournalError(f"Line {entry.seq} counts {_named(loaf)} twice.")
        self.struck_out.pop(loaf.key, None)
        self.counted[loaf.key] = CountedLoaf(entry.seq, entry.t_utc_ms, loaf)

    def _strike_out(self, loaf: BakedLoaf, reason: str) -> None:
        found = self.counted.get(loaf.key)
        if found is None or found.loaf != loaf:
            raise JournalError(f"{_named(loaf).capitalize()} does not count as it is said to.")
        del self.counted[loaf.key]
        self.struck_out[loaf.key] = reason


def _named(loaf: BakedLoaf) -> str:
    return f"loaf {loaf.number} of batch {loaf.batch}"
