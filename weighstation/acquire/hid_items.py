"""Bytes of a HID report descriptor -> its main items, each with the state that is in force.

Items and states: Device Class Definition for HID, version 1.11, section 6.2.2 (from memory).
Whatever breaks its rules is a ``ValueError``, for a layout that is half read is worse than none.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import Enum
from itertools import islice
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

MAX_USAGES = 256
"""So many usages of one item are looked at; a range may name four thousand million."""
_LONG_PREFIX = 0xFE
_BYTES_OF_SIZE = (0, 1, 2, 4)
_MAIN, _GLOBAL, _LOCAL = 0, 1, 2


class MainTag(Enum):
    """The main items: HID 1.11, section 6.2.2.4."""

    INPUT = 0x8
    OUTPUT = 0x9
    COLLECTION = 0xA
    FEATURE = 0xB
    END_COLLECTION = 0xC


class MainItem(NamedTuple):
    """A main item and what describes it.

    Parameters
    ----------
    tag : MainTag
    data : int
        Its flags, or the kind of the collection.
    least : int
        Logical minimum.
    size_bits, report_count : int
        Of how many bits each field is, and how many there are.
    report_id : int
        0 where reports have none.
    usages : tuple of int
        Page in the upper 16 bits, id in the lower; at most `MAX_USAGES`.
    """

    tag: MainTag
    data: int
    least: int
    size_bits: int
    report_count: int
    report_id: int
    usages: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Globals:
    """Items that hold until they are said again: HID 1.11, section 6.2.2.7."""

    page: int = 0
    least: int = 0
    size_bits: int = 0
    report_count: int = 0
    report_id: int = 0


@dataclass(slots=True)
class _Locals:
    """Items that hold for the next main item only: HID 1.11, section 6.2.2.8."""

    ranges: list[tuple[int, int]] = field(default_factory=list)
    first: int | None = None
    last: int | None = None
    delimited: bool = False
    chosen: bool = False

    def use(self, first: int, last: int) -> None:
        """Take usages in; of a delimited set, the first is the one that is preferred."""
        if first > last:
            raise ValueError("a range of usages ends before it begins")
        if self.delimited and self.chosen:
            return
        self.chosen = True
        self.ranges.append((first, last))

    def close_range(self) -> None:
        """Take a range in once both of its ends are known."""
        if self.first is not None and self.last is not None:
            self.use(self.first, self.last)
            self.first = self.last = None


_MAIN_TAGS = frozenset(tag.value for tag in MainTag)
_GLOBAL_NAMES = {0x0: "page", 0x1: "least", 0x7: "size_bits", 0x8: "report_id", 0x9: "report_count"}
_LEAST, _REPORT_ID, _PUSH, _POP = 0x1, 0x8, 0xA, 0xB
_USAGE, _USAGE_MIN, _USAGE_MAX, _DELIMITER = 0x0, 0x1, 0x2, 0xA


def main_items(descriptor: bytes) -> Iterator[MainItem]:
    """Yield the main items of a report descriptor.

    Parameters
    ----------
    descriptor : bytes

    Yields
    ------
    MainItem

    Raises
    ------
    ValueError
        Where the bytes break the rules of a descriptor; what came before it is not to be used.

    Examples
    --------
    >>> descriptor = bytes.fromhex("058d 0940 7510 9501 8102")
    >>> [(hex(usage), item.size_bits) for item in main_items(descriptor) for usage in item.usages]
    [('0x8d0040', 16)]
    """
    state, stack, local = _Globals(), list[_Globals](), _Locals()
    for kind, tag, data in _short_items(descriptor):
        if kind == _MAIN:
            if tag in _MAIN_TAGS:
                yield _main_item(MainTag(tag), data, state, local)
            local = _Locals()
        elif kind == _GLOBAL and tag == _PUSH:
            stack.append(state)
        elif kind == _GLOBAL and tag == _POP:
            if not stack:
                raise ValueError("a state is taken back that was not put away")
            state = stack.pop()
        elif kind == _GLOBAL:
            state = _changed(state, tag, data)
        elif kind == _LOCAL:
            _note_local(local, tag, data, state.page)


def _short_items(descriptor: bytes) -> Iterator[tuple[int, int, bytes]]:
    """Yield kind, tag and data of the short items; long ones are reserved and passed over."""
    at = 0
    while at < len(descriptor):
        prefix = descriptor[at]
        if prefix == _LONG_PREFIX:
            header = descriptor[at + 1 : at + 3]
            begin = at + 3
            size = header[0] if len(header) == 2 else len(descriptor)
        else:
            begin = at + 1
            size = _BYTES_OF_SIZE[prefix & 3]
        at = begin + size
        if at > len(descriptor):
            raise ValueError("the descriptor is cut short")
        if prefix != _LONG_PREFIX:
            yield prefix >> 2 & 3, prefix >> 4, descriptor[begin:at]


def _unsigned(data: bytes) -> int:
    return int.from_bytes(data, "little")


def _changed(state: _Globals, tag: int, data: bytes) -> _Globals:
    """Return the global state after an item."""
    name = _GLOBAL_NAMES.get(tag)
    if name is None:
        return state
    value = int.from_bytes(data, "little", signed=True) if tag == _LEAST else _unsigned(data)
    if tag == _REPORT_ID and not 0 < value < 256:
        raise ValueError("a report id is a byte that is not 0")
    return replace(state, **{name: value})


def _note_local(local: _Locals, tag: int, data: bytes, page: int) -> None:
    if tag == _DELIMITER:
        local.delimited, local.chosen = bool(_unsigned(data)), False
        return
    # A usage of four bytes brings its own page with it.
    usage = _unsigned(data) if len(data) == 4 else page << 16 | _unsigned(data)
    if tag == _USAGE:
        local.use(usage, usage)
    elif tag == _USAGE_MIN:
        local.first = usage
        local.close_range()
    elif tag == _USAGE_MAX:
        local.last = usage
        local.close_range()


def _main_item(tag: MainTag, data: bytes, state: _Globals, local: _Locals) -> MainItem:
    each = (usage for first, last in local.ranges for usage in range(first, last + 1))
    return MainItem(
        tag=tag,
        data=_unsigned(data),
        least=state.least,
        size_bits=state.size_bits,
        report_count=state.report_count,
        report_id=state.report_id,
        usages=tuple(islice(each, MAX_USAGES)),
    )
