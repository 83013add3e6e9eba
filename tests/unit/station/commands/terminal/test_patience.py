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


def test_of_very_many_only_some_hundred_are_told() -> None:
    told: list[tuple[int, int | None]] = []

    class Told(Patience):
        def say(self, what: str, done: int = 0, of: int | None = None) -> None:
            assert "Reading lines" == what
            told.append((done, of))

    patience = Told()
    lines = (line for line in range(100_000))

    assert 100_000 == sum(1 for _ in patience.over(lines, "Reading lines", 100_000))
    assert 500 == len(told)
    assert [(0, 100_000), (200, 100_000)] == told[:2]


def test_of_unknown_many_each_is_told_without_an_end() -> None:
    told: list[tuple[str, int, int | None]] = []

    class Told(Patience):
        def say(self, what: str, done: int = 0, of: int | None = None) -> None:
            told.append((what, done, of))

    assert [1, 2] == list(Told().over(iter([1, 2]), "Reading"))
    assert [("Reading", 0, None), ("Reading", 1, None)] == told
