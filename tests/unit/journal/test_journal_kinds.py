"""The closed list of kinds."""

from __future__ import annotations

from weighstation.journal import Kind


def test_the_words_on_the_record_never_change() -> None:
    """A journal outlives the program, so the words are fixed."""
    words = (
        "run_started piece_kept piece_lifted lifted_turned voided signal noted gap"
        " board_opened board_closed board_moved dough_weighed pan_shifted scale_checked baked"
        " imported restored run_ended"
    )

    assert words.split() == [kind.value for kind in Kind]
