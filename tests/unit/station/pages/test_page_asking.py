"""What a page sends is taken for what it says, or refused in one sentence."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.station.bench.keys import OF_BOARDS, Control
from weighstation.station.bench.messages import BoardAsked, StrikeOut
from weighstation.station.pages.bench.asking import touch_from
from weighstation.station.pages.bench.starting import Start, start_from


def body(**said: object) -> bytes:
    return json.dumps(said).encode()


@pytest.mark.parametrize("control", [Control.TURN, Control.PAUSE, Control.DOUGH, Control.END])
def test_what_needs_no_name_is_asked_by_itself(control: Control) -> None:
    assert (control, 3) == touch_from(body(control=control.value, batch=3, name=None))


@pytest.mark.parametrize("control", OF_BOARDS)
def test_a_board_is_asked_for_by_its_number(control: Control) -> None:
    asked = touch_from(body(control=control.value, batch=1, name=12)).asked

    assert isinstance(asked, BoardAsked)
    assert (control, 12) == (asked.control, asked.board)


def test_a_piece_is_struck_out_by_its_number() -> None:
    assert StrikeOut(7) == touch_from(body(control="void", batch=1, name=7)).asked


@pytest.mark.parametrize(
    "said",
    [
        {},
        {"control": "turn"},
        {"control": "turn", "batch": 0},
        {"control": "turn", "batch": True},
        {"control": "void", "batch": 1},
        {"control": "void", "batch": 1, "name": "7"},
        {"control": "void", "batch": 1, "name": -7},
        {"control": "void", "batch": 1, "name": 10**9},
        {"control": "close", "batch": 1, "name": None},
        {"control": "open", "batch": 1},
        {"control": ["turn"], "batch": 1},
    ],
    ids=str,
)
def test_a_touch_that_says_too_little_is_refused(said: dict[str, object]) -> None:
    with pytest.raises(SpecificationError):
        touch_from(body(**said))


@given(st.binary(max_size=80) | st.text(max_size=80).map(str.encode))
def test_any_other_bytes_are_refused_in_one_sentence(data: bytes) -> None:
    for read in (touch_from, start_from):
        with pytest.raises(SpecificationError) as refusal:
            read(data)
        assert "\n" not in str(refusal.value)


def test_bytes_nested_without_end_are_refused() -> None:
    with pytest.raises(SpecificationError):
        touch_from(b"[" * 4000)


def test_a_batch_is_begun_with_what_was_typed() -> None:
    whole = {"product": " Bap ", "pieces": 60, "dough": "4,8", "person": "ab", "batch": 2}

    assert Start("Bap", 60, "4,8", "ab", resume=False, batch=2) == start_from(body(**whole))
    assert Start("Bap") == start_from(body(product="Bap", batch=0))


@pytest.mark.parametrize(
    "said",
    [
        {"product": "", "batch": 0},
        {"product": "Bap"},
        {"product": "Bap", "batch": 0, "pieces": 0},
        {"product": "Bap", "batch": 0, "pieces": 2.5},
        {"product": "Bap", "batch": 0, "resume": "yes"},
        {"product": "B" * 300, "batch": 0},
        {"product": "Bap", "batch": False},
    ],
    ids=lambda said: str(said)[:60],
)
def test_a_batch_of_nothing_or_half_a_piece_is_refused(said: dict[str, object]) -> None:
    with pytest.raises(SpecificationError):
        start_from(body(**said))


@pytest.mark.parametrize("field", ["product", "dough", "person"])
@pytest.mark.parametrize("odd", ["\x1b[2J", "a\nb", "\x9b2J", "\u202e", "\u2028", "\ud800", "\x00"])
def test_what_steers_a_terminal_or_is_no_text_is_refused(field: str, odd: str) -> None:
    """ECMA-48 for what steers; a lone half of a pair (UTF-16) cannot be sent to any page."""
    with pytest.raises(SpecificationError):
        start_from(body(**{"product": "Bap", "batch": 0, field: f"B{odd}p"}))


def test_letters_of_any_tongue_and_odd_blanks_are_a_name() -> None:
    name = "Brötchen\N{NO-BREAK SPACE}\N{HIRAGANA LETTER PA}\N{BREAD}"

    assert Start(name) == start_from(body(product=name, batch=0))
