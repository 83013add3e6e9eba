"""What a line of the journal does to the counted pieces -> facts about boards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.plan.boards.board_facts import PieceBoarded, PieceVoided

if TYPE_CHECKING:
    from weighstation.journal.piece_lines import Change


def facts_of_change(
    change: Change, *, run: str = "", clock_s: float = 0.0
) -> tuple[PieceVoided | PieceBoarded, ...]:
    """Return the facts about boards that follow from what a line counts and counts no longer.

    Parameters
    ----------
    change : Change
        Of the line; empty where it counts nothing.
    run : str
        The run that it belongs to.
    clock_s : float, seconds
        Where the run's own clock begins on the clock of the boards, which outlives a run.

    Returns
    -------
    (n,) tuple of PieceVoided or PieceBoarded
        What goes comes first, so that a number may count anew.
    """
    gone = (PieceVoided(piece.number, run) for piece in change.removes)
    come = (PieceBoarded(piece.number, clock_s + piece.off_ms / 1000, run) for piece in change.adds)
    return (*gone, *come)
