"""Were lines written long after the time that they carry, or before it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.plausibility.flag import Flag, FlagKind

if TYPE_CHECKING:
    from collections.abc import Sequence

LATE_MS = 3_600_000
"""An hour; house figure. A bench writes each line within seconds."""

AHEAD_MS = 60_000
"""A minute; house figure. A line that was typed carries whole minutes."""

ONE_GO_MS = 600_000
"""Ten minutes; house figure."""


def entered_late(
    said_ms: Sequence[int],
    written_ms: Sequence[int],
    *,
    late_ms: int = LATE_MS,
    what: str = "weights",
) -> Flag | None:
    """Return a flag if lines were written long after, or before, the time that they carry.

    Parameters
    ----------
    said_ms : (n,) sequence of int, milliseconds since 1970
        When each weight is said to have been weighed.
    written_ms : (n,) sequence of int, milliseconds since 1970
        When its line was written.
    late_ms : int, milliseconds
        From how long on it is late.
    what : str
        What the lines are about, as it stands in the sentence: also "struck-out pieces", with the
        times at which these were weighed.

    Returns
    -------
    Flag or None

    Raises
    ------
    SpecificationError
        If there are not as many times of one kind as of the other.

    Notes
    -----
    No chance is asked about: the lines say it themselves. A tally that was kept on paper and
    brought in later is honest and is flagged; who reads the flag asks for the paper. A clock that
    was wrong makes lines look late too: see `clock_set_back`.
    """
    if len(said_ms) != len(written_ms):
        raise SpecificationError("Give the time of writing of every line.")
    pairs = list(zip(said_ms, written_ms, strict=True))
    late = sorted(written for said, written in pairs if written - said > late_ms)
    ahead = sum(said - written > AHEAD_MS for said, written in pairs)
    if not late and not ahead:
        return None
    worst_ms = max(written - said for said, written in pairs)
    at_once = _most_at_once(late)
    text = " and ".join(filter(None, (_late(late, at_once, worst_ms, late_ms), _ahead(ahead))))
    figures = {
        "latest_ms": max(0, worst_ms),
        "late": len(late),
        "in_one_go": at_once,
        "ahead": ahead,
    }
    sentence = f"Of {len(pairs)} {what} {text}."
    return Flag(FlagKind.LATE, sentence, len(pairs), figures, count=len(late) + ahead)


def _late(late: list[int], at_once: int, worst_ms: int, late_ms: int) -> str:
    if not late:
        return ""
    return (
        f"{len(late)} {_were(len(late))} written more than {_time(late_ms)} after the time they"
        f" carry, at most {_time(worst_ms)}, {at_once} of them within ten minutes"
    )


def _ahead(ahead: int) -> str:
    return f"{ahead} {_were(ahead)} written before the time they carry" if ahead else ""


def _were(count: int) -> str:
    return "was" if count == 1 else "were"


def _time(span_ms: int) -> str:
    hours = span_ms / 3_600_000
    if hours < 1:
        return f"{span_ms / 60_000:.0f} min"
    return f"{hours:.3g} h" if hours < 48 else f"{hours / 24:.0f} days"


def _most_at_once(written_ms: list[int]) -> int:
    """Return the largest number of times within ten minutes; they are in order."""
    most = first = 0
    for place, at_ms in enumerate(written_ms):
        while at_ms - written_ms[first] > ONE_GO_MS:
            first += 1
        most = max(most, place - first + 1)
    return most
