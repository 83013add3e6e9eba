"""A journal file beside its lines: are its parts as they were made, and is its end still there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.errors import ChainBrokenError
from weighstation.station.stores.remake import COMPARE, KEEP
from weighstation.station.stores.schema import DROP_PROJECTIONS, written_schema

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weighstation.journal import Head

_SHORT = 16
_REMAKE = "'weighstation journal rebuild' makes it again from the lines."


def refuse_changed_parts(found: Mapping[str, str], version: int) -> None:
    """Refuse tables, views, triggers and indexes that are not as a version made them.

    Parameters
    ----------
    found : Mapping of str to str
        What the file holds: each name with its SQL.
    version : int
        Of the file's schema.

    Raises
    ------
    ChainBrokenError
        Naming the first part that was changed, was lost, or was put there by somebody else.
    """
    made = written_schema(version)
    for name in found:
        if name not in made:
            raise ChainBrokenError(
                f"The journal file holds a part '{name}' that weighstation did not make.",
                seq=1,
                hint=KEEP,
            )
    for name, sql in made.items():
        if found.get(name) != sql:
            # What follows from the lines can be made again; what guards them was taken away.
            hint = _REMAKE if f" {name};" in DROP_PROJECTIONS else KEEP
            raise ChainBrokenError(
                f"The part '{name}' of the journal file is not as weighstation made it.",
                seq=1,
                hint=COMPARE if name == "totals_made_at" else hint,
            )


def refuse_missing_lines(made_at: Head, last: Head, digest_there: str) -> None:
    """Refuse a journal whose end is gone, or is another one.

    Parameters
    ----------
    made_at : Head
        The line that the totals were made at.
    last : Head
        The last line that is there.
    digest_there : str
        Digest of the line with the number of ``made_at``; empty where there is none.

    Raises
    ------
    ChainBrokenError
        Saying how many lines are missing.
    """
    was = f"the totals were made at line {made_at.seq}, head {made_at.digest[:_SHORT]}"
    missing = made_at.seq - last.seq
    if missing > 0:
        some = "1 line is" if missing == 1 else f"{missing} lines are"
        raise ChainBrokenError(
            f"{some} missing at the end: {was}, and the last line is {last.seq}.",
            seq=last.seq + 1,
            hint=KEEP,
        )
    if digest_there != made_at.digest:
        raise ChainBrokenError(
            f"Line {made_at.seq} is not the one it was: {was}.", seq=made_at.seq, hint=KEEP
        )


def refuse_added_lines(made_at: Head | None, last: Head) -> None:
    """Refuse a journal with lines that its totals were not made at.

    Parameters
    ----------
    made_at : Head or None
        The line that the totals were made at; None where the file does not say.
    last : Head
        The last line that is there.

    Raises
    ------
    ChainBrokenError
        Naming the first of them.
    """
    made_at_seq = made_at.seq if made_at else 0
    if made_at_seq < last.seq:
        said = (
            f"were made at line {made_at_seq}" if made_at else "do not say at which they were made"
        )
        raise ChainBrokenError(
            f"The journal goes on to line {last.seq}, but its totals {said}.",
            seq=made_at_seq + 1,
            hint=COMPARE,
        )
