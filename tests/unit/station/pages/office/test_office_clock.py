"""Moments on the pages, held against the zone database of the system: central Europe, and UTC."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta, timezone
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from weighstation.station.pages.office.clock import shown_here, zone_said

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture
def in_berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.usefixtures("in_berlin")
@pytest.mark.parametrize(
    ("moment", "shown"),
    [
        ("2026-03-27T04:10:00Z", "2026-03-27 05:10"),  # winter time
        ("2026-03-30T04:10:00.000+00:00", "2026-03-30 06:10"),  # summer time, begun on the 29th
        ("2026-06-30T22:30:00Z", "2026-07-01 00:30"),
    ],
)
def test_each_moment_is_told_by_the_rule_of_its_own_day(moment: str, shown: str) -> None:
    assert shown == shown_here(moment)


@pytest.mark.parametrize(
    ("now", "said"),
    [
        (datetime(2026, 7, 1, tzinfo=ZoneInfo("Europe/Berlin")), "now CEST, UTC+02:00."),
        (datetime(2026, 1, 1, tzinfo=ZoneInfo("Europe/Berlin")), "now CET, UTC+01:00."),
        (datetime(2026, 1, 1, tzinfo=ZoneInfo("America/Sao_Paulo")), "now UTC-03:00."),
        (datetime(2026, 1, 1, tzinfo=timezone(timedelta(hours=5, minutes=30))), "now UTC+05:30."),
        (datetime(2026, 1, 1, tzinfo=UTC), "now UTC."),
    ],
)
def test_the_zone_is_said_by_its_name_and_how_far_it_is_from_utc(now: datetime, said: str) -> None:
    assert zone_said(now).endswith(said)
