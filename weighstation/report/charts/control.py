"""Control charts as they are shown: points with their limits, numbers and times, and signals."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING

from weighstation.report.page.tables import utc_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.monitor import Individuals, Signal
    from weighstation.report.charts.process import Finding


ENOUGH = 20
"""Below so many points, limits worked out from them are rough (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Track:
    """One run of points and the lines they are judged by.

    Parameters
    ----------
    name : str
        What a point is, such as "first cut".
    points : (n,) tuple of float, grams
    centre, lower, upper : (n,) tuple of float, grams
        As they hold at each point.
    signals : tuple of Signal
    start : int
        How many of the chart's numbers come before its first point.
    """

    name: str
    points: tuple[float, ...]
    centre: tuple[float, ...]
    lower: tuple[float, ...]
    upper: tuple[float, ...]
    signals: tuple[Signal, ...] = ()
    start: int = 0

    @property
    def odd(self) -> frozenset[int]:
        """Places, from 0, of the points that a signal names or that lie beyond a limit."""
        beyond = {
            place
            for place, point in enumerate(self.points)
            if not self.lower[place] <= point <= self.upper[place]
        }
        return frozenset(beyond | {signal.index for signal in self.signals})


@dataclass(frozen=True, slots=True)
class ControlChart:
    """One or two tracks over the same pieces or batches.

    Parameters
    ----------
    title : str
    noun : str
        What a number counts: "piece" or "batch".
    numbers : (n,) tuple of int
    at_utc_ms : (n,) tuple of int, milliseconds since 1970 UTC
        When each was counted.
    tracks : tuple of Track
        Each of n points, or of those from its start on.
    remarks : tuple of str
        What has to be known to read it, one sentence each.
    as_of : str
        Which line of the journal it is as of.
    is_judged : bool
        Whether its lines are control limits, so that signals mean something.
    findings : tuple of Finding
        What the first cuts of a batch say of the dividing.
    """

    title: str
    noun: str
    numbers: tuple[int, ...]
    at_utc_ms: tuple[int, ...]
    tracks: tuple[Track, ...]
    remarks: tuple[str, ...]
    as_of: str
    is_judged: bool = True
    findings: tuple[Finding, ...] = ()

    @property
    def key(self) -> str:
        """What the mark of an odd point means."""
        return "beyond a limit, or where a rule is met" if self.is_judged else "out of band"

    @property
    def nouns(self) -> str:
        """What several of its numbers count."""
        return "batches" if self.noun == "batch" else f"{self.noun}s"

    def signal_lines(self, zone: tzinfo = UTC) -> list[str]:
        """Return the signals in the order of their points, each with its number and time.

        Parameters
        ----------
        zone : tzinfo

        Returns
        -------
        list of str
        """
        found = [
            (track.start + signal.index, track.name, signal.text)
            for track in self.tracks
            for signal in track.signals
        ]
        return [
            f"{clock(self.at_utc_ms[place], zone)}, {name}: {text}"
            for place, name, text in sorted(found)
        ]


def level_track(
    name: str,
    points: Iterable[float],
    lines: tuple[float, float, float],
    signals: Iterable[Signal] = (),
    *,
    start: int = 0,
) -> Track:
    """Return a track whose lines are level.

    Parameters
    ----------
    name : str
    points : (n,) iterable of float, grams
    lines : (3,) tuple of float, grams
        Centre, lower and upper.
    signals : iterable of Signal
    start : int

    Returns
    -------
    Track
    """
    row = floats(points)
    centre, lower, upper = ((float(line),) * len(row) for line in lines)
    return Track(name, row, centre, lower, upper, tuple(signals), start)


def track_of(chart: Individuals, name: str) -> Track:
    """Return an individuals chart as a track.

    Parameters
    ----------
    chart : Individuals
    name : str

    Returns
    -------
    Track
    """
    lines = (chart.centre, chart.lower, chart.upper)
    return level_track(name, chart.points, lines, chart.signals)


def floats(values: Iterable[float]) -> tuple[float, ...]:
    """Return numbers as plain floats.

    Parameters
    ----------
    values : (n,) iterable of float

    Returns
    -------
    (n,) tuple of float
    """
    return tuple(map(float, values))


def clock(utc_ms: int, zone: tzinfo) -> str:
    """Return a moment as day and clock time.

    Parameters
    ----------
    utc_ms : int, milliseconds since 1970 UTC
    zone : tzinfo

    Returns
    -------
    str
    """
    return f"{datetime.fromtimestamp(utc_ms / 1000, zone):%Y-%m-%d %H:%M:%S}"


def chart_record(chart: ControlChart) -> dict[str, object]:
    """Return a chart as a dictionary that json can write.

    Parameters
    ----------
    chart : ControlChart

    Returns
    -------
    dict
        Weights in grams.
    """
    return {
        "title": chart.title,
        "counts": chart.noun,
        "numbers": list(chart.numbers),
        "times": [utc_text(utc_ms) for utc_ms in chart.at_utc_ms],
        "tracks": [_track_record(track, chart.numbers[track.start :]) for track in chart.tracks],
        "is_judged": chart.is_judged,
        "findings": [
            {"name": found.name, "text": found.text, **found.figures} for found in chart.findings
        ],
        "remarks": list(chart.remarks),
        "as_of": chart.as_of,
    }


def _track_record(track: Track, numbers: Sequence[int]) -> dict[str, object]:
    return {
        "name": track.name,
        "points_g": list(track.points),
        "centre_g": list(track.centre),
        "lower_g": list(track.lower),
        "upper_g": list(track.upper),
        "beyond_or_signalled": [numbers[place] for place in sorted(track.odd)],
        "signals": [
            {"number": numbers[signal.index], "rule": str(signal.rule), "text": signal.text}
            for signal in track.signals
        ],
    }
