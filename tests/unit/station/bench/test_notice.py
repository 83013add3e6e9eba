"""The one sentence on the panel."""

from __future__ import annotations

from weighstation.station.bench.notice import HELD_S, Notice


def test_a_sentence_goes_with_the_work_and_a_held_one_stays_a_while() -> None:
    notice = Notice("Begin.")
    notice.pass_by(0.0)
    first = notice.text
    notice.hold("The disk takes lines again.", 10.0)
    notice.pass_by(10.0 + HELD_S - 0.1)
    held = notice.text
    notice.pass_by(10.0 + HELD_S)

    assert ("", "The disk takes lines again.", "") == (first, held, notice.text)


def test_another_sentence_takes_the_place_of_a_held_one() -> None:
    notice = Notice("")
    notice.hold("The disk takes lines again.", 10.0)
    notice.text = "Piece 3 (741 g) is struck out."

    assert "Piece 3 (741 g) is struck out." == notice.text
