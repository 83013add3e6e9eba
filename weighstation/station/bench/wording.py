"""A snapshot -> the words for it, the same on the panel and in plain lines."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from weighstation.events import TookFor, Verdict
from weighstation.quantities import MG_PER_G, grams_text
from weighstation.station.bench.board_words import armed_board_text
from weighstation.station.bench.keys import OF_BOARDS

if TYPE_CHECKING:
    from weighstation.events import Cue, Piece
    from weighstation.station.bench.snapshot import LiftedNote, Snapshot

NOTHING_TO_STRIKE = "No piece can be struck out."
PILE = "Two pieces left together and were not counted: weigh them one at a time."

WORDS: dict[Verdict, str] = {
    Verdict.KEEP: "KEEP",
    Verdict.ADD: "ADD",
    Verdict.TRIM: "TRIM",
    Verdict.ONE_AT_A_TIME: "ONE AT A TIME",
}


def signed(mg: float, division_mg: int) -> str:
    """Return an error in grams with its sign, a true minus.

    Parameters
    ----------
    mg : float, milligrams
    division_mg : int, milligrams

    Returns
    -------
    str, grams

    Examples
    --------
    >>> signed(12_000, 1000)
    '+12'
    """
    return grams_text(round(mg), division_mg, signed=True).replace("-", "\N{MINUS SIGN}")


def promised(mg: int) -> str:
    """Return a promised mass in grams with the decimals it has, whatever the scale shows.

    Parameters
    ----------
    mg : int, milligrams

    Returns
    -------
    str, grams

    Examples
    --------
    >>> promised(732_000), promised(732_500)
    ('732', '732.5')
    """
    return grams_text(mg, math.gcd(mg, MG_PER_G))


def cue_word(cue: Cue) -> str:
    """Return the word that a cue is told with.

    Parameters
    ----------
    cue : Cue

    Returns
    -------
    str
    """
    return "CUT AGAIN" if cue.cut_again else WORDS[cue.verdict]


def band_text(snapshot: Snapshot) -> str:
    """Return the band from its lower to its upper limit.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    str
    """
    limits = snapshot.limits
    lower = promised(limits.target_mg - limits.under_mg)
    upper = promised(limits.target_mg + limits.over_mg)
    return f"keep {lower} to {upper} g"


def lifted_text(note: LiftedNote, division_mg: int) -> str:
    """Return what a lifted piece was taken for, in one sentence without the key.

    Parameters
    ----------
    note : LiftedNote
    division_mg : int, milligrams

    Returns
    -------
    str
    """
    took = {
        None: "it may come back",
        TookFor.CAME_BACK: "taken as brought back",
        TookFor.BOARDED: "taken as boarded",
    }[note.took_for]
    return f"{_left_text(note, division_mg)}: {took}"


def _left_text(note: LiftedNote, division_mg: int) -> str:
    side = "heavy" if note.error_mg > 0 else "light"
    off = grams_text(abs(note.error_mg), division_mg)
    return f"Piece {note.number} left {off} g {side}"


def lifted_key_text(note: LiftedNote) -> str:
    """Return what the turning key does now.

    Parameters
    ----------
    note : LiftedNote

    Returns
    -------
    str
    """
    if note.took_for is TookFor.BOARDED:
        return "B: no, it came back"
    if note.took_for is TookFor.CAME_BACK:
        return "B: no, it was boarded"
    return "B: it was boarded"


def age_text(seconds: float) -> str:
    """Return a time span in minutes and seconds, from an hour on in hours and minutes.

    Parameters
    ----------
    seconds : float, seconds

    Returns
    -------
    str

    Examples
    --------
    >>> age_text(8), age_text(252), age_text(3725)
    ('8 s', '4 min 12 s', '1 h 02 min')
    """
    minutes, rest = divmod(int(max(seconds, 0)), 60)
    if not minutes:
        return f"{rest} s"
    if minutes < 60:
        return f"{minutes} min {rest:02d} s"
    return f"{minutes // 60} h {minutes % 60:02d} min"


def armed_text(snapshot: Snapshot) -> str:
    """Return what a second press of the armed key will do, or an empty text.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    str
    """
    return " ".join(armed_sentences(snapshot))


def armed_sentences(snapshot: Snapshot) -> tuple[str, ...]:
    """Return what the armed key asks, what is to be known first before it.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    tuple of str
        Empty where nothing is armed; the last one says which key.
    """
    of_board = [control for control in OF_BOARDS if control.value == snapshot.armed]
    if of_board and snapshot.armed_board is not None:
        number = snapshot.armed_board
        return (armed_board_text(of_board[0], number, snapshot.clocks.board(number)),)
    if snapshot.armed == "void" and snapshot.known_mg is not None:
        known = grams_text(snapshot.known_mg, snapshot.division_mg)
        return (f"Press V again to strike out piece {snapshot.known_number} ({known} g)",)
    if snapshot.armed != "end":
        return ()
    lost = (*_uncounted_lifted(snapshot), *_uncounted_load(snapshot))
    return (*lost, "E again ends the batch.") if lost else ("Press E again to end the batch",)


def _uncounted_lifted(snapshot: Snapshot) -> tuple[str, ...]:
    note = snapshot.lifted
    if note is None or not note.is_open:
        return ()
    left = _left_text(note, snapshot.division_mg)
    return (f"{left} and is not counted: B if it was boarded.",)


def _uncounted_load(snapshot: Snapshot) -> tuple[str, ...]:
    return ("What lies on the pan is not counted: lift it off first.",) if snapshot.loaded else ()


def lain_text(snapshot: Snapshot) -> str:
    """Return what to do about something that lies on the pan from before.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    str
        Empty where nothing does.
    """
    if snapshot.lain_mg is None:
        return ""
    shown = grams_text(snapshot.lain_mg, snapshot.division_mg)
    return f"{shown} g lies there from before: take it off, a piece may come back"


def all_counted_text(planned: int) -> str:
    """Return that all pieces that were wanted count, and what to do.

    Parameters
    ----------
    planned : int

    Returns
    -------
    str
    """
    counted = "The one piece is" if planned == 1 else f"All {planned} pieces are"
    return f"{counted} counted: press E twice to end the batch."


def struck_out_text(piece: Piece, division_mg: int) -> str:
    """Return that a piece is struck out, with no full stop.

    Parameters
    ----------
    piece : Piece
    division_mg : int, milligrams

    Returns
    -------
    str
    """
    return f"Piece {piece.number} ({grams_text(piece.final_mg, division_mg)} g) is struck out"


def overtaken_text(snapshot: Snapshot, named: int | None) -> str:
    """Return why the piece that V named is not struck out.

    Parameters
    ----------
    snapshot : Snapshot
    named : int or None
        Its number.

    Returns
    -------
    str
    """
    known, note = snapshot.known_number, snapshot.lifted
    if known is None:
        return NOTHING_TO_STRIKE
    again = f"press V again to strike out piece {known}."
    if known != named:
        return f"Piece {known} is counted now: {again}"
    if note is not None and note.is_open:
        return f"Piece {note.number} left out of band: {again}"
    return f"Something else was done meanwhile: {again}"
