"""A bar appears where somebody waits, and nowhere else."""

from __future__ import annotations

import io
import sys
from itertools import count

import pytest

from weighstation.station.commands.terminal.progress import with_bar


class Screen(io.StringIO):
    """A terminal that keeps what it is shown."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("seconds_a_step", "is_shown"), [(0.001, False), (0.1, True)])
def test_a_bar_is_shown_after_two_seconds(
    monkeypatch: pytest.MonkeyPatch, seconds_a_step: float, is_shown: bool
) -> None:
    screen, ticks = Screen(), count()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setenv("TERM", "xterm")
    steps = list(
        with_bar(range(1024), 1024, "Entering", clock=lambda: next(ticks) * 256 * seconds_a_step)
    )

    assert list(range(1024)) == steps
    assert is_shown == ("Entering" in screen.getvalue())


def test_a_file_gets_no_bar(monkeypatch: pytest.MonkeyPatch) -> None:
    written = io.StringIO()
    monkeypatch.setattr(sys, "stderr", written)
    ticks = count(step=100)

    assert [1, 2] == list(with_bar([1, 2], 2, "Entering", clock=lambda: float(next(ticks))))
    assert not written.getvalue()
