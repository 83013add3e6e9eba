"""The dough of a batch -> where it went, and what may be wrong with the count."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.evaluate import Balance, DoughBalance, dough_balance
from weighstation.evaluate.stretch import HANDLING_SHARE, scale_part_mg
from weighstation.quantities import MG_PER_G, grams
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted, signed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.report.sheet.figures import BatchFigures, Dough

_NOTES = {
    Balance.AGREES: "less than a quarter of a piece",
    Balance.LEFT_OR_LOST: "left over or lost",
    Balance.UNEXPLAINED: "no whole number of pieces",
}


def dough_found(figures: BatchFigures) -> DoughBalance | None:
    """Return whether the dough adds up, or None where it was not weighed.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    DoughBalance or None
    """
    return None if figures.dough_sum is None else dough_balance(figures.dough_sum)


def dough_table(figures: BatchFigures) -> SheetTable | None:
    """Return where the dough went, or None where it was not weighed.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    SheetTable or None
    """
    dough, found = figures.dough, dough_found(figures)
    if dough is None or found is None or figures.dough_sum is None:
        return None
    rows = (
        SheetRow("On the bench", _grams(dough.on_hand_mg), "when dividing began"),
        SheetRow(
            "In counted pieces",
            f"{grams(figures.dough_sum.counted_mg):.1f} g",
            counted(figures.kept.n, "piece"),
        ),
        _said("Left over", dough.left_mg, "--left"),
        _said("Lost", dough.loss_mg, "--loss"),
        SheetRow(
            "The scale alone",
            f"\N{PLUS-MINUS SIGN}{grams(scale_of_sum_mg(figures)):.1f} g",
            "in all these weighings, 95 %",
        ),
        SheetRow(
            "Not accounted for", f"{signed(grams(found.unaccounted_mg))} g", _note(dough, found)
        ),
    )
    return SheetTable("Dough", rows, dough_remark(figures))


def scale_of_sum_mg(figures: BatchFigures) -> int:
    """Return how far the scale alone may put the dough of a batch out (k = 2).

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    int, milligrams
        As if dough and rest were one lump each, weighed on this scale.
    """
    division_mg = next((b.division_mg for b in reversed(figures.benches) if b.division_mg), None)
    return scale_part_mg(figures.kept.n, 2, division_mg or MG_PER_G)


def dough_remark(figures: BatchFigures) -> str:
    """Return which guesses may be wrong, where about a piece or more is missing or too many.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    str
        One or two sentences; empty where there is nothing to look into.
    """
    dough, found = figures.dough, dough_found(figures)
    if dough is None or found is None or not _is_about_a_piece(found, figures):
        return ""
    is_missing = found.unaccounted_mg > 0
    is_more = abs(found.pieces) > _doubtful(figures, is_missing=is_missing)
    if is_missing and is_more and dough.left_mg is None:
        return ""  # then dough is left over, and nobody can say how much of it
    doubt = _doubt(dough, found.unaccounted_mg)
    asks = _asked_missing(figures) if is_missing else _asked_too_many(figures)
    batch = f"Batch {figures.runs[-1].run} of {figures.product.name}"
    weighed = " Was the dough itself weighed right?" if is_more else ""
    return f"{batch}: {doubt}{_what(found)}{asks}{weighed}"


def _note(dough: Dough, found: DoughBalance) -> str:
    if not found.pieces:
        return _NOTES[found.balance]
    about = f"about {counted(abs(found.pieces), 'piece')}"
    if found.pieces < 0:
        return f"{about} too many"
    return f"{about} too few" if dough.left_mg is not None else f"{about}, or left over or lost"


def _doubtful(figures: BatchFigures, *, is_missing: bool) -> int:
    """Return how many pieces may count and do not, or may be counted twice."""
    lifts = figures.lifts
    if not is_missing:
        return len(lifts.boarded)
    named = (lifts.came_back, lifts.struck_out, figures.unresolved)
    return sum(map(len, named)) + 2 * lifts.two_at_once


def _is_about_a_piece(found: DoughBalance, figures: BatchFigures) -> bool:
    if found.pieces:
        return True
    least_mg = figures.product.limits.target_mg
    return found.balance is Balance.UNEXPLAINED and abs(found.unaccounted_mg) > least_mg


def _what(found: DoughBalance) -> str:
    """Return what does not add up."""
    number = abs(found.pieces)
    if not number:
        out, verb = f"{_grams(abs(found.unaccounted_mg))} (no whole number of pieces)", "was"
    elif number == 1:
        out, verb = "about one piece", "was"
    else:
        out, verb = f"about {number} pieces", "were"
    if found.unaccounted_mg > 0:
        return f"{out} more went to the boards than {verb} counted"
    return f"{out} more {verb} counted than went to the boards"


def _doubt(dough: Dough, out_mg: int) -> str:
    """Return what else could explain dough that is missing, as far as nobody denied it."""
    if out_mg <= 0:
        return ""
    if dough.left_mg is None:
        what = "left over or lost" if dough.loss_mg is None else "left over"
        return f"unless {_grams(out_mg)} were {what}, "
    may_be_lost = dough.loss_mg is None and out_mg * HANDLING_SHARE <= dough.on_hand_mg
    return f"unless {_grams(out_mg)} were lost, " if may_be_lost else ""


def _asked_missing(figures: BatchFigures) -> str:
    """Return the pieces that may have gone to the boards without being counted."""
    lifts = figures.lifts
    struck_out = [piece.number for piece in lifts.struck_out]
    asked = _question(lifts.came_back, "taken as brought back, boarded")
    others = [
        f"{_pieces(figures.unresolved)}, still open" if figures.unresolved else "",
        f"{_pieces(struck_out)}, struck out" if struck_out else "",
        f"two at once, {counted(lifts.two_at_once, 'time')}" if lifts.two_at_once else "",
    ]
    said = "; ".join(other for other in others if other)
    if said:
        return f"{asked} Not counted: {said}."
    return asked if lifts.came_back else ", and no lifted piece was taken as brought back."


def _asked_too_many(figures: BatchFigures) -> str:
    """Return the pieces that may have been counted twice."""
    boarded = figures.lifts.boarded
    if not boarded:
        return ", and no lifted piece was taken as boarded."
    return _question(boarded, "taken as boarded, brought back")


def _question(numbers: Sequence[int], what: str) -> str:
    if not numbers:
        return "."
    which = "" if len(numbers) == 1 else "one of "
    return f": was {which}{_pieces(numbers)}, {what}?"


def _pieces(numbers: Sequence[int]) -> str:
    noun = "piece" if len(numbers) == 1 else "pieces"
    return f"{noun} {', '.join(map(str, numbers))}"


def _said(label: str, mg: int | None, option: str) -> SheetRow:
    if mg is None:
        return SheetRow(label, NONE, f"not said: journal sheet {option} GRAMS")
    return SheetRow(label, _grams(mg))


def _grams(mg: int) -> str:
    """Return grams with the decimals that there are."""
    return f"{grams(mg):.3f}".rstrip("0").rstrip(".") + " g"
