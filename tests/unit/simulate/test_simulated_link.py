"""The link: what it loses, tears, splits and holds up."""

from __future__ import annotations

import math
from random import Random
from statistics import mean, stdev

import pytest

from weighstation.simulate.link import Link, LinkSpec

LINES = [(k / 10, f"S +{k:06d} g\r\n".encode()) for k in range(1, 401)]


def _carried(spec: LinkSpec) -> list[tuple[float, bytes]]:
    link = Link(spec, Random(7))
    arrivals = [arrival for t_s, line in LINES for arrival in link.carry(t_s, line)]
    return [*arrivals, *link.finish()]


def test_a_good_link_delivers_each_line_once_it_has_been_sent() -> None:
    """Ten bits a character: 13 characters take 13.5 ms at 9600 baud."""
    arrivals = _carried(LinkSpec())

    assert [line for _, line in LINES] == [data for _, data in arrivals]
    delays = [at_s - t_s for (t_s, _), (at_s, _) in zip(LINES, arrivals, strict=True)]
    assert 130 / 9600 <= min(delays)
    assert max(delays) <= 130 / 9600 + 0.002


@pytest.mark.parametrize(
    "spec", [LinkSpec(split=0.3), LinkSpec(stall=0.2), LinkSpec(split=0.2, stall=0.1)]
)
def test_splits_and_stalls_lose_nothing_and_keep_the_order(spec: LinkSpec) -> None:
    arrivals = _carried(spec)
    times = [t_s for t_s, _ in arrivals]

    assert b"".join(line for _, line in LINES) == b"".join(data for _, data in arrivals)
    assert sorted(times) == times
    assert len(LINES) != len(arrivals)


def test_a_share_of_the_lines_is_lost() -> None:
    assert len(_carried(LinkSpec(lost=0.25))) == pytest.approx(300, abs=30)


def test_torn_lines_are_shorter() -> None:
    arrivals = _carried(LinkSpec(torn=0.2))
    torn = [data for (_, line), (_, data) in zip(LINES, arrivals, strict=True) if data != line]

    assert len(torn) == pytest.approx(80, abs=25)
    assert max(map(len, torn)) < len(LINES[0][1])


def test_jitter_delays_each_line_by_another_time_and_keeps_the_order() -> None:
    """Uniform delays of 0 to 60 ms: mean 30 ms, standard deviation 60 / sqrt(12) = 17.3 ms."""
    arrivals = _carried(LinkSpec(jitter_s=0.06))
    late = [at_s - t_s - 130 / 9600 for (t_s, _), (at_s, _) in zip(LINES, arrivals, strict=True)]

    assert [line for _, line in LINES] == [data for _, data in arrivals]
    assert 0.031 == pytest.approx(mean(late), abs=0.003)
    assert 0.06 / math.sqrt(12) == pytest.approx(stdev(late), rel=0.1)


@pytest.mark.parametrize(
    "spec", [LinkSpec(jitter_s=0.3), LinkSpec(torn=0.1, split=0.3, stall=0.1, jitter_s=0.3)]
)
def test_jitter_longer_than_a_period_never_turns_lines_round(spec: LinkSpec) -> None:
    times = [t_s for t_s, _ in _carried(spec)]

    assert sorted(times) == times
