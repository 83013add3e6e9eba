"""What happened at the bench besides pieces -> on which board it happened, a sentence each."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from weighstation.evaluate.stretch import Judged, Stretch, judged
from weighstation.journal import DoughWeighed, PanShifted
from weighstation.quantities import MG_PER_G, grams
from weighstation.report.page.tables import SheetRow, SheetTable, counted, minus, signed, spans

if TYPE_CHECKING:
    from weighstation.report.sheet.figures import BatchFigures

WHOLE_SHARE = 10
"""Within a tenth of a scaling weight, dough that is missing may be whole pieces (house figure)."""
ALIKE_SHARE = 50
"""Within a fiftieth, it is as much as a pile that was seen (house figure)."""


@dataclass(frozen=True, slots=True)
class Pile:
    """Several pieces that left the pan together and were not counted.

    Parameters
    ----------
    net_mg : int, milligrams
    after : int
        Number of the last piece that had a number; 0 before the first.
    """

    net_mg: int
    after: int


@dataclass(frozen=True, slots=True)
class FirstCutsMoved:
    """First cuts that moved off the scaling weight by more than chance.

    Parameters
    ----------
    first, last : int
        Numbers of pieces.
    error_mg : int, milligrams
        Their mean error.
    """

    first: int
    last: int
    error_mg: int


Fact = TypeVar("Fact")
BenchFact: TypeAlias = "DoughWeighed | PanShifted | Pile | FirstCutsMoved"


@dataclass(frozen=True, slots=True)
class Traced:
    """Something that is wrong, or may be, and where it happened.

    Parameters
    ----------
    kind : str
        ``dough gone``, ``not counted``, ``counted too much``, ``two at once``, ``pan shifted`` or
        ``first cuts``.
    boards : tuple of int
        Numbers of the boards; empty where none are kept.
    pieces : tuple of int
        Numbers of the pieces in question, ascending.
    mass_mg : int, milligrams
        Sign kept.
    text : str
        One plain sentence, without the board.
    """

    kind: str
    boards: tuple[int, ...]
    pieces: tuple[int, ...]
    mass_mg: int
    text: str

    @property
    def where(self) -> str:
        """The boards in words, or the pieces where no boards are kept."""
        if self.boards:
            return f"{'Board' if len(self.boards) == 1 else 'Boards'} {spans(self.boards)}"
        return f"{'Piece' if len(self.pieces) == 1 else 'Pieces'} {spans(self.pieces)}"


@dataclass(frozen=True, slots=True)
class _Part:
    """A stretch with its pieces and what happened in it."""

    numbers: tuple[int, ...]
    stretch: Stretch
    piles: tuple[Pile, ...]


def traced(figures: BatchFigures) -> tuple[Traced, ...]:
    """Return what is wrong in a batch, or may be, and on which boards.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    (n,) tuple of Traced
        In the order of the pieces.
    """
    parts = _parts(figures)
    results = list(zip(parts, judged([part.stretch for part in parts]), strict=True))
    found = [_out(figures, part, result) for part, result in results if result.out_mg]
    settled = {pile for each in results for pile in _settled(figures, *each)}
    found += [_pile(figures, pile) for pile in _of(figures, Pile) if pile not in settled]
    found += [_shift(figures, shift) for shift in _of(figures, PanShifted)]
    found += [_moved(figures, moved) for moved in _of(figures, FirstCutsMoved)]
    return tuple(sorted(found, key=lambda one: one.pieces[:1]))


def trace_table(figures: BatchFigures) -> SheetTable | None:
    """Return what is wrong and on which boards, or None where nothing is and no dough tells.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    SheetTable or None
    """
    rows = tuple(SheetRow(one.where, _mass(one), one.text) for one in traced(figures))
    rows = (*_weighed_back(figures), *rows)
    return SheetTable("Traced to a board", rows) if rows else None


def trace_records(figures: BatchFigures) -> list[dict[str, object]]:
    """Return what is wrong and on which boards, for json.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    list of dict
    """
    return [
        {
            "kind": one.kind,
            "boards": list(one.boards),
            "pieces": list(one.pieces),
            "grams": grams(one.mass_mg),
            "text": f"{one.where}: {one.text}",
        }
        for one in traced(figures)
    ]


def _weighed_back(figures: BatchFigures) -> tuple[SheetRow, ...]:
    """Return how often dough was weighed back, and on how many stretches it agreed."""
    results = judged([part.stretch for part in _parts(figures)])
    if not results:
        return ()
    good = sum(not result.out_mg for result in results)
    most_g = grams(max(result.slack_mg for result in results))
    said = counted(len(_of(figures, DoughWeighed)), "time")
    stretches = "1 stretch" if len(results) == 1 else f"{len(results)} stretches"
    note = f"dough agrees on {good} of {stretches}, each to {most_g:.0f} g or better"
    return (SheetRow("Dough weighed back", said, note),)


def _of(figures: BatchFigures, kind: type[Fact]) -> list[Fact]:
    return [fact for fact in figures.bench_facts if isinstance(fact, kind)]


# ---- stretches of dough


def _parts(figures: BatchFigures) -> tuple[_Part, ...]:
    """Return the stretches with pieces, where dough was weighed back on the bench at all."""
    marks = _marks(figures)
    division_mg = next((b.division_mg for b in reversed(figures.benches) if b.division_mg), None)
    parts = []
    for (begin, _), (end, piles) in pairwise(marks):
        pieces = [piece for piece in figures.pieces if begin.after < piece.number <= end.after]
        if pieces:
            stretch = Stretch(
                before_mg=begin.left_mg,
                after_mg=end.left_mg,
                counted_mg=sum(piece.final_mg for piece in pieces),
                pieces=len(pieces),
                lumps=begin.lumps + end.lumps,
                division_mg=division_mg or MG_PER_G,
            )
            parts.append(_Part(tuple(sorted(p.number for p in pieces)), stretch, tuple(piles)))
    return tuple(parts)


def _marks(figures: BatchFigures) -> list[tuple[DoughWeighed, list[Pile]]]:
    """Return the weighings of dough, each with the piles since the one before it.

    What was typed before the first piece, and after the last one, stands for a weighing too.
    """
    marks: list[tuple[DoughWeighed, list[Pile]]] = []
    piles: list[Pile] = []
    dough = figures.dough
    if dough is not None:
        marks.append((DoughWeighed(dough.on_hand_mg, 1, 0), []))
    for fact in figures.bench_facts:
        if isinstance(fact, Pile):
            piles.append(fact)
        elif isinstance(fact, DoughWeighed):
            marks.append((fact, piles))
            piles = []
    last = max((piece.number for piece in figures.pieces), default=0)
    if dough is not None and dough.left_mg is not None and marks[-1][0].after < last:
        marks.append((DoughWeighed(dough.left_mg, 1, last), piles))
    return marks if _of(figures, DoughWeighed) else []


def _out(figures: BatchFigures, part: _Part, result: Judged) -> Traced:
    """Return what a stretch that is out says."""
    kind, text = _missing(figures, part, result) if result.out_mg > 0 else _too_much(part, result)
    return Traced(kind, _boards(figures, part.numbers), part.numbers, result.out_mg, text)


def _settled(figures: BatchFigures, part: _Part, result: Judged) -> tuple[Pile, ...]:
    """Return the piles of which the dough tells what became: weighed again, or boarded."""
    if not result.out_mg:
        return part.piles
    alike = _as_much(figures, part, result)
    return (alike,) if alike else ()


def _as_much(figures: BatchFigures, part: _Part, result: Judged) -> Pile | None:
    """Return the pile that weighs as much as is missing."""
    near_mg = max(result.slack_mg, figures.product.limits.target_mg // ALIKE_SHARE)
    near = (pile for pile in part.piles if abs(pile.net_mg - result.out_mg) <= near_mg)
    return next(near, None)


def _missing(figures: BatchFigures, part: _Part, result: Judged) -> tuple[str, str]:
    pile, out = _as_much(figures, part, result), _grams(result.out_mg)
    if pile is not None:
        return "not counted", (
            f"{out} more left the dough than was counted, as much as what left the pan together"
            f" after piece {pile.after} ({_grams(pile.net_mg)}) and was not counted: it lies on"
            f" {_board_at(figures, pile.after)} besides."
        )
    if _is_whole(figures, result):
        return _whole(figures, result)
    return "dough gone", (
        f"{out} of dough are gone and in no piece, between pieces {part.numbers[0]} and"
        f" {part.numbers[-1]}: scraps, or dough on the floor?"
    )


def _too_much(part: _Part, result: Judged) -> tuple[str, str]:
    each_mg = result.out_mg / len(part.numbers)
    return "counted too much", (
        f"pieces {spans(part.numbers)} were weighed {_grams(-result.out_mg)} heavier than what"
        f" left the dough, {grams(round(-each_mg)):.0f} g each if all are: was something weighed"
        " with them that was not tared, such as a cloth or a tray?"
    )


def _is_whole(figures: BatchFigures, result: Judged) -> bool:
    target_mg = figures.product.limits.target_mg
    pieces = round(result.out_mg / target_mg)
    near_mg = max(result.slack_mg, target_mg // WHOLE_SHARE)
    return pieces != 0 and abs(result.out_mg - pieces * target_mg) <= near_mg


def _whole(figures: BatchFigures, result: Judged) -> tuple[str, str]:
    pieces = round(result.out_mg / figures.product.limits.target_mg)
    about = "one piece" if pieces == 1 else f"{pieces} pieces"
    return "not counted", (
        f"{_grams(result.out_mg)} more left the dough than was counted, about {about}: was"
        " something boarded that was not weighed, or taken as brought back?"
    )


# ---- what was seen


def _pile(figures: BatchFigures, pile: Pile) -> Traced:
    text = (
        f"{_grams(pile.net_mg)} left the pan together after piece {pile.after} and were not"
        " counted: unless they were weighed again one by one, they lie on it besides."
    )
    number = pile.after + 1
    return Traced("two at once", _boards_near(figures, number), (number,), pile.net_mg, text)


def _shift(figures: BatchFigures, shift: PanShifted) -> Traced:
    was, now = _grams(shift.from_mg), _grams(shift.to_mg)
    number = shift.after + 1
    text = (
        f"from piece {number} on the empty pan showed {now}, before that {was}: was tare pressed"
        " with something on it, or something left on it? Pieces are weighed from the empty pan, so"
        " theirs hold; whoever cuts by the scale's own display is out by it."
    )
    return Traced(
        "pan shifted",
        _boards_near(figures, number),
        (number,),
        shift.to_mg - shift.from_mg,
        text,
    )


def _moved(figures: BatchFigures, moved: FirstCutsMoved) -> Traced:
    numbers = tuple(range(moved.first, moved.last + 1))
    side = "heavy" if moved.error_mg > 0 else "light"
    text = (
        f"first cuts of pieces {spans(numbers)} were {grams(abs(moved.error_mg)):.0f} g {side} on"
        " the mean, which is more than chance."
    )
    return Traced("first cuts", _boards(figures, numbers), numbers, moved.error_mg, text)


# ---- boards and words


def _boards(figures: BatchFigures, numbers: tuple[int, ...]) -> tuple[int, ...]:
    wanted, runs = set(numbers), {run.run for run in figures.runs}
    return tuple(
        each.board.number
        for each in figures.boards
        if any(piece.run in runs and piece.number in wanted for piece in each.board.pieces)
    )


def _boards_near(figures: BatchFigures, number: int) -> tuple[int, ...]:
    """Return the board of a piece, or of the one before it where it never came."""
    return _boards(figures, (number,)) or _boards(figures, (number - 1,))


def _board_at(figures: BatchFigures, after: int) -> str:
    boards = _boards_near(figures, after + 1)
    return f"board {boards[0]}" if boards else "the bench"


def _mass(one: Traced) -> str:
    return f"{signed(grams(one.mass_mg), 0)} g"


def _grams(mg: int) -> str:
    return minus(f"{grams(mg):.1f}".removesuffix(".0")) + " g"
