"""A day -> its page in the words of the shop, and a record for another program."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from weighstation.plan.boards.board_record import MS_PER_S
from weighstation.plan.boards.rest import rest_of
from weighstation.quantities import MG_PER_G, grams
from weighstation.report.charts.control import chart_record
from weighstation.report.page.page import Grid, Page, page_record
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, as_of, counted, utc_text
from weighstation.report.sheet.boards import BatchBoard, board_records
from weighstation.report.sheet.happenings import NOTHING
from weighstation.station.bench.board_words import left_text, minutes, moved_text
from weighstation.station.commands.checking.standing import scale_text
from weighstation.station.commands.terminal.here import HERE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.journal import Reaction
    from weighstation.plan import Board
    from weighstation.report.page.local import Local
    from weighstation.station.commands.office.day import Day, DayBatch

_HEADS = ("", "began", "state", "pieces", "aim", "mean", "out of band", "give-away", "signals")


def day_page(found: Day, local: Local, *, shows_people: bool) -> Page:
    """Return the page of a day.

    Parameters
    ----------
    found : Day
    local : Local
        How the shop writes numbers and days.
    shows_people : bool
        Whether the shop chose to tell people apart.

    Returns
    -------
    Page
    """
    words = _Words(found, local, shows_people=shows_people)
    return Page(
        title=f"Divided on {local.day(found.day)}",
        parts=tuple(words.parts()),
        conclusion=words.conclusion(),
        as_of=as_of(found.line, found.head),
    )


def day_record(found: Day, local: Local, *, shows_people: bool) -> dict[str, object]:
    """Return a day as a dictionary that json can write.

    Parameters
    ----------
    found : Day
    local : Local
    shows_people : bool

    Returns
    -------
    dict
        Weights in grams, times in ISO 8601.
    """
    page = day_page(found, local, shows_people=shows_people)
    return {
        "day": found.day.isoformat(),
        "batches": [
            _batch_record(each, shows_people=shows_people) for each in reversed(found.batches)
        ],
        "charted": None if found.shown is None else found.shown.run,
        "chart": None if found.chart is None else chart_record(found.chart),
        "no_chart": found.no_chart or None,
        "boards": board_records([BatchBoard(b, found.boards.window_of(b)) for b in _used(found)]),
        "check": _check_record(found),
        "decimal": local.decimal,
        "page": page_record(page),
        "as_of": {"line": found.line, "head": found.head},
    }


def _batch_record(batch: DayBatch, *, shows_people: bool) -> dict[str, object]:
    figures = batch.figures
    kept, target_mg = figures.kept, figures.product.limits.target_mg
    person = {"person": batch.person or None} if shows_people else {}
    return {
        "run": batch.run,
        "product": figures.product.name,
        "began": utc_text(figures.started_utc_ms),
        "last": utc_text(figures.last_utc_ms),
        **person,
        "state": batch.state,
        "pieces": kept.n,
        "planned": batch.planned,
        "scaling_weight_g": grams(target_mg),
        "mean_g": None if not kept.n else (target_mg + kept.sum_d_mg / kept.n) / MG_PER_G,
        "out_of_band": figures.out_of_band,
        "giveaway_g": grams(kept.sum_d_mg),
        "signals": len(_signals(batch)),
    }


def _check_record(found: Day) -> dict[str, object] | None:
    check = found.check
    if check is None:
        return None
    return {
        "scale": check.scale,
        "good": check.is_good(found.now_ms),
        "text": check.text(found.now_ms),
        "due_h": check.due_h,
        "last_line": check.last.line if check.last else None,
    }


def _signals(batch: DayBatch) -> list[int]:
    return [each.line for each in batch.figures.happenings if each.name == "Signal"]


def _used(found: Day) -> list[Board]:
    boards = found.boards.boards.boards if found.boards.boards else ()
    return [board for board in boards if board.pieces]


class _Words:
    """A day in the words and numbers of a shop."""

    def __init__(self, found: Day, local: Local, *, shows_people: bool) -> None:
        self.found = found
        self.local = local
        self.shows_people = shows_people

    def conclusion(self) -> str:
        batches = self.found.batches
        running = [batch for batch in batches if batch.state == "running"]
        pieces = counted(sum(batch.figures.kept.n for batch in batches), "piece")
        whole = f"{len(batches)} batches, {pieces} in all." if len(batches) != 1 else ""
        if not batches:
            return "Nothing was divided on this day."
        if not running:
            return f"No batch is running. {whole or f'1 batch, {pieces}.'}"
        return " ".join(filter(None, (*map(self._running, running), whole)))

    def _running(self, batch: DayBatch) -> str:
        name, n = batch.figures.product.name, batch.figures.kept.n
        of = "" if batch.planned is None else f" of {batch.planned}"
        return f"{name} is being divided: {n}{of} counted."

    def parts(self) -> Iterator[Grid | SheetTable]:
        if self.found.batches:
            yield self._batches()
        yield SheetTable(
            "Signals at the bench", tuple(self._happened()) or (_none("none was given"),)
        )
        yield SheetTable("Boards and rests", tuple(self._boards()) or (_none("no board in use"),))
        yield SheetTable("Scale check", (self._check(),))
        yield SheetTable("Notes", tuple(self._notes()) or (_none("nothing was noted"),))

    def _batches(self) -> Grid:
        who = ("who",) if self.shows_people else ()
        rows = tuple(map(self._row, reversed(self.found.batches)))
        return Grid("Batches", (*_HEADS[:2], *who, *_HEADS[2:]), rows)

    def _row(self, batch: DayBatch) -> tuple[str, ...]:
        figures = batch.figures
        kept, target_mg = figures.kept, figures.product.limits.target_mg
        who = (batch.person or NONE,) if self.shows_people else ()
        of = "" if batch.planned is None else f" of {batch.planned}"
        off_mg = kept.mean_d_mg
        mean = NONE
        if off_mg is not None:
            mean = f"{self.local.number((target_mg + off_mg) / MG_PER_G, 1)} g"
        return (
            figures.product.name,
            self._clock(figures.started_utc_ms),
            *who,
            batch.state,
            f"{kept.n}{of}",
            self.local.sentence(f"{grams(target_mg):g} g"),
            mean,
            str(figures.out_of_band),
            self.local.grams(kept.sum_d_mg),
            str(len(_signals(batch))),
        )

    def _happened(self) -> Iterator[SheetRow]:
        for batch in self.found.batches:
            for each in batch.figures.happenings:
                done = " ".join(self._done(one.line, one.said) for one in each.reactions)
                done = done or f"{NOTHING.capitalize()}."
                said = f"{batch.figures.product.name}: {each.text} {done}"
                yield SheetRow(f"{each.name}, line {each.line}", "", said)

    def _done(self, line: int, said: Reaction) -> str:
        if not said.action:
            return f"Line {line} notes: {said.reason}."
        who = f"{said.person}, " if self.shows_people and said.person else ""
        return f"Reason: {said.reason}. Done: {said.action} ({who}line {line})."

    def _boards(self) -> Iterator[SheetRow]:
        now_s = self.found.now_ms / MS_PER_S
        for board in _used(self.found):
            window = self.found.boards.window_of(board)
            rest = rest_of(board, t_s=now_s, window=window)
            count = counted(len(board.pieces), "piece")
            if rest is None or not rest.is_waiting:
                yield SheetRow(f"Board {board.number}", count, moved_text(board, rest))
            else:
                said = f"rested {minutes(rest.rest_s)}, {left_text(rest)}"
                yield SheetRow(f"Board {board.number}", count, said)

    def _check(self) -> SheetRow:
        check = self.found.check
        if check is None:
            return _none("no scale was used here yet")
        said = "good" if check.is_good(self.found.now_ms) else "LOOK"
        due = f"It is to be checked every {self.local.number(check.due_h, 0)} h."
        return SheetRow(
            scale_text(self.found.scale), said, f"{check.text(self.found.now_ms)} {due}"
        )

    def _notes(self) -> Iterator[SheetRow]:
        for each in self.found.notes:
            yield SheetRow(f"About line {each.said.about}", "", self._done(each.line, each.said))

    def _clock(self, utc_ms: int) -> str:
        began = datetime.fromtimestamp(utc_ms / MS_PER_S, HERE)
        if began.date() == self.found.day:
            return f"{began:%H:%M}"
        return f"{self.local.day(began.date())} {began:%H:%M}"


def _none(why: str) -> SheetRow:
    return SheetRow("None", "", why)
