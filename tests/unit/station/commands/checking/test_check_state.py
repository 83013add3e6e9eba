"""How it stands with a scale is said in one sentence, whatever the clock does."""

from __future__ import annotations

import pytest

from weighstation.journal import HeldAgainst, ScaleChecked
from weighstation.station.commands.checking.state import Checked, CheckState

NOW_MS, HOUR_MS = 1_772_424_600_000, 3_600_000


def state(ago_ms: int, *, is_fit: bool = True) -> CheckState:
    check = ScaleChecked(
        scale="usb:1:2",
        port="serial:///dev/ttyUSB0",
        person="",
        is_fit=is_fit,
        text="",
        held_against=HeldAgainst("division", "One division.", 1000),
        weights=(),
        steps=(),
        findings=(),
        good_line=0,
        software="0.1.0",
    )
    last = Checked(7, NOW_MS - ago_ms, check)
    return CheckState("usb:1:2", last, last if is_fit else None)


@pytest.mark.parametrize(
    ("ago_ms", "is_good", "says"),
    [
        (0, True, "was found fit on"),
        (-30_000, True, "was found fit on"),
        (24 * HOUR_MS, True, "was found fit on"),
        (24 * HOUR_MS + 1, False, "was last checked 24 h ago"),
        (-2 * HOUR_MS, False, "which is yet to come: set this machine's clock right"),
    ],
)
def test_a_check_is_good_for_a_day_and_not_before_it_was_done(
    ago_ms: int, is_good: bool, says: str
) -> None:
    """A machine without a clock of its own may wake up in the past, and nothing would be due."""
    found = state(ago_ms)

    assert is_good == found.is_good(NOW_MS)
    assert says in found.text(NOW_MS)


def test_a_failed_check_is_said_before_its_age() -> None:
    found = state(99 * HOUR_MS, is_fit=False)

    assert not found.is_good(NOW_MS)
    assert "was found not fit" in found.text(NOW_MS)
