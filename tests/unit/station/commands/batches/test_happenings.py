"""Lines of a batch -> what a person should look into, and what was done about it."""

from __future__ import annotations

from weighstation.journal import Body, Entry, Kind, Reaction, body_text, codec, reacted
from weighstation.report.sheet.happenings import happenings_table
from weighstation.station.commands.batches.happenings import happenings_of

SIGNAL = codec.signal("r1", pieces=(4, 9), error_mg=6000, text="Heavy.", reaction="Cut smaller.")
FAILED: Body = {"verdict": "unfit", "text": "The scale reads 3 g too much."}


def chain(*lines: tuple[Kind, Body]) -> list[Entry]:
    return [
        Entry("bench", seq, 1000 * seq, kind, body_text(body), "0" * 64)
        for seq, (kind, body) in enumerate(lines, start=1)
    ]


def said(about: int, person: str = "AB") -> tuple[Kind, Body]:
    return Kind.NOTED, reacted(Reaction(about, "new flour", "cut smaller", person))


def test_two_reactions_to_one_signal_stand_in_their_order() -> None:
    (found,) = happenings_of(chain((Kind.SIGNAL, SIGNAL), said(1), said(1, "CD")), ())

    assert (1, "Signal", "Heavy.", [2, 3]) == (
        found.line,
        found.name,
        found.text,
        [each.line for each in found.reactions],
    )
    assert (
        "Reason: new flour. Done: cut smaller (AB, line 2)."
        " Reason: new flour. Done: cut smaller (CD, line 3)."
    ) == found.reaction_text


def test_a_failed_check_is_told_where_it_made_pieces_of_the_batch_doubtful() -> None:
    lines = chain((Kind.SCALE_CHECKED, FAILED), said(1))

    assert () == happenings_of(lines, ())
    assert ["Failed check"] == [each.name for each in happenings_of(lines, (1,))]


def test_a_note_about_a_line_of_another_batch_is_not_told() -> None:
    assert () == happenings_of(chain(said(99)), ())


def test_a_gap_that_nobody_noted_anything_about_is_left_to_its_own_row() -> None:
    gap = (Kind.GAP, codec.gap("r1", "the scale was silent", 2500))

    assert () == happenings_of(chain(gap), ())
    (found,) = happenings_of(chain(gap, said(1)), ())
    assert "2.5 s: the scale was silent." == found.text


def test_a_batch_in_which_nothing_happened_has_no_such_table() -> None:
    assert happenings_table(()) is None
