"""Bytes -> what a fuzzer tries: pieces of lines, reports, descriptors and files.

Any bytes mean something, and each byte decides one thing, so that a change of one byte changes one
thing. Where a tape has run out it reads as zeros.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from lines_known import DIALECTS, Dialect

Piece = tuple[bytes, float]

MOST_PIECES = 60
_WAITS_S = (0.1, 0.0, 0.05, 1.0, 1e-9, 3600.0, 1e6, 0.2)
_NUMBERS = "0 1 -5 651 0.5 12.3 1,234 0,651 1.234,5 1,234.50 12.345 0000651 .5 00 1.2.3.4,5 00123,4"
_UNITS = "g kg oz lb KG gram G lb:oz pcs mg g0 kgST"
_MARKS = "S ST US D OL UL + - -- ? * GS, NT, T PT 1 12 : ; , . / # ~ 04:05 OVER LO ------ ^^^^ ____"
_ENDS = (b"\r\n", b"\n", b"\r", b"\n\r", b"\x03", b"\x02", b"\x03\r\n", b"\x00", b"\xff", b" ")
WORDS = (
    *_ENDS,
    *(word.encode() for word in (*_NUMBERS.split(), *_UNITS.split(), *_MARKS.split())),
    *(b"9" * 40, b"7" * 256, b"a 1 b 2 " * 16, b"x" * 257, b"   ", b"\t", b"\xb2", b"\xe9"),
)
ITEMS = tuple(
    bytes.fromhex(text)
    for text in (
        *("058d", "0501", "068d00", "850385", "8503", "8507", "8500", "7501", "7508", "7510"),
        *("7518", "7540", "7700000001", "9500", "9501", "9508", "97ffffffff", "1500", "1501"),
        *("1580", "25ff", "0932", "0934", "0940", "0941", "0950", "0970", "0b40008d00", "1951"),
        *("295c", "1971", "2978", "1b00008d00", "2bffff8d00", "a101", "a102", "c0", "8100"),
        *("8102", "8103", "9102", "b102", "a4", "b4", "a901", "a900", "fe02f00102", "fe", "77"),
    )
)
WEIGHT_AND_UNIT = bytes.fromhex("058d85037510950109408102750809508102")
COMMON = bytes.fromhex(
    "058d0920a1010932a102850375089501 0970a102150125081971297881 00c0"
    "0950a102250c1951295c8100c0 09411580257f8102 09407510150027ffff00008102c0c0"
)
_TEXTS = (
    *('{"t": 1, "data": "651 g\\r\\n"}', '{"t": 2.5, "hex": "02ff"}', '{"t": 0.0, "data": "x"}'),
    *('{"recording": 1}', '{"recording": 1, "source": "s", "division_g": 0.5}', '{"recording": 2}'),
    *('{"recording": 1, "started": "', "2026-01-01T00:00:00Z", "9999-12-31T23:59:59-12:00"),
    *('{"t": 1e6', '"data": "x"}', '"z": [{}', "[{}", "{}]}", "{},{}", ",", '{"t": 1e6, "data": "'),
    *('{"t": ', '{"t":1e999', '"data": "', '"hex": "', ", ", '"}', "}", "]", "[", "{", ":", '"'),
    *('{"t": NaN, "data": "x"}', '{"t": true, "data": "x"}', '{"t": 3, "data": "\\ud800"}'),
    *('"descriptor": "058d"', "[" * 2000, "1" * 5000, "null", "-1", "12.25", "1e300", "\u00e9"),
    *("\ud800", "\x00", "\t", " ", "\ufeff", "0001-01-01T00:00:00+23:59"),
)


@dataclass(slots=True)
class Tape:
    """Bytes, read from the front."""

    data: bytes
    at: int = field(default=0, init=False)

    @property
    def is_over(self) -> bool:
        return self.at >= len(self.data)

    def byte(self) -> int:
        self.at += 1
        return self.data[self.at - 1] if self.at <= len(self.data) else 0

    def below(self, count: int) -> int:
        return self.byte() % count

    def take(self, count: int) -> bytes:
        taken = self.data[self.at : self.at + count]
        self.at += count
        return taken

    def number(self) -> int:
        return self.byte() << 8 | self.byte()


def scrap(tape: Tape, dialect: Dialect | None = None) -> bytes:
    """Return a word, some raw bytes, or whole lines of a dialect."""
    kind = tape.byte() & 0x7F
    if kind < 80:
        return WORDS[kind % len(WORDS)]
    if kind < 104:
        return tape.take(kind - 79)
    one = DIALECTS[tape.below(len(DIALECTS))] if kind < 120 or dialect is None else dialect
    begin, step, count = tape.number(), tape.below(4), 1 + tape.below(8)
    line = b"".join(one.say(begin + step * place) for place in range(count))
    cut = tape.byte()
    return line[: cut % len(line)] if cut & 0x80 else line


def pieces(tape: Tape, dialect: Dialect | None = None) -> list[Piece]:
    """Return what arrives and when; times never fall."""
    out: list[Piece] = []
    t_s = 0.0
    while not tape.is_over and len(out) < MOST_PIECES:
        parts = tape.byte()
        data = b"".join(scrap(tape, dialect) for _ in range(1 + parts % 4))
        t_s += _WAITS_S[parts >> 2 & 7]
        out.append((data, t_s))
    return out


def descriptor(tape: Tape) -> bytes:
    """Return a report descriptor, of items that scales have or of any bytes."""
    kind, count = tape.below(5), tape.below(32)
    if kind == 0:
        return tape.take(count)
    begin = (b"", b"", b"", COMMON, WEIGHT_AND_UNIT)[kind]
    rest = b"".join(ITEMS[tape.byte() % len(ITEMS)] for _ in range(count))
    return begin + rest if kind != 3 or count & 1 else begin


def reports(tape: Tape) -> list[bytes]:
    """Return some input reports, many with an id that is common."""
    out: list[bytes] = []
    while not tape.is_over and len(out) < MOST_PIECES:
        kind = tape.byte()
        if kind < 128:
            out.append(bytes((3, kind % 10, tape.below(14))) + tape.take(3))
        elif kind < 192:
            out.append(tape.take(kind & 0x1F))
        else:
            out.append(bytes((kind & 7,)) + tape.take(kind >> 3 & 7))
    return out


def texts(tape: Tape) -> list[str]:
    """Return the lines of a file: arrivals as they should be, and whatever else."""
    out: list[str] = []
    t_s = 0.0
    while not tape.is_over and len(out) < MOST_PIECES:
        kind = tape.byte()
        if kind < 96:
            t_s += kind / 64
            name, said = ("data", "651 g") if kind & 1 else ("hex", tape.take(2).hex())
            line = f'{{"t": {t_s}, "{name}": "{said}"}}'
        else:
            line = "".join(_text(tape) for _ in range(1 + kind % 4))
        out.append(line + "\n" * (kind >> 3 & 1))
    return out


def _text(tape: Tape) -> str:
    kind = tape.byte()
    if kind < 192:
        return _TEXTS[kind % len(_TEXTS)]
    return tape.take(kind & 0x0F).decode("utf-8", "replace")
