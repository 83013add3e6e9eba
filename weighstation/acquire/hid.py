"""Input reports of a scale on USB -> Readings, and the division they were found to have.

Statuses and units: HID Usage Tables, page 0x8D "Scales" (section 33 of version 1.7, as transcribed
in the documentation of the crate hid-types 0.2.2). What they mean for a weighing is ours.
"""

from __future__ import annotations

from enum import IntEnum
from typing import TYPE_CHECKING

from weighstation.acquire.hid_descriptor import SCALE_STATUS, WEIGHT_UNIT, layouts_of
from weighstation.acquire.known import Scale
from weighstation.acquire.profile import Counts, ScaleProfile
from weighstation.acquire.resolution import MAX_WEIGHT_MG, Resolution
from weighstation.events import DivisionLearned, Reading, Status
from weighstation.quantities import Unit

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.acquire.hid_descriptor import ReportLayout

MIN_COUNT_UG, MAX_COUNT_UG = 1, 1_000_000_000
"""One count of a scale is from a microgram to a kilogram; else the exponent is absurd."""
MANY_UNREAD = 40
"""So many reports in a row without a weight or a known state: this device is no scale."""
MAX_RAW_BYTES = 64
"""Full-speed USB sends no longer report in one piece (USB 2.0, section 5.7.3, from memory)."""
_MAX_EXPONENT = 12
_UG_PER_MG = 1000


class HidStatus(IntEnum):
    """What a scale says of itself; the value is ``usage - 0x70``."""

    FAULT = 1
    STABLE_AT_ZERO = 2
    IN_MOTION = 3
    STABLE = 4
    UNDER_ZERO = 5
    OVER_LIMIT = 6
    REQUIRES_CALIBRATION = 7
    REQUIRES_REZEROING = 8


READ_UNITS = {
    1: (Unit.GRAM, -3),
    2: (Unit.GRAM, 0),
    3: (Unit.KILOGRAM, 0),
    11: (Unit.OUNCE, 0),
    12: (Unit.POUND, 0),
}
"""By ``usage - 0x50``: the unit, and the power of ten of it that one is; a milligram is 10^-3 g."""
REFUSED_UNITS = {
    4: "carats",
    5: "taels",
    6: "grains",
    7: "pennyweights",
    8: "metric tons",
    9: "avoirdupois tons",
    10: "troy ounces",
}
_STABLE = {
    HidStatus.STABLE_AT_ZERO: True,
    HidStatus.IN_MOTION: False,
    HidStatus.STABLE: True,
    HidStatus.UNDER_ZERO: None,
}
_CALLS_FOR_HELP = {
    HidStatus.FAULT: "The scale reports a fault: switch it off and on again, and have it looked at"
    " if that does not help.",
    HidStatus.REQUIRES_CALIBRATION: "The scale asks to be calibrated: calibrate it as its manual"
    " says.",
    HidStatus.REQUIRES_REZEROING: "The scale asks to be set to zero: empty the pan and press the"
    " zero key of the scale.",
}
_NO_SCALE = (
    "What comes from the USB device cannot be read: check that the port names the scale, and not"
    " another device."
)


class HidDecoder:
    """Turns the input reports of one scale into Readings, learning the division.

    Parameters
    ----------
    descriptor : bytes
        The report descriptor of the device; where it is empty or of no use, the common layout
        of six bytes is taken.
    division_mg : int, milligrams, or None
        Scale interval, where it is known; None learns it.
    """

    def __init__(self, descriptor: bytes = b"", *, division_mg: int | None = None) -> None:
        self._layouts = {layout.report_id: layout for layout in layouts_of(descriptor)}
        self._given_division_mg = division_mg
        self._division_mg = 0
        self._scales: dict[tuple[int, int], Scale] = {}
        self._scale: Scale | None = None
        self._layout: ReportLayout | None = None
        self._tally = dict.fromkeys(Status, 0)
        self._refused = ""
        self._unread = 0
        self._out: list[Reading | DivisionLearned] = []

    @property
    def counts(self) -> Counts:
        """How many reports were given out, and how many of them held no weight."""
        return Counts(
            frames=sum(self._tally.values()),
            unreadable=self._tally[Status.UNREADABLE],
            overload=self._tally[Status.OVERLOAD],
            underload=self._tally[Status.UNDERLOAD],
        )

    @property
    def profile(self) -> ScaleProfile | None:
        """What is known about the scale; None until a weight was read."""
        if self._scale is None or self._layout is None:
            return None
        resolution = self._scale.resolution
        return ScaleProfile(
            unit=resolution.unit,
            decimals=max(0, resolution.decimals),
            decimal_sign="",
            shape=f"USB report {self._layout.report_id} of {self._layout.length_bytes} bytes",
            stable_mark=None if self._layout.status is None else f"status {HidStatus.STABLE:d}",
            division_mg=self._division_mg,
        )

    @property
    def refusal(self) -> str:
        """Why no weight can be taken from what comes now, in one plain sentence; or empty."""
        if self._refused:
            return self._refused
        return _NO_SCALE if self._unread >= MANY_UNREAD else ""

    def feed(self, data: bytes, t_s: float) -> list[Reading | DivisionLearned]:
        """Take one input report in; return what it says.

        Parameters
        ----------
        data : bytes
            With its id byte first, where reports have ids; several reports of one kind may hang
            together.
        t_s : float, seconds
            When it arrived.

        Returns
        -------
        list of Reading and DivisionLearned
            Nothing for a report of the scale that tells neither a weight nor a state. A division
            comes before the Reading that showed it.
        """
        for report, layout in self._reports(data):
            if layout is None:
                self._give_unread(report, t_s)
            else:
                self._read(report, layout, t_s)
        out, self._out = self._out, []
        return out

    def break_off(self, t_s: float) -> None:
        """Do nothing: a report comes whole or not at all.

        Parameters
        ----------
        t_s : float, seconds
        """

    def finish(self) -> list[Reading | DivisionLearned]:
        """End the stream.

        Returns
        -------
        list of Reading and DivisionLearned
            Empty, for no report is held back.
        """
        return []

    def _reports(self, data: bytes) -> Iterator[tuple[bytes, ReportLayout | None]]:
        """Yield each report with its layout; without one where it cannot be a report."""
        layout = self._layouts.get(0) or self._layouts.get(data[0] if data else 0)
        if layout is None or not data:
            yield data, None
            return
        length = layout.length_bytes
        starts = range(0, len(data), length)
        if len(data) % length == 0 and all(_is_headed(data, start, layout) for start in starts):
            for start in starts:
                yield data[start : start + length], layout
        elif length < len(data) <= layout.longest_bytes and not any(data[length:]):
            yield data[:length], layout  # filled up with zeros to the longest, as some systems do
        else:
            yield data, None

    def _read(self, report: bytes, layout: ReportLayout, t_s: float) -> None:
        """Give out one whole report."""
        code = HidStatus.STABLE.value
        if layout.status is not None:
            code = layout.status.selected(report, SCALE_STATUS)
        status = HidStatus(code) if code in _CODES else None
        if status in _CALLS_FOR_HELP:
            self._refused = _CALLS_FOR_HELP[status]
            self._give(Status.UNREADABLE, report, t_s)
        elif status is HidStatus.OVER_LIMIT:
            self._refused = ""
            self._unread = 0
            self._give(Status.OVERLOAD, report, t_s)
        elif status is None:
            self._give_unread(report, t_s)
        elif layout.weight is not None:
            self._read_weight(report, layout, status, t_s)

    def _read_weight(
        self, report: bytes, layout: ReportLayout, status: HidStatus, t_s: float
    ) -> None:
        """Give out a report that holds a weight, if its unit is one that is read."""
        counts = 0 if layout.weight is None else layout.weight.number(report)
        if status is HidStatus.STABLE_AT_ZERO:
            counts = 0
        elif status is HidStatus.UNDER_ZERO:
            counts = -abs(counts)  # the weight is sent without its sign
        unit = 0 if layout.unit is None else layout.unit.selected(report, WEIGHT_UNIT)
        if unit not in READ_UNITS:
            shown = REFUSED_UNITS.get(unit, "a unit that is not known")
            self._refused = f"The scale shows {shown}; set it to g, kg, oz or lb."
            self._give(Status.UNREADABLE, report, t_s)
            return
        scale = self._scale_of(unit, 0 if layout.scaling is None else layout.scaling.number(report))
        gross_mg = 0 if scale is None else scale.resolution.mg(counts)
        if scale is None or abs(gross_mg) > MAX_WEIGHT_MG:
            self._give_unread(report, t_s)
            return
        self._learn(scale, counts, t_s)
        self._layout = layout
        self._refused = ""
        self._unread = 0
        stable = None if layout.status is None else _STABLE[status]
        self._give(Status.WEIGHT, report, t_s, gross_mg, stable=stable)

    def _scale_of(self, unit: int, exponent: int) -> Scale | None:
        """Return what counts of a unit are worth, or None where that is absurd."""
        known = self._scales.get((unit, exponent))
        if known is not None:
            return known
        if abs(exponent) > _MAX_EXPONENT:
            return None  # before a power of it is worked out
        symbol, power = READ_UNITS[unit]
        resolution = Resolution(symbol, -(exponent + power))
        if not MIN_COUNT_UG <= resolution.mg_per_count * _UG_PER_MG <= MAX_COUNT_UG:
            return None
        return self._scales.setdefault((unit, exponent), Scale(resolution))

    def _learn(self, scale: Scale, counts: int, t_s: float) -> None:
        """Go over to another unit, unless the pan is empty, and say the division if it is new."""
        if counts or self._scale is None:
            self._scale = scale
        self._scale.division.see(counts)
        division_mg = self._given_division_mg or self._scale.division_mg
        if division_mg != self._division_mg:
            self._division_mg = division_mg
            self._out.append(DivisionLearned(t_s, division_mg))

    def _give_unread(self, report: bytes, t_s: float) -> None:
        self._unread += 1
        self._give(Status.UNREADABLE, report, t_s)

    def _give(
        self,
        status: Status,
        report: bytes,
        t_s: float,
        gross_mg: int | None = None,
        *,
        stable: bool | None = None,
    ) -> None:
        self._tally[status] += 1
        raw = report[:MAX_RAW_BYTES].hex()
        self._out.append(Reading(t_s, gross_mg, stable, status, raw))


_CODES = frozenset(HidStatus)


def _is_headed(data: bytes, start: int, layout: ReportLayout) -> bool:
    """Return whether what begins at a place begins with the id of a layout."""
    return not layout.report_id or data[start] == layout.report_id
