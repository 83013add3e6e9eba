"""Boards of a batch -> how long their pieces rested, and how long the dough was cut."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING

from weighstation.plan import Rested, rest_of
from weighstation.plan.boards.board_record import STAGE_KEYS
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted, spans, utc_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.plan import Board, BoardRest, RestWindow
    from weighstation.report.sheet.figures import BatchFigures

MS_PER_S = 1000


@dataclass(frozen=True, slots=True)
class BatchBoard:
    """A board that carries pieces of a batch.

    Parameters
    ----------
    board : Board
        Its times in seconds since 1970.
    window : RestWindow
        How long its pieces were to rest.
    """

    board: Board
    window: RestWindow

    @property
    def rest(self) -> BoardRest | None:
        """The rest of its first piece; None where nobody said when that ended."""
        ends = (self.board.bench_s, self.board.oven_in_s)
        end_s = next((end for end in ends if end is not None), None)
        return None if end_s is None else rest_of(self.board, t_s=end_s, window=self.window)

    @property
    def numbers(self) -> tuple[int, ...]:
        """Numbers of the pieces on it, ascending."""
        return tuple(sorted(piece.number for piece in self.board.pieces))


def boards_table(figures: BatchFigures, *, zone: tzinfo = UTC) -> SheetTable | None:
    """Return the dough's time and its boards, or None where neither was kept.

    Parameters
    ----------
    figures : BatchFigures
    zone : tzinfo
        Whose clock times are told in.

    Returns
    -------
    SheetTable or None
    """
    rows = (
        *_mixed(figures, zone),
        *_cutting(figures),
        *_rested(figures.boards),
        *(_row(each, zone) for each in figures.boards),
    )
    return SheetTable("Dough's time and boards", rows) if rows else None


def _mixed(figures: BatchFigures, zone: tzinfo) -> tuple[SheetRow, ...]:
    mixed_ms, cut_ms = figures.mixed_utc_ms, figures.first_cut_utc_ms
    if mixed_ms is None:
        return ()
    note = ""
    if cut_ms is not None:
        note = f"{_minutes((cut_ms - mixed_ms) / MS_PER_S)} before the first cut"
    return (SheetRow("Mixed", _clock(mixed_ms / MS_PER_S, zone), note),)


def _cutting(figures: BatchFigures) -> tuple[SheetRow, ...]:
    """Return how long the dough was cut, where that was promised or boards are kept."""
    limit_min = figures.product.dough_limit_min
    ages_ms = [p.dough_age_ms + (p.ms or 0) for p in figures.pieces if p.dough_age_ms is not None]
    if not ages_ms or len(ages_ms) < len(figures.pieces):
        return ()
    if limit_min is None and not figures.boards:
        return ()
    took_s = max(ages_ms) / MS_PER_S
    note = ""
    if limit_min is not None:
        over_min = math.ceil(took_s / 60 - limit_min)
        limit = f"{limit_min:g} min"
        note = f"{over_min} min over its {limit}" if over_min > 0 else f"within its {limit}"
    return (SheetRow("First to last cut", _minutes(took_s), note),)


def _rested(boards: Sequence[BatchBoard]) -> tuple[SheetRow, ...]:
    if not boards:
        return ()
    rests = [each.rest for each in boards if each.rest is not None]
    if not rests:
        note = f"not said when {counted(len(boards), 'board')} went to be shaped"
        return (SheetRow("Rest", NONE, note),)
    good = sum(rest.rested is Rested.READY for rest in rests)
    longest = max(rests, key=lambda rest: rest.rest_s)
    unsaid = len(boards) - len(rests)
    said = f"{good} of {counted(len(rests), 'board')}"
    note = f"within {_window(longest.window)}"
    note += f"; longest {_minutes(longest.rest_s)}, board {longest.board}"
    return (SheetRow("Rest", said, note + (f"; of {unsaid} it was not said" if unsaid else "")),)


def _row(each: BatchBoard, zone: tzinfo) -> SheetRow:
    board = each.board
    noun = "piece" if len(each.numbers) == 1 else "pieces"
    return SheetRow(
        f"Board {board.number}",
        f"{noun} {spans(each.numbers)}",
        "; ".join((_cut(board, zone), *_shaped(each, zone), *_baked(board, zone))),
    )


def _cut(board: Board, zone: tzinfo) -> str:
    if board.oldest is None or board.newest is None:
        return ""
    first, last = _clock(board.oldest.cut_s, zone), _clock(board.newest.cut_s, zone)
    room = "" if board.is_full else f", {len(board.pieces)} of {board.places} places"
    return f"cut {first}{room}" if first == last else f"cut {first} to {last}{room}"


def _shaped(each: BatchBoard, zone: tzinfo) -> tuple[str, ...]:
    rest, board = each.rest, each.board
    if rest is None:
        return ()
    rested = f"rested {_minutes(rest.rest_s)}{_judged(rest)}"
    if board.bench_s is None:
        return (f"baked as cut, {rested}",)
    return (f"shaped {_clock(board.bench_s, zone)}, {rested}",)


def _judged(rest: BoardRest) -> str:
    match rest.rested:
        case Rested.TOO_SHORT:
            return f", {math.ceil(rest.until_s / 60)} min too short"
        case Rested.READY:
            return ""
        case Rested.TOO_LONG:
            return f", {math.ceil(-rest.left_s / 60)} min too long"


def _baked(board: Board, zone: tzinfo) -> tuple[str, ...]:
    if board.oven_in_s is None:
        return ()
    into = _clock(board.oven_in_s, zone)
    if board.oven_out_s is None:
        return (f"in the oven since {into}",)
    return (f"in the oven {into} to {_clock(board.oven_out_s, zone)}",)


def _window(window: RestWindow) -> str:
    return f"{window.least_s / 60:g} to {window.most_s / 60:g} min"


def _minutes(seconds: float) -> str:
    """Return whole minutes, begun ones left out; an hour and more in hours and minutes."""
    minutes = int(seconds // 60)
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} min"


def _clock(utc_s: float, zone: tzinfo) -> str:
    return f"{datetime.fromtimestamp(utc_s, zone):%H:%M}"


def board_records(boards: Sequence[BatchBoard]) -> list[dict[str, object]]:
    """Return boards as lists and numbers that json can write.

    Parameters
    ----------
    boards : (n,) sequence of BatchBoard

    Returns
    -------
    list of dict
        Times in ISO 8601, rests in seconds; null where nobody said.
    """
    return [_record(each) for each in boards]


def _record(each: BatchBoard) -> dict[str, object]:
    board, rest = each.board, each.rest
    return {
        "board": board.number,
        "places": board.places,
        "pieces": [
            {"piece": piece.number, "place": piece.place, "cut": _iso(piece.cut_s)}
            for piece in sorted(board.pieces, key=lambda one: one.number)
        ],
        "stage": STAGE_KEYS[board.stage],
        "at_bench": _iso(board.bench_s),
        "in_oven": _iso(board.oven_in_s),
        "out_of_oven": _iso(board.oven_out_s),
        "rest_s": None if rest is None else round(rest.rest_s, 3),
        "rest_window_s": [each.window.least_s, each.window.most_s],
        "within_window": None if rest is None else rest.rested is Rested.READY,
    }


def _iso(utc_s: float | None) -> str | None:
    return None if utc_s is None else utc_text(1000 * utc_s)
