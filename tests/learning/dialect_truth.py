"""What is true of a stream, and what of it nobody could tell from its bytes.

Names of properties are the keys of the truth. A property is undecidable where another value of it
explains every line as well:

``unit``
    None is ever written.
``decimal_sign``
    Each number has one mark with three digits after it, and one to three before it that do not
    begin with nought, so that it may as well stand between thousands. A nought before the mark
    (``0,740``, ``00,740``) decides: nobody sets thousands apart with nothing to count.
``scale``
    No mark and no unit: the last digit may stand for any part. A number beside its unit is taken
    to mean what it says.
``division_digits``
    The numbers seen do not tell 1, 2, 5, 10, 20 and 50 counts apart.
``stable_flag``
    Too few lines that surely move, or too few that surely rest, have the word for it.
``checksum``
    Two of the rules of `CHECKS`, with or without the terminator, fit all lines.
``division``, ``division_g``, ``load_g``
    As one of those they are made of is.

``by_plausibility`` names those which someone could decide who knows that a pan on a bench does not
carry `PLAUSIBLE_G`.
"""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise, product
from typing import TYPE_CHECKING

from dialect_shape import CHECKS, GRAMS, Check, check_value, number_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dialect_shape import Dialect, Shown

PLAUSIBLE_G = 100_000
STEPS = (1, 2, 5, 10, 20, 50)
LUCK = 0.001  # how probable a chance agreement may be and still be ruled out
MAY_BE_THOUSANDS = re.compile(r"[-+ ]*[1-9]\d{0,2}[.,]\d{3}[-+ ]*")


def undecidable(
    dialect: Dialect, shown: Sequence[Shown], bodies: Sequence[bytes]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what nobody could tell, and what of it plausibility tells.

    Parameters
    ----------
    dialect : Dialect
        How the readings are written.
    shown : (n,) Shown
        The readings of all whole lines.
    bodies : (n,) bytes
        What the checksum of each of these lines covers, a terminator apart.

    Returns
    -------
    two tuples of str, the names of properties; the second is a part of the first.
    """
    numbers = [one for one in shown if not one.is_over]
    is_open = {
        "unit": not any(dialect.unit_text and _has_unit(dialect, one) for one in shown),
        "decimal_sign": _may_be_thousands(dialect, numbers),
        "scale": not dialect.mark and not dialect.group and not dialect.unit_text,
        "division_digits": not _is_step_seen(dialect.step, numbers),
        "stable_flag": not _is_flag_seen(dialect, shown),
        "checksum": _fitting(dialect, bodies) > 1,
    }
    names = _with_derived({name for name, value in is_open.items() if value})
    if not _is_heavy_as_thousands(dialect, numbers):
        return names, ()
    left = _with_derived({name for name, value in is_open.items() if value} - {"decimal_sign"})
    return names, tuple(name for name in names if name not in left)


def _with_derived(names: set[str]) -> tuple[str, ...]:
    names = set(names)
    if names & {"decimal_sign", "scale"}:
        names |= {"division", "division_g", "load_g"}
    if "unit" in names:
        names |= {"division_g", "load_g"}
    if "division_digits" in names:
        names |= {"division", "division_g"}
    return tuple(sorted(names))


def _has_unit(dialect: Dialect, one: Shown) -> bool:
    return one.is_still or not dialect.unit_when_steady


def _may_be_thousands(dialect: Dialect, numbers: Sequence[Shown]) -> bool:
    texts = [number_text(dialect, one) for one in numbers]
    return all(MAY_BE_THOUSANDS.fullmatch(text) for text in texts)


def _is_heavy_as_thousands(dialect: Dialect, numbers: Sequence[Shown]) -> bool:
    most = max(one.counts for one in numbers)
    is_written = bool(dialect.unit_text and dialect.mark)
    return is_written and most * GRAMS[dialect.unit] > PLAUSIBLE_G


def _is_step_seen(step: int, numbers: Sequence[Shown]) -> bool:
    """Tell whether the numbers leave no other step than the true one."""
    seen = {abs(one.counts) for one in numbers} - {0}
    if any(all(counts % other == 0 for counts in seen) for other in STEPS if other > step):
        return False
    if step == 1:
        return True
    flickers = any(
        abs(a.counts - b.counts) == step for a, b in pairwise(numbers) if a.is_still and b.is_still
    )
    finer = max(other for other in STEPS if other < step and step % other == 0)
    return flickers or (finer / step) ** len(seen) <= LUCK


def _is_flag_seen(dialect: Dialect, shown: Sequence[Shown]) -> bool:
    """Tell whether both words were said of lines on which nobody can be mistaken."""
    if dialect.flags is None and not dialect.unit_when_steady:
        return True
    pairs = [(a, b) for a, b in pairwise(shown) if not a.is_over and not b.is_over]
    moved = [b for a, b in pairs if abs(a.counts - b.counts) > 3 * dialect.step]
    rested = [
        b
        for a, b in pairs
        if b.is_still and b.is_loaded and abs(a.counts - b.counts) <= 2 * dialect.step
    ]
    return sum(not one.is_still for one in moved) >= 2 and len(rested) >= 3


def _fitting(dialect: Dialect, bodies: Sequence[bytes]) -> int:
    """Count the rules that give the checksums of all lines."""
    check = dialect.check
    if check is None:
        return 1
    wanted = [check_value(check, body, dialect.terminator) for body in bodies]
    rules = [
        Check(rule, with_end=with_end)
        for rule, with_end in product(CHECKS, {False, check.after_end})
    ]
    return sum(
        [check_value(rule, body, dialect.terminator) for body in bodies] == wanted for rule in rules
    )


def described(dialect: Dialect) -> dict[str, object]:
    """Return what is true of every stream of a dialect."""
    is_implied = not dialect.mark and not dialect.group
    return {
        "unit": dialect.unit,
        "unit_text": dialect.unit_text or None,
        "decimal_sign": dialect.mark or None,
        "thousands_sign": dialect.group or None,
        "scale": Fraction(1, 10**dialect.decimals) if is_implied else Fraction(1),
        "division": Fraction(dialect.division),
        "division_digits": dialect.step,
        "division_g": dialect.division_g,
        "start": dialect.start,
        "terminator": dialect.terminator,
        "rate_hz": dialect.rate_hz,
        "average_s": dialect.average_s,
        "hold_s": dialect.hold_s,
        "framing": dialect.framing,
        "troubles": tuple(trouble.name for trouble in dialect.troubles),
        "bowl_g": dialect.bowl_g,
        **_flag_truth(dialect),
        **_check_truth(dialect.check),
    }


def _flag_truth(dialect: Dialect) -> dict[str, object]:
    flags = dialect.flags
    if flags is not None:
        words = (flags.steady, flags.moving, flags.zero, flags.over)
        return _words("flag", *words)
    if dialect.unit_when_steady:
        return _words("unit", dialect.unit_text, "", None, None)
    return _words(None, None, None, None, None)


def _words(
    by: str | None,
    steady: str | None,
    moving: str | None,
    zero: str | None,
    over: str | None,
) -> dict[str, object]:
    return {
        "stable_by": by,
        "stable_flag": steady,
        "moving_flag": moving,
        "zero_flag": zero,
        "over_flag": over,
    }


def _check_truth(check: Check | None) -> dict[str, object]:
    if check is None:
        return {
            "has_checksum": False,
            "checksum": None,
            "checksum_written": None,
            "checksum_place": None,
        }
    return {
        "has_checksum": True,
        "checksum": check.rule + ("+end" if check.with_end else ""),
        "checksum_written": "hex" if check.is_hex else "raw",
        "checksum_place": "after end" if check.after_end else "before end",
    }
