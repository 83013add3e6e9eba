"""A HID report descriptor -> where a scale's reports hold status, unit, scaling and weight.

Usages: HID Usage Tables, page 0x8D "Scales" (section 33 of version 1.7, as transcribed in the
documentation of the crate hid-types 0.2.2; first published in the HID Point of Sale Usage Tables).
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import Enum

from weighstation.acquire.hid_items import MainItem, MainTag, main_items

SCALES_PAGE = 0x8D
DATA_WEIGHT, DATA_SCALING, WEIGHT_UNIT, SCALE_STATUS = 0x40, 0x41, 0x50, 0x70
_LAST_OF = {WEIGHT_UNIT: 0x5C, SCALE_STATUS: 0x78}
_OTHER_REPORTS = frozenset((0x30, 0x31, 0x34, 0x35))
"""Attributes, control, weight limit and statistics: what they hold is not what lies on the pan."""
_VARIABLE = 1 << 1
_MAX_FIELD_BITS = 64
_MAX_REPORT_BITS = 8 * 16_384
"""Linux takes no report that is longer (HID_MAX_BUFFER_SIZE, from memory)."""


class Form(Enum):
    """How a field tells what it tells."""

    VALUE = "value"
    ARRAY = "array"
    FLAGS = "flags"


@dataclass(frozen=True, slots=True)
class ReportField:
    """One field of a report.

    Parameters
    ----------
    offset_bits : int
        From the start of the report, its id byte included; the lowest bit of a byte is first.
    size_bits : int
    signed : bool
        Two's complement.
    form : Form
        A number; the place of a selector in ``usages``; or a bit for each of ``usages``.
    usages : tuple of int
        Ids of the selectors, on the page of scales.
    least : int
        The number that chooses the first of them.
    """

    offset_bits: int
    size_bits: int
    signed: bool = False
    form: Form = Form.VALUE
    usages: tuple[int, ...] = ()
    least: int = 0

    def number(self, report: bytes) -> int:
        """Return the field as a number.

        Parameters
        ----------
        report : bytes
            As long as its layout says.

        Returns
        -------
        int
        """
        first, shift = divmod(self.offset_bits, 8)
        last = (self.offset_bits + self.size_bits + 7) // 8
        number = int.from_bytes(report[first:last], "little") >> shift
        number &= (1 << self.size_bits) - 1
        if self.signed and number >> (self.size_bits - 1):
            number -= 1 << self.size_bits
        return number

    def selected(self, report: bytes, base: int) -> int:
        """Return which selector of a named array the field chooses.

        Parameters
        ----------
        report : bytes
            As long as its layout says.
        base : int
            Usage of the named array, as `SCALE_STATUS`.

        Returns
        -------
        int
            From 1, as ``usage - base``; 0 where it chooses none, or more than one.
        """
        number = self.number(report)
        if self.form is Form.VALUE:
            return number
        if self.form is Form.FLAGS:
            if number.bit_count() != 1:
                return 0
            place = number.bit_length() - 1
        else:
            place = number - self.least
        return self.usages[place] - base if 0 <= place < len(self.usages) else 0


@dataclass(frozen=True, slots=True)
class ReportLayout:
    """Where an input report of a scale holds what.

    Parameters
    ----------
    report_id : int
        Its first byte; 0 where reports have no id, and then there is no such byte.
    length_bytes : int
        The id byte included.
    longest_bytes : int
        Length of the device's longest input report; some systems fill up the shorter ones.
    status, unit, scaling, weight : ReportField or None
        None where the report does not hold it.
    """

    report_id: int
    length_bytes: int
    longest_bytes: int
    status: ReportField | None = None
    unit: ReportField | None = None
    scaling: ReportField | None = None
    weight: ReportField | None = None


COMMON_LAYOUT = ReportLayout(
    report_id=3,
    length_bytes=6,
    longest_bytes=6,
    status=ReportField(8, 8),
    unit=ReportField(16, 8),
    scaling=ReportField(24, 8, signed=True),
    weight=ReportField(32, 16),
)
"""Id 3, status, unit, exponent, weight with its low byte first: what most scales send."""


def layouts_of(descriptor: bytes) -> tuple[ReportLayout, ...]:
    """Return how the reports of a scale are laid out.

    Parameters
    ----------
    descriptor : bytes
        The report descriptor; empty where it cannot be had.

    Returns
    -------
    tuple of ReportLayout
        `COMMON_LAYOUT` alone where the descriptor tells of no weight.
    """
    return read_layouts(descriptor) or (COMMON_LAYOUT,)


def read_layouts(descriptor: bytes) -> tuple[ReportLayout, ...] | None:
    """Return the input reports on the page of scales that a descriptor tells of.

    Parameters
    ----------
    descriptor : bytes

    Returns
    -------
    tuple of ReportLayout, or None
        None where the descriptor is malformed or cut short, or where no report holds both a
        weight and its unit.
    """
    reader = _Reader()
    try:
        for item in main_items(descriptor):
            reader.take(item)
        layouts = reader.layouts()
    except ValueError:
        return None
    if any(layout.weight and layout.unit for layout in layouts):
        return layouts
    return None


@dataclass(slots=True)
class _Report:
    """An input report while its items come in."""

    bits: int = 0
    fields: dict[int, ReportField] = field(default_factory=dict)


class _Reader:
    """Adds up the input items of each report."""

    def __init__(self) -> None:
        self._reports: dict[int, _Report] = {}
        self._collections: list[int] = []

    def take(self, item: MainItem) -> None:
        """Take in one main item, or raise ValueError."""
        if item.tag is MainTag.COLLECTION:
            self._collections.append(item.usages[0] if item.usages else 0)
        elif item.tag is MainTag.END_COLLECTION:
            if not self._collections:
                raise ValueError("a collection ends that did not begin")
            self._collections.pop()
        elif item.tag is MainTag.INPUT:
            self._take_input(item)

    def layouts(self) -> tuple[ReportLayout, ...]:
        """Return the reports that hold something of a scale, or raise ValueError."""
        numbered = any(self._reports)
        if self._collections or (numbered and 0 in self._reports):
            raise ValueError("a collection does not end, or an id is missing")
        id_bits = 8 if numbered else 0
        lengths = {
            report_id: (id_bits + report.bits + 7) // 8
            for report_id, report in self._reports.items()
        }
        longest_bytes = max(lengths.values(), default=0)
        return tuple(
            ReportLayout(
                report_id,
                lengths[report_id],
                longest_bytes,
                **{_NAMES[usage]: _behind(each, id_bits) for usage, each in report.fields.items()},
            )
            for report_id, report in self._reports.items()
            if report.fields
        )

    def _take_input(self, item: MainItem) -> None:
        report = self._reports.setdefault(item.report_id, _Report())
        offset_bits = report.bits
        report.bits += item.size_bits * item.report_count
        if report.bits > _MAX_REPORT_BITS:
            raise ValueError("a report is longer than any can be")
        if not item.report_count or not 0 < item.size_bits <= _MAX_FIELD_BITS:
            return
        if any(_on_page(usage) in _OTHER_REPORTS for usage in self._collections):
            return
        found = _variables if item.data & _VARIABLE else _array
        for usage, each in found(item, offset_bits).items():
            report.fields.setdefault(usage, each)


_NAMES = {
    SCALE_STATUS: "status",
    WEIGHT_UNIT: "unit",
    DATA_SCALING: "scaling",
    DATA_WEIGHT: "weight",
}


def _behind(each: ReportField, bits: int) -> ReportField:
    """Return a field, moved to behind the id of its report."""
    return replace(each, offset_bits=each.offset_bits + bits)


def _on_page(usage: int) -> int:
    """Return the id of a usage of scales, 0 for one of another page."""
    return usage & 0xFFFF if usage >> 16 == SCALES_PAGE else 0


def _selectors(usages: list[int], base: int) -> list[int]:
    """Return those of some usages that a named array chooses from."""
    return [usage for usage in usages if base < usage <= _LAST_OF[base]]


def _variables(item: MainItem, offset_bits: int) -> dict[int, ReportField]:
    """Return the fields of an item that holds a value for each of its usages."""
    usages = [_on_page(usage) for usage in item.usages[: item.report_count]]
    fields = {
        usage: ReportField(
            offset_bits + usages.index(usage) * item.size_bits,
            item.size_bits,
            _is_signed(usage, item),
        )
        for usage in usages
        if usage in _NAMES
    }
    if item.report_count > len(usages) > 0:
        fields.pop(usages[-1], None)  # the last one goes on: bytes of a number, or several
    for base in _LAST_OF:
        flags = _selectors(usages, base)
        if flags and item.size_bits == 1:
            begin = usages.index(flags[0])
            run = tuple(usages[begin : begin + len(flags)])
            if list(run) == flags:
                fields[base] = ReportField(
                    offset_bits + begin, len(run), form=Form.FLAGS, usages=run
                )
    return fields


def _is_signed(usage: int, item: MainItem) -> bool:
    """Return whether a value may be negative, as the number of a selector never is.

    An exponent of a whole byte is taken so whatever its logical minimum says: nothing weighs
    10 to the 255th. The logical maximum is not looked at; many a descriptor lets that of the item
    before stand, and what lies above it is no less what the scale shows.
    """
    if usage == DATA_SCALING and item.size_bits >= 8:
        return True
    return usage in (DATA_SCALING, DATA_WEIGHT) and item.least < 0


def _array(item: MainItem, offset_bits: int) -> dict[int, ReportField]:
    """Return the field of an item that names one of its usages; of several, the first counts."""
    usages = [_on_page(usage) for usage in item.usages]
    for base in _LAST_OF:
        if _selectors(usages, base):
            if usages[0] == base and item.least == 1:
                del usages[0]  # the array itself is no choice; 1 is the first selector
            return {
                base: ReportField(
                    offset_bits,
                    item.size_bits,
                    item.least < 0,
                    Form.ARRAY,
                    tuple(usages),
                    item.least,
                )
            }
        if base in usages:
            return {base: ReportField(offset_bits, item.size_bits)}
    return {}
