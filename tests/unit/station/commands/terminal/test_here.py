"""The clock on the wall, on the nights on which it is changed.

Central Europe: 2026-03-29 at 2:00 it is 3:00, 2026-10-25 at 3:00 it is 2:00 (IANA time zones).
"""

from __future__ import annotations

import time
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from weighstation.station.commands.baking.options import out_of_oven_from
from weighstation.station.commands.batches.dough_clock import mixed_from
from weighstation.station.commands.terminal.here import HERE, last_shown

if TYPE_CHECKING:
    from collections.abc import Iterator

pytestmark = pytest.mark.skipif(not hasattr(time, "tzset"), reason="the zone cannot be set here")


@pytest.fixture(autouse=True)
def vienna(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "Europe/Vienna")
        time.tzset()
        yield
    time.tzset()


def here(text: str) -> datetime:
    """Return a moment that is written in UTC, on the wall."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC).astimezone(HERE)


@pytest.mark.parametrize(
    ("utc", "shown"),
    [
        ("2026-03-29 00:59", "01:59 CET"),
        ("2026-03-29 01:00", "03:00 CEST"),
        ("2026-07-01 02:00", "04:00 CEST"),
        ("2026-10-25 00:30", "02:30 CEST"),
        ("2026-10-25 01:30", "02:30 CET"),
        ("2026-12-01 02:00", "03:00 CET"),
    ],
)
def test_each_moment_has_its_own_time(utc: str, shown: str) -> None:
    moment = here(utc)

    assert shown == f"{moment:%H:%M %Z}"
    assert datetime.fromisoformat(utc).replace(tzinfo=UTC).timestamp() == moment.timestamp()


@pytest.mark.parametrize(
    ("now", "typed", "minutes"),
    [
        ("2026-03-29 02:00", (1, 30), 90),  # at 4:00, an hour of the night is missing
        ("2026-10-25 03:00", (1, 30), 210),  # at 4:00, an hour came twice
        ("2026-10-25 01:15", (2, 30), 45),  # at 2:15 the second time: it was 2:30 before
        ("2026-10-25 01:45", (2, 30), 15),
        ("2026-03-02 23:20", (23, 50), 30),  # at 0:20, across midnight
    ],
)
def test_a_time_that_is_typed_is_the_last_that_was(
    now: str, typed: tuple[int, int], minutes: int
) -> None:
    at = here(now)
    text = f"{typed[0]}:{typed[1]:02d}"
    mixed_ms = mixed_from(text, at)

    assert mixed_ms is not None
    assert minutes == (at.timestamp() - last_shown(*typed, at).timestamp()) / 60
    assert minutes == (at.timestamp() - mixed_ms / 1000) / 60
    assert minutes == out_of_oven_from(text, at)


def test_minutes_ago_are_minutes_on_any_night() -> None:
    at = here("2026-03-29 02:00")
    mixed_ms = mixed_from("180", at)

    assert mixed_ms is not None
    assert 180 == (at.timestamp() - mixed_ms / 1000) / 60
