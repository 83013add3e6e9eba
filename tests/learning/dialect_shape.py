"""What a scale says about one reading, as bytes: the parts of a line and how they are put."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from fractions import Fraction
from functools import reduce
from operator import xor
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Callable

STX, ETX, CR, LF = b"\x02", b"\x03", b"\r", b"\n"
CRLF, LFCR = CR + LF, LF + CR

GRAMS = {
    "g": Fraction(1),
    "kg": Fraction(1000),
    "oz": Fraction("28.349523125"),
    "lb": Fraction("453.59237"),
}

CHECKS: dict[str, Callable[[bytes], int]] = {
    "xor": lambda body: reduce(xor, body, 0),
    "sum7": lambda body: sum(body) & 0x7F,
    "sum8": lambda body: sum(body) & 0xFF,
    "twos": lambda body: -sum(body) & 0xFF,
}


class Sign(Enum):
    """Where the sign stands."""

    ATTACHED = auto()
    APART = auto()
    TRAILING = auto()


class Trouble(Enum):
    """What goes wrong on this wire or this pan."""

    PARTIAL_FIRST = auto()
    NULS_AT_OPEN = auto()
    ONES_AT_OPEN = auto()
    OVERLOAD = auto()
    NEGATIVE_ZERO = auto()
    BELOW_ZERO = auto()


@dataclass(frozen=True, slots=True)
class Flags:
    """The words of one flag.

    Parameters
    ----------
    steady, moving : str
        Said once the reading has been still for long enough, and until then.
    zero : str, optional
        Said in place of ``steady`` where the number is nought.
    over : str, optional
        Said in place of ``moving`` with an overload.
    """

    steady: str
    moving: str
    zero: str | None = None
    over: str | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """The checksum of a line; it covers all after STX up to itself.

    Parameters
    ----------
    rule : str
        One of `CHECKS`.
    is_hex : bool
        Written as two capital hexadecimal digits, or else as one raw byte.
    after_end : bool
        Stands after the terminator (which is ETX then), or else just before it.
    with_end : bool
        Covers the terminator too; only where it stands after it.
    """

    rule: str
    is_hex: bool = True
    after_end: bool = False
    with_end: bool = False


@dataclass(frozen=True, slots=True)
class Dialect:
    """One way of streaming readings.

    Parameters
    ----------
    name : str
        Unique.
    shape : str
        The line, with ``{flag}``, ``{number}``, ``{unit}``, ``{tare}`` (a number that stays
        nought), ``{count}`` (of lines) and ``{pan}`` (whether something lies on it).
    flags : Flags, optional
        The words of ``{flag}``.
    pan_words : tuple of str
        What ``{pan}`` says: empty, loaded.
    sign, shows_plus : Sign, bool
        Where it stands, and whether a plus is written.
    pad, width : str, int
        What a number is filled with and to how many columns, sign apart; free where 0.
    mark, group : str
        Decimal sign, and what stands between thousands.
    division : str
        Scale interval in the unit, as exact text; its decimals are those of the number.
    unit, unit_text : str
        One of `GRAMS`, and how it is written: empty for never.
    unit_when_steady : bool
        Written only with a still reading.
    over_text : str
        What stands for the number above the maximum.
    start, terminator : bytes
        Before and after the line.
    check : Check, optional
        The checksum.
    rate_hz, average_s, hold_s : float
        Lines a second; length of the moving average, and how long a reading must have been still
        for the stable mark, both in seconds.
    framing : str
        Of the wire: ``8N1``, ``7E1`` or ``7O1``.
    load_range_g, bowl_g : float, grams
        Between what the load lies, and what lay on the pan before it.
    troubles : tuple of Trouble
        What goes wrong.
    """

    name: str
    shape: str
    flags: Flags | None = None
    pan_words: tuple[str, str] = ("", "")
    sign: Sign = Sign.ATTACHED
    shows_plus: bool = False
    pad: Literal[" ", "0"] = " "
    width: int = 7
    mark: Literal[".", ",", ""] = "."
    group: str = ""
    division: str = "0.1"
    unit: str = "g"
    unit_text: str = "g"
    unit_when_steady: bool = False
    over_text: str = "------"
    start: bytes = b""
    terminator: bytes = CRLF
    check: Check | None = None
    rate_hz: float = 10
    average_s: float = 0.4
    hold_s: float = 0.4
    framing: str = "8N1"
    load_range_g: tuple[float, float] = (200, 1500)
    bowl_g: float = 0
    troubles: tuple[Trouble, ...] = ()

    @property
    def decimals(self) -> int:
        """How many digits stand for parts of the unit."""
        return len(self.division.partition(".")[2])

    @property
    def count_g(self) -> Fraction:
        """What one count of the last digit is, in grams."""
        return GRAMS[self.unit] * Fraction(1, 10**self.decimals)

    @property
    def step(self) -> int:
        """The division in counts of the last digit."""
        return int(Fraction(self.division) * 10**self.decimals)

    @property
    def division_g(self) -> Fraction:
        """The division in grams, exactly."""
        return self.step * self.count_g


@dataclass(frozen=True, slots=True)
class Shown:
    """One reading as the scale has it before it is written.

    Parameters
    ----------
    t_s : float, seconds
        When.
    counts : int
        The number, in counts of its last digit.
    is_minus, is_still, is_over, is_loaded : bool
        Below nought, if only by what is rounded away; still for long enough; above the maximum;
        with something on the pan.
    """

    t_s: float
    counts: int
    is_minus: bool
    is_still: bool
    is_over: bool
    is_loaded: bool


def line(dialect: Dialect, shown: Shown, number: int) -> bytes:
    """Return the bytes of one line, terminator and checksum included.

    Parameters
    ----------
    dialect : Dialect
        How it is written.
    shown : Shown
        What is written.
    number : int
        The count of the line.

    Returns
    -------
    bytes
    """
    text = dialect.shape.format(
        flag=flag_text(dialect, shown),
        number=number_text(dialect, shown),
        unit=_unit_text(dialect, shown),
        tare=_signed(dialect, _digits(dialect, 0), is_minus=False),
        count=f"{number % 10_000:04}",
        pan=dialect.pan_words[shown.is_loaded],
    )
    return _framed(dialect, (text if dialect.width else text.rstrip()).encode("ascii"))


def flag_text(dialect: Dialect, shown: Shown) -> str:
    """Return the word of the flag, empty without one."""
    flags = dialect.flags
    if flags is None:
        return ""
    if shown.is_over and flags.over is not None:
        return flags.over
    if shown.is_still and shown.counts == 0 and flags.zero is not None:
        return flags.zero
    return flags.steady if shown.is_still else flags.moving


def number_text(dialect: Dialect, shown: Shown) -> str:
    """Return the number with its sign and padding, or what stands for it."""
    if shown.is_over:
        return dialect.over_text.rjust(dialect.width + 1 if dialect.width else 0)
    return _signed(dialect, _digits(dialect, abs(shown.counts)), is_minus=shown.is_minus)


def check_value(check: Check, body: bytes, terminator: bytes) -> int:
    """Return what the checksum of a body is."""
    return CHECKS[check.rule](body + terminator if check.with_end else body)


def _unit_text(dialect: Dialect, shown: Shown) -> str:
    is_written = shown.is_still or not dialect.unit_when_steady
    blank = " " * len(dialect.unit_text) if dialect.width else ""
    return dialect.unit_text if is_written else blank


def _digits(dialect: Dialect, counts: int) -> str:
    if dialect.group:
        return f"{counts:,}".replace(",", dialect.group)
    text = str(counts)
    if dialect.mark:
        text = text.zfill(dialect.decimals + 1)
        text = f"{text[: -dialect.decimals]}{dialect.mark}{text[-dialect.decimals :]}"
    return text.rjust(dialect.width, "0") if dialect.pad == "0" else text


def _signed(dialect: Dialect, digits: str, *, is_minus: bool) -> str:
    plus = "+" if dialect.shows_plus else ""
    sign = "-" if is_minus else plus
    column = sign or (" " if dialect.width else "")
    match dialect.sign:
        case Sign.ATTACHED if dialect.pad == "0":
            return column + digits
        case Sign.ATTACHED:
            return (sign + digits).rjust(dialect.width + len(column))
        case Sign.APART:
            return f"{column} {digits.rjust(dialect.width)}" if column else digits
        case Sign.TRAILING:
            return digits.rjust(dialect.width) + column


def _framed(dialect: Dialect, body: bytes) -> bytes:
    check = dialect.check
    if check is None:
        return dialect.start + body + dialect.terminator
    value = check_value(check, body, dialect.terminator)
    written = b"%02X" % value if check.is_hex else bytes([value])
    ends = (dialect.terminator, written) if check.after_end else (written, dialect.terminator)
    return dialect.start + body + b"".join(ends)
