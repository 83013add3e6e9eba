"""Keys arrive one by one, and the terminal comes back as it was."""

from __future__ import annotations

import io
import os
import sys

import pytest

if sys.platform == "win32":
    pytest.skip("a POSIX terminal", allow_module_level=True)

import signal
import subprocess
import termios
from typing import Any

from weighstation.station.panel.keyboard import NoKeyboard, _Terminal, open_keyboard


def modes(fd: int) -> list[Any]:
    return termios.tcgetattr(fd)


def test_keys_come_one_by_one_and_the_terminal_is_restored() -> None:
    master, slave = os.openpty()
    before = modes(slave)
    with _Terminal(slave) as keyboard:
        inside = modes(slave)[3]
        os.write(master, b"v")

        assert keyboard.read(1.0) == "v"
        assert keyboard.read(0.0) == ""
        assert inside & (termios.ICANON | termios.ECHO) == 0

    assert before == modes(slave)
    os.close(master)
    os.close(slave)


def test_the_terminal_is_restored_when_the_program_breaks() -> None:
    master, slave = os.openpty()
    before = modes(slave)

    with pytest.raises(RuntimeError), _Terminal(slave):
        raise RuntimeError

    assert before == modes(slave)
    os.close(master)
    os.close(slave)


def test_a_terminal_that_hangs_up_gives_no_more_keys() -> None:
    master, slave = os.openpty()
    with _Terminal(slave) as keyboard:
        os.close(master)

        assert keyboard.read(0.1) == ""
        assert keyboard.read(0.0) == ""
    os.close(slave)


def test_without_a_terminal_there_are_no_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("v"))
    with open_keyboard() as keyboard:
        assert isinstance(keyboard, NoKeyboard)
        assert keyboard.read(0.0) == ""


def test_a_pipe_is_no_keyboard() -> None:
    code = (
        "from weighstation.station.panel.keyboard import open_keyboard, NoKeyboard;"
        "print(isinstance(open_keyboard(), NoKeyboard))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], input="v", capture_output=True, text=True, check=True
    )

    assert done.stdout == "True\n"


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_being_told_to_go_unwinds_like_an_exception(number: signal.Signals) -> None:
    """By default the process would just end, in the panel's screen and without echo."""
    master, slave = os.openpty()
    before = modes(slave)
    was = signal.signal(number, signal.SIG_DFL)  # these tests may run where it is ignored
    with pytest.raises(SystemExit) as caught, _Terminal(slave):
        signal.raise_signal(number)
    left = signal.signal(number, was)

    assert 128 + number == caught.value.code
    assert before == modes(slave)
    assert left is signal.SIG_DFL
    os.close(master)
    os.close(slave)
