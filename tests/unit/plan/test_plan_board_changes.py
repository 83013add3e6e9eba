"""A line that counts pieces anew takes the old ones off their boards first."""

from __future__ import annotations

from weighstation.events import Verdict
from weighstation.journal import PieceFacts
from weighstation.journal.piece_lines import Change
from weighstation.plan import PieceBoarded, PieceVoided, facts_of_change


def piece(number: int, placed_ms: int) -> PieceFacts:
    return PieceFacts(
        number,
        first_mg=752_000,
        final_mg=741_000,
        touches=1,
        ms=4_200,
        placed_ms=placed_ms,
        verdict=Verdict.KEEP,
        dough_age_ms=placed_ms,
    )


def test_what_goes_comes_first_and_times_are_those_of_leaving_the_pan() -> None:
    turned = Change(adds=(piece(1, 10_000), piece(2, 20_000)), removes=(piece(1, 10_000),))

    assert (
        PieceVoided(1, "r"),
        PieceBoarded(1, 114.2, "r"),
        PieceBoarded(2, 124.2, "r"),
    ) == facts_of_change(turned, run="r", clock_s=100.0)


def test_a_line_that_counts_nothing_says_nothing_of_boards() -> None:
    assert () == facts_of_change(Change())
