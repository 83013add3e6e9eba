"""Ways in which a scale may stream its readings, each with the truth about what it says.

Shares nothing with the package: it is there to judge what reads such lines. A stream has fewer
than sixty lines: an empty pan (or a bowl on it), one load that is put on and lies there, and, in
about half of the streams, is lifted again with the last few lines.
"""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING, Any

from dialect_held_out import HELD_OUT
from dialect_pan import averaged_g, line_count, readings, settling_s, visit
from dialect_shape import Trouble, line
from dialect_table import TABLE
from dialect_truth import described, undecidable

if TYPE_CHECKING:
    from fractions import Fraction

    from dialect_pan import Visit
    from dialect_shape import Dialect, Shown

__all__ = ["dialects", "held_out", "stream"]

LATEST_S = 0.003  # how much later than its turn a line may come
AT_OPEN = {Trouble.NULS_AT_OPEN: b"\x00", Trouble.ONES_AT_OPEN: b"\xff"}


def dialects() -> tuple[Dialect, ...]:
    """Return the dialects that may be tuned on, always in the same order."""
    return TABLE


def held_out() -> tuple[Dialect, ...]:
    """Return the dialects kept back, never to be tuned on, always in the same order."""
    return HELD_OUT


def stream(dialect: Dialect, seed: int) -> tuple[list[tuple[float, bytes]], dict[str, Any]]:
    """Return the lines of one stream and the truth about it.

    Parameters
    ----------
    dialect : Dialect
        How the scale speaks.
    seed : int
        The same seed gives the same stream, whatever else is in the tables.

    Returns
    -------
    list of (float, bytes): seconds at which the last byte of the line is there, and the line with
    its terminator. The first may be cut, or have bytes in front that are no part of it.

    dict: ``unit`` and ``unit_text`` (None where never written); ``decimal_sign`` and
    ``thousands_sign`` (None without); ``scale`` (Fraction, what the digits are multiplied by);
    ``division`` (Fraction, in the unit), ``division_digits`` (int, in the last digit),
    ``division_g`` (Fraction, grams); ``stable_by`` (``flag``, ``unit`` or None), ``stable_flag``,
    ``moving_flag``, ``zero_flag``, ``over_flag`` (text or None, whether said in this stream or
    not); ``start``, ``terminator`` (bytes); ``has_checksum``, ``checksum`` (``xor``,
    ``sum7``, ``sum8``, ``twos``, any with ``+end``, or None), ``checksum_written`` (``hex``,
    ``raw``), ``checksum_place`` (``before end``, ``after end``); ``rate_hz``; ``average_s``,
    ``hold_s``, ``settling_s``, ``on_s``, ``off_s`` (seconds, the last None where the load stays);
    ``load_g``, ``bowl_g``, ``zero_g``, ``at_rest_g`` (grams, the last the sum of the others);
    ``framing``; ``troubles`` (names); ``is_first_whole`` (bool);
    ``readings`` (for each line its seconds, its number in grams as a Fraction or None without
    one, and whether it is still); ``undecidable``, ``by_plausibility`` (names, see
    `dialect_truth`).
    """
    random = Random(f"{dialect.name}/{seed}")
    lasting_s = line_count(dialect) / dialect.rate_hz
    happening = visit(dialect, random, lasting_s)
    average_g = averaged_g(dialect, happening, lasting_s)
    shown = readings(dialect, happening, average_g, random)
    first = random.randrange(10_000)
    lines = [line(dialect, one, first + i) for i, one in enumerate(shown)]
    truth = {
        **described(dialect),
        **_happened(happening),
        "settling_s": settling_s(dialect, happening, average_g),
        "readings": tuple(_reading(dialect, one) for one in shown),
        **_open_questions(dialect, shown, lines),
    }
    received = [_cut(dialect, lines[0], random), *lines[1:]]
    arrivals_s = [
        (i + 1) / dialect.rate_hz + random.uniform(0, LATEST_S) for i in range(len(lines))
    ]
    return list(zip(arrivals_s, received, strict=True)), truth


def _happened(happening: Visit) -> dict[str, Any]:
    return {
        "load_g": happening.load_g,
        "zero_g": happening.zero_g,
        "at_rest_g": happening.at_rest_g,
        "on_s": happening.on_s,
        "off_s": None if happening.off_s == float("inf") else happening.off_s,
    }


def _reading(dialect: Dialect, one: Shown) -> tuple[float, Fraction | None, bool]:
    number_g = None if one.is_over else one.counts * dialect.count_g
    return one.t_s, number_g, one.is_still


def _open_questions(dialect: Dialect, shown: list[Shown], lines: list[bytes]) -> dict[str, Any]:
    is_cut = Trouble.PARTIAL_FIRST in dialect.troubles
    bodies = [_body(dialect, whole) for whole in lines[is_cut:]]
    names, plausible = undecidable(dialect, shown[is_cut:], bodies)
    return {
        "is_first_whole": not is_cut,
        "undecidable": names,
        "by_plausibility": plausible,
    }


def _body(dialect: Dialect, whole: bytes) -> bytes:
    """Return what the checksum of a line covers, a terminator apart."""
    check = dialect.check
    written = 0 if check is None else 1 + check.is_hex
    return whole[len(dialect.start) : -len(dialect.terminator) - written]


def _cut(dialect: Dialect, first: bytes, random: Random) -> bytes:
    """Return the first line as a port hears it that was opened at some moment."""
    if Trouble.PARTIAL_FIRST in dialect.troubles:
        first = first[random.randrange(1, len(first)) :]
    for trouble, byte in AT_OPEN.items():
        if trouble in dialect.troubles:
            first = byte * random.randint(1, 4) + first
    return first
