"""A bar for what takes long: on a terminal alone, and only when it takes long."""

from __future__ import annotations

import io
import sys
import time

import pytest

from weighstation.station.commands.terminal.patience import Patience


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


def shown(monkeypatch: pytest.MonkeyPatch, screen: io.StringIO, after_s: float) -> str:
    """Return what is shown on a screen while five things take a hundredth of a second each."""
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "stderr", screen)
    with Patience(after_s) as patience:
        done = []
        for item in patience.over(range(5), "Reading runs"):
            done.append(item)
            limit_s = time.monotonic() + 5
            while after_s < 1 and "Reading" not in screen.getvalue() and screen.isatty():
                assert time.monotonic() < limit_s
                time.sleep(0.01)
    assert [0, 1, 2, 3, 4] == done
    return screen.getvalue()


def test_what_takes_long_is_shown_and_taken_away(monkeypatch: pytest.MonkeyPatch) -> None:
    text = shown(monkeypatch, Screen(), 0.0)

    assert "Reading runs" in text
    assert "\x1b[2K" in text.rpartition("Reading runs")[2]


def test_what_is_quick_is_not_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    assert "" == shown(monkeypatch, Screen(), 60.0)


def test_a_file_is_no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    assert "" == shown(monkeypatch, io.StringIO(), 0.0)


def test_what_fails_leaves_no_bar(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", Screen())
    patience = Patience(60.0)
    with pytest.raises(ZeroDivisionError), patience:
        print(1 // 0)

    assert patience._timer is None
