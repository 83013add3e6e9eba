"""One key, one meaning; the grave ones want a second, deliberate press."""

from __future__ import annotations

import pytest

from weighstation.station.bench.keys import ARMED_S, Control, KeyMachine


@pytest.fixture
def keys() -> KeyMachine:
    return KeyMachine()


@pytest.mark.parametrize("char", ["b", "B", " "])
def test_the_turn_key_acts_at_once(keys: KeyMachine, char: str) -> None:
    assert (Control.TURN,) == keys.feed(char, 10.0)


def test_pause_acts_at_once(keys: KeyMachine) -> None:
    assert (Control.PAUSE,) == keys.feed("p", 10.0)


@pytest.mark.parametrize(
    ("char", "control"),
    [("v", Control.VOID), ("\x7f", Control.VOID), ("e", Control.END)],
)
def test_void_and_end_want_a_second_press(keys: KeyMachine, char: str, control: Control) -> None:
    assert () == keys.feed(char, 10.0)
    assert control.value == keys.armed(10.0)
    assert (control,) == keys.feed(char, 12.0)
    assert keys.armed(12.0) == ""


def test_the_first_press_lasts_three_seconds(keys: KeyMachine) -> None:
    keys.feed("v", 10.0)

    assert keys.armed(10.0 + ARMED_S) == "void"
    assert keys.armed(10.01 + ARMED_S) == ""
    assert () == keys.feed("v", 13.5)
    assert keys.armed(13.5) == "void"


def test_a_quick_double_tap_counts_once_it_is_over(keys: KeyMachine) -> None:
    keys.feed("v", 10.0)

    assert () == keys.feed("v", 10.3)
    assert () == keys.poll(10.4)
    assert (Control.VOID,) == keys.poll(10.46)
    assert () == keys.poll(10.5)


@pytest.mark.parametrize("delay_s", [0.25, 0.5, 0.66, 1.0])
@pytest.mark.parametrize("every_s", [0.03, 0.04, 0.1])
def test_a_pedal_held_down_arms_but_never_strikes_out(
    keys: KeyMachine, delay_s: float, every_s: float
) -> None:
    """Terminals repeat a held key by themselves; a resting foot is not a second press."""
    asked = list(keys.feed("v", 10.0))
    t_s = 10.0 + delay_s
    while t_s < 14.0:
        asked += keys.feed("v", t_s)
        t_s += every_s
    asked += keys.poll(15.0)

    assert asked == []


def test_a_pedal_held_down_turns_once(keys: KeyMachine) -> None:
    asked = list(keys.feed("b", 10.0))
    for step in range(60):
        asked += keys.feed("b", 10.5 + step * 0.033)

    assert [Control.TURN] == asked + list(keys.poll(14.0))


def test_another_key_stands_the_armed_one_down(keys: KeyMachine) -> None:
    keys.feed("v", 10.0)
    keys.feed("e", 11.0)

    assert keys.armed(11.0) == "end"
    assert () == keys.feed("v", 12.0)
    assert keys.armed(12.0) == "void"


def test_turning_stands_the_armed_key_down(keys: KeyMachine) -> None:
    keys.feed("e", 10.0)

    assert (Control.TURN,) == keys.feed("b", 11.0)
    assert keys.armed(11.0) == ""


@pytest.mark.parametrize(
    "sequence", ["\x1b[B", "\x1b[1;5B", "\x1bOP", "\x1b[15~", "\x1bb", "\x1b[3~"]
)
def test_arrow_and_function_keys_say_nothing(keys: KeyMachine, sequence: str) -> None:
    """The down arrow ends in a B, and must not turn a piece round."""
    split = [found for char in sequence for found in keys.feed(char, 10.0)]

    assert [] == split
    assert () == KeyMachine().feed(sequence, 10.0)
    assert (Control.TURN,) == keys.feed("b", 10.5)


def test_a_lone_escape_does_not_swallow_the_next_key(keys: KeyMachine) -> None:
    keys.feed("\x1b", 10.0)

    assert (Control.TURN,) == keys.feed("b", 10.2)


def test_unknown_keys_say_nothing(keys: KeyMachine) -> None:
    assert () == keys.feed("qxyz\r\t1é\x00", 10.0)
    assert keys.armed(10.0) == ""


@pytest.mark.parametrize(
    ("char", "control"),
    [
        ("c", Control.CLOSE),
        ("s", Control.BENCH),
        ("i", Control.OVEN_IN),
        ("O", Control.OVEN_OUT),
    ],
)
def test_what_is_said_of_a_board_wants_a_second_press(
    keys: KeyMachine, char: str, control: Control
) -> None:
    """It cannot be taken back, and a floury hand slips."""
    assert () == keys.feed(char, 10.0)
    assert control.value == keys.armed(10.0)
    assert (control,) == keys.feed(char, 12.0)


def test_a_number_typed_between_the_two_presses_names_another_board(keys: KeyMachine) -> None:
    keys.feed("s", 10.0)
    none = keys.typed
    keys.feed("1", 12.0)
    keys.feed("2", 14.0)

    assert none is None
    assert 12 == keys.typed
    assert (Control.BENCH,) == keys.feed("s", 16.5)  # each digit gives three seconds more
    assert keys.typed is None


def test_a_number_says_nothing_where_no_board_was_asked_for(keys: KeyMachine) -> None:
    assert () == keys.feed("7", 10.0)
    keys.feed("e", 11.0)
    keys.feed("7", 11.5)

    assert keys.typed is None
    assert keys.armed(14.2) == ""  # it gives no more time either


def test_a_number_of_too_many_digits_is_cut_off(keys: KeyMachine) -> None:
    keys.feed("o", 10.0)
    keys.feed("123456", 10.1)

    assert 1234 == keys.typed


def test_another_key_forgets_the_number(keys: KeyMachine) -> None:
    keys.feed("s", 10.0)
    keys.feed("4", 11.0)
    keys.feed("i", 12.0)

    assert keys.typed is None
    assert keys.armed(12.0) == "oven in"
