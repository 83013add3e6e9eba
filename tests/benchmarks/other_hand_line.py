"""What the instrument shows -> bytes as they come in at the station's end of the cable."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from other_hand_scale import Shown, Shows

if TYPE_CHECKING:
    import random
    from collections.abc import Callable


def _number(shown: Shown, division_g: float, *, kilo: bool = False) -> str:
    """Unsigned digits with as many places as the division needs."""
    grams = abs(shown.divisions) * division_g
    if kilo:
        return f"{grams / 1000:.3f}"
    return f"{grams:.1f}" if division_g < 1 else f"{grams:.0f}"


def _sign(shown: Shown) -> str:
    return "-" if shown.divisions < 0 else "+"


def _below(shown: Shown) -> bool:
    """Whether an instrument that knows a minus zero writes a minus."""
    return shown.divisions < 0 or (shown.divisions == 0 and shown.minus)


def _headed(shown: Shown, d: float) -> str:
    if shown.shows is not Shows.WEIGHT:
        return "OL,GS," + ("+" if shown.shows is Shows.OVER else "-") + "------- g\r\n"
    head = "ST" if shown.mark else "US"
    return f"{head},GS,{_sign(shown)}{_number(shown, d):0>7} g\r\n"


def _bare(shown: Shown, d: float) -> str:
    if shown.shows is not Shows.WEIGHT:
        return "  ------\r\n"
    signed = ("-" if shown.divisions < 0 else "") + _number(shown, d)
    return f"{signed:>8}\r\n"


def _trailing(shown: Shown, d: float) -> str:
    if shown.shows is not Shows.WEIGHT:
        return "  ^^^^^^ g  ?\r\n" if shown.shows is Shows.OVER else "  ______ g  ?\r\n"
    return f"{_sign(shown)}{_number(shown, d):>7} g  {'S' if shown.mark else '?'}\r\n"


def _kilo(shown: Shown, d: float) -> str:
    if shown.shows is not Shows.WEIGHT:
        return "D  OL     kg\r\n"
    sign = "-" if shown.divisions < 0 else " "
    return f"{'S' if shown.mark else 'D'} {sign}{_number(shown, d, kilo=True):>7} kg\r\n"


def _comma(shown: Shown, d: float) -> str:
    if shown.shows is not Shows.WEIGHT:
        return "* OL\n"
    signed = ("-" if shown.divisions < 0 else " ") + _number(shown, d).replace(".", ",")
    return f"{' ' if shown.mark else '*'}{signed:>9} g\n"


def _behind(shown: Shown, d: float) -> str:
    if shown.shows is not Shows.WEIGHT:
        return "OVERRUN\r"
    return f"{_number(shown, d):0>6}{'-' if _below(shown) else ' '}\r"


def _framed(shown: Shown, d: float) -> str:
    if shown.shows is not Shows.WEIGHT:
        return "\x02+*******gO\x03\r\n"
    return f"\x02{_sign(shown)}{_number(shown, d):0>7}g{'0' if shown.mark else '1'}\x03\r\n"


def _unit_only(shown: Shown, d: float) -> str:
    if shown.shows is not Shows.WEIGHT:
        return "-OL- g\n"
    return f"{'-' if _below(shown) else ''}{_number(shown, d)}g\n"


SHAPES: dict[str, Callable[[Shown, float], str]] = {
    "headed": _headed,
    "bare": _bare,
    "trailing": _trailing,
    "kilo": _kilo,
    "comma": _comma,
    "behind": _behind,
    "framed": _framed,
    "unit-only": _unit_only,
}


@dataclass(frozen=True, slots=True)
class Link:
    """The line's shape and how it travels.

    ``stall`` is the chance per line that the receiver sleeps up to ``stall_s`` and then gets
    several lines in one piece; ``splits`` that a line comes in two pieces; ``loses`` that it never
    comes; ``gap`` that a whole stretch of up to ``gap_s`` never comes; ``garbles`` that bytes of
    it are missing; ``joins_late`` starts in the middle of a line.
    """

    shape: str = "headed"
    baud: int = 9600
    late_s: float = 0.012
    stall: float = 0.0
    stall_s: float = 0.4
    splits: float = 0.0
    loses: float = 0.0
    gap: float = 0.0
    gap_s: float = 1.0
    garbles: float = 0.0
    joins_late: bool = False


def sent_s(shown: Shown, link: Link, division_g: float) -> float:
    """When the last byte of a line has left the instrument: ten bits a byte."""
    return shown.t_s + 10 * len(SHAPES[link.shape](shown, division_g)) / link.baud


def _garbled(line: bytes, rng: random.Random) -> bytes:
    cut = rng.randrange(len(line))
    return line[:cut] + line[cut + rng.randint(1, 4) :]


def _travel(line: bytes, sent: float, link: Link, rng: random.Random) -> list[tuple[float, bytes]]:
    if rng.random() < link.garbles:
        line = _garbled(line, rng)
    at_s = sent + rng.uniform(0.001, link.late_s)
    if rng.random() < link.splits and len(line) > 2:
        cut = rng.randrange(1, len(line))
        early = at_s - 10 * (len(line) - cut) / link.baud
        return [(early, line[:cut]), (at_s, line[cut:])]
    return [(at_s, line)]


def _in_order(
    pieces: list[tuple[float, bytes]], link: Link, rng: random.Random
) -> list[tuple[float, bytes]]:
    """Keep time from running back, and hold pieces while the receiver sleeps."""
    arrivals: list[tuple[float, bytes]] = []
    awake_s, last_s = 0.0, 0.0
    for at_s, data in pieces:
        t_s = max(at_s, last_s)
        if t_s < awake_s and arrivals:
            arrivals[-1] = (arrivals[-1][0], arrivals[-1][1] + data)
            continue
        if rng.random() < link.stall:
            awake_s = t_s + rng.uniform(0.1, link.stall_s)
            t_s = awake_s
        arrivals.append((round(t_s, 4), data))
        last_s = t_s
    return arrivals


def arrivals(
    shown: list[Shown], link: Link, division_g: float, rng: random.Random
) -> list[tuple[float, bytes]]:
    """Return what arrives, and when, in order of time."""
    pieces: list[tuple[float, bytes]] = []
    deaf_s = 0.0
    for one in shown:
        if rng.random() < link.gap:
            deaf_s = one.t_s + rng.uniform(0.3, link.gap_s)
        if one.t_s < deaf_s or rng.random() < link.loses:
            continue
        line = SHAPES[link.shape](one, division_g).encode("latin-1")
        if link.joins_late and not pieces:
            line = line[len(line) // 2 :]
        pieces += _travel(line, sent_s(one, link, division_g), link, rng)
    return _in_order(pieces, link, rng)
