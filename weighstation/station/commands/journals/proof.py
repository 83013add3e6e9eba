"""The ``journal`` commands that read every line: proved, and the totals made again from them."""

from __future__ import annotations

import re
import sys
from contextlib import closing
from typing import TYPE_CHECKING

from weighstation.errors import ChainBrokenError, SpecificationError
from weighstation.journal import Head, first_set_back
from weighstation.station.commands.journals.opening import lines_text, reading, writing
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.pages import show_record
from weighstation.station.stores import is_empty_file

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.stores import SqliteStore

_DIGEST = re.compile(r"[0-9a-fA-F]{1,64}")


def verify(
    home: Path | None, *, as_json: bool, line: int | None = None, head: str | None = None
) -> int:
    """Read every line again, recompute digests and totals, and say whether they hold.

    Parameters
    ----------
    home : Path or None
    as_json : bool
    line : int or None
        Number of a line whose digest was printed, as on a sheet.
    head : str or None
        The digest that was printed, or its beginning.

    Returns
    -------
    int
        Exit code: 1 when they do not.

    Raises
    ------
    SpecificationError
        If there is no journal, or what was printed is not given as it was printed.
    ChainBrokenError
        Naming the first line that does not hold (as a value where JSON is asked for).
    JournalError
        If the journal cannot be read.
    """
    try:
        last, set_back = _proved(home, _printed(line, head))
    except ChainBrokenError as exc:
        if not as_json:
            raise
        said = {"holds": False, "line": exc.seq, "fault": exc.sentence}
        show_record(said)
        return exc.exit_code
    if as_json:
        holds = {"holds": True, "lines": last.seq, "head": last.digest, "set_back": set_back}
        show_record(holds)
        return 0
    sys.stdout.write(f"The journal holds: {lines_text(last.seq)}, head {last.digest}.\n")
    if set_back:
        sys.stdout.write(
            f"Line {set_back} is dated before line {set_back - 1}: the station's clock was set"
            " back.\n"
        )
    return 0


def _printed(line: int | None, head: str | None) -> Head | None:
    """Return the line and the digest that a sheet shows, or None where neither is given."""
    if line is None and head is None:
        return None
    if line is None or head is None:
        raise SpecificationError(
            "--line and --head go together.",
            hint="Give both as the last line of the sheet shows them: 'as of line N, head H'.",
        )
    if not _DIGEST.fullmatch(head):
        raise SpecificationError(
            f"--head '{head}' is no digest.",
            hint="Give the digits after 'head' on the sheet: 0 to 9 and a to f, at most 64.",
        )
    return Head(line, head.lower())


def _proved(home: Path | None, printed: Head | None) -> tuple[Head, int | None]:
    """Return the last line of a journal that holds, and the first one after a clock set back."""
    path = Home.find(home).journal_path
    if is_empty_file(path):
        raise ChainBrokenError(
            f"The journal {path} is empty: there is no line in it.",
            seq=1,
            hint="If it held lines, go back to a copy that holds; if it never did,"
            " 'weighstation divide' begins a new journal in it.",
        )
    with closing(reading(home)) as store:
        last = store.verify()
        if printed is not None:
            _refuse_other_digest(store, printed)
        set_back = first_set_back(store.entries())
    return last, set_back.seq if set_back else None


def _refuse_other_digest(store: SqliteStore, printed: Head) -> None:
    entry = next(store.entries(printed.seq), None)
    if entry is None or not entry.digest.startswith(printed.digest):
        missing = "is not in the journal" if entry is None else "has another digest"
        raise ChainBrokenError(
            f"Line {printed.seq} {missing}: this is not the journal that the sheet was printed"
            " from.",
            seq=printed.seq,
            hint="Keep the file as it is and go back to a copy that holds.",
        )


def rebuild(home: Path | None, *, as_json: bool, anyway: bool = False) -> int:
    """Drop the totals and make them again from the lines.

    Parameters
    ----------
    home : Path or None
    as_json : bool
    anyway : bool
        Even where lines are missing at the end.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    ChainBrokenError
        If a line does not hold, or lines are missing at the end.
    JournalError
        If the journal cannot be read or written.
    """
    with closing(writing(home)) as store:
        store.rebuild(anyway=anyway)
        seq = store.head().seq
    if as_json:
        show_record({"rebuilt_from_lines": seq})
    else:
        sys.stdout.write(f"The totals are made again from {lines_text(seq)}.\n")
    return 0
