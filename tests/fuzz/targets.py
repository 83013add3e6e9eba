"""The laws that hold whatever arrives, each a function of bytes that raises where one is broken.

A law is an ``assert``; any exception but those that a docstring names breaks one too.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from lines_known import DIALECTS, Dialect
from tape import Tape, descriptor, pieces, reports, scrap, texts

from weighstation.acquire import Arrival, Decoder, HidDecoder, decode
from weighstation.acquire.framing import EIGHT, EVEN, ODD, judge_framing
from weighstation.acquire.hid import MAX_RAW_BYTES
from weighstation.acquire.hid_descriptor import COMMON_LAYOUT, layouts_of, read_layouts
from weighstation.acquire.learning import CHECKSUM, SHAPE, Learned, exact_division_g, learn
from weighstation.acquire.lines import MAX_BYTES
from weighstation.acquire.recipe import OPEN
from weighstation.acquire.recording import encode_arrival, encode_header
from weighstation.errors import RecordingError
from weighstation.events import DivisionLearned, Reading, Status
from weighstation.quantities import Unit

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from tape import Piece

    from weighstation.acquire.recipe import Recipe

Decoded = list[Reading | DivisionLearned]

MOST_MG = 1_000_000_000
"""1,000 kg: no bench scale shows more."""
MOST_LINE_STATE_BYTES = 6_000_000
MOST_HID_STATE_BYTES = 1_000_000
MOST_LONG_LINES = 6000
_RECIPES = (
    *(dialect.recipe for dialect in DIALECTS if dialect.recipe is not OPEN),
    replace(OPEN, unit=Unit.KILOGRAM, decimal_sign=","),
    replace(OPEN, decimal_sign="", implied_decimals=2, weight_number=1),
)


def lines(data: bytes) -> None:
    """Any bytes in any pieces: states with a count, and the same however they are cut."""
    tape = Tape(data)
    choice = tape.below(2 * len(_RECIPES))
    recipe = _RECIPES[choice] if choice < len(_RECIPES) else OPEN
    arrived = pieces(tape)
    out, decoder = _decoded(arrived, recipe)
    _check_readings(out)
    _check_counts(out, decoder)
    _talk_throughout(arrived, recipe)
    single, alone = _decoded(_byte_by_byte(arrived), recipe)
    assert out == single, "bytes one by one are read otherwise than pieces"
    assert decoder.profile == alone.profile
    assert decoder.counts == alone.counts
    at_once, _ = _decoded([(b"".join(piece for piece, _ in arrived), 0.0)], recipe)
    assert _timeless(out) == _timeless(at_once), "all at once is read otherwise than pieces"
    assert size_of(decoder) <= MOST_LINE_STATE_BYTES


def back_in_step(data: bytes) -> None:
    """Garbage, an end of line, and three good lines of a known scale: the last is its weight.

    It does not hold for a scale that names no unit once the garbage has been read as weights:
    lines that name one, three in a row, are that scale gone over to another unit. Where the
    garbage gave nothing but unreadable lines, the second good line is its weight already, and
    the first one too where no check behind the end can have swallowed its begin.
    """
    tape = Tape(data)
    dialect = DIALECTS[tape.below(len(DIALECTS))]
    decoder = _warm(dialect)
    counts, step = tape.number(), tape.below(2)
    garbage = [item for piece, t_s in pieces(tape, dialect) for item in decoder.feed(piece, t_s)]
    states = {item.status for item in garbage if isinstance(item, Reading)}
    decoder.feed(dialect.end or b"\n", 1e9)
    good = [counts + step * place for place in range(3)]
    read = [_last_mg(decoder.feed(dialect.say(one), 2e9)) for one in good]
    expected = [dialect.mg(one) for one in good]
    if dialect.is_named or Status.WEIGHT not in states:
        assert expected[2] == read[2], f"out of step after three lines of {dialect.form!r}"
    if states <= {Status.UNREADABLE}:
        first = dialect.recipe.checksum is not None
        assert expected[first:] == read[first:], f"out of step at once in {dialect.form!r}"
    decoder.finish()


def stays_small(data: bytes) -> None:
    """Long garbage made of a few stanzas: what a decoder keeps stays below its bound."""
    tape = Tape(data)
    decoder = Decoder(recipe=_RECIPES[0] if tape.below(4) == 0 else OPEN)
    lines_left = MOST_LONG_LINES
    while lines_left > 0 and not tape.is_over:
        head, tail = scrap(tape), scrap(tape)
        begin, step, count = tape.number(), tape.byte(), (1, 8, 200, 2000)[tape.below(4)]
        for place in range(min(count, lines_left)):
            decoder.feed(head + b"%d" % (begin + step * place) + tail + b"\n", float(place))
        lines_left -= count
        assert size_of(decoder) <= MOST_LINE_STATE_BYTES, "the decoder grows"
    _ = decoder.profile, decoder.refusal, decoder.counts
    decoder.finish()


def hid(data: bytes) -> None:
    """Any descriptor and any reports: states with a count, weights as the report says."""
    tape = Tape(data)
    described = descriptor(tape)
    layouts = layouts_of(described)
    assert layouts == (read_layouts(described) or (COMMON_LAYOUT,))
    for layout in layouts:
        fields = (layout.status, layout.unit, layout.scaling, layout.weight)
        assert all(
            one.offset_bits + one.size_bits <= 8 * layout.length_bytes for one in fields if one
        )
        assert 0 < layout.length_bytes <= layout.longest_bytes
    decoder = HidDecoder(described)
    out: Decoded = []
    for place, report in enumerate(reports(tape)):
        given = decoder.feed(report, float(place))
        out += given
        if layouts == (COMMON_LAYOUT,) and len(report) == COMMON_LAYOUT.length_bytes:
            assert _common_mg(report) == _last_mg(given), "a report of the common layout is misread"
    out += decoder.finish()
    _check_hid(out, decoder)


def learns(data: bytes) -> None:
    """`learn` on any arrivals: a finding that a decoder can work with."""
    tape = Tape(data)
    known_load_mg = (None, None, 651_000, tape.number())[tape.below(4)]
    arrived = [Arrival(t_s, piece) for piece, t_s in pieces(tape)]
    learned = learn(arrived, known_load_mg=known_load_mg)
    _check_learned(learned)
    out, _ = _decoded([(piece, t_s) for t_s, piece in arrived], learned.recipe)
    _check_readings(out)
    assert learn(arrived, known_load_mg=known_load_mg) == learned


def framing(data: bytes) -> None:
    """`judge_framing` on any bytes: parity put on or taken off changes no judgement of weights."""
    tape = Tape(data)
    bits = tape.below(4)
    heard = b"".join(piece for piece, _ in pieces(tape))
    heard = bytes(byte & 0x7F for byte in heard) if bits & 1 else heard
    judged = judge_framing(heard)
    assert judged in (None, EIGHT, EVEN, ODD)
    if judged in (EVEN, ODD):
        assert judge_framing(bytes(byte & 0x7F for byte in heard)) == EIGHT
    elif judged == EIGHT and max(heard) < 0x80:
        odd = bits >> 1
        sent = bytes(byte | (byte.bit_count() + odd & 1) << 7 for byte in heard)
        assert judge_framing(sent) in ((EIGHT,) if sent == heard else (EIGHT, ODD if odd else EVEN))


def recording(data: bytes) -> None:
    """Any text as a file: a recording of what each line says, or one sentence."""
    said = texts(Tape(data))
    refused = ""
    try:
        recorded = decode(said)
    except RecordingError as exc:
        refused = exc.sentence
    if refused:
        assert refused.endswith("."), refused
        return
    times = [arrival.t_s for arrival in recorded.arrivals]
    assert times == sorted(times)
    rows = [json.loads(line) for line in _whole(said, cut=bool(recorded.warnings))]
    assert all(isinstance(row, dict) for row in rows), "a line is no object"
    rows = rows[recorded.header is not None :]
    assert [_arrival(row) for row in rows] == recorded.arrivals, "lines are read as others"
    header = [] if recorded.header is None else [encode_header(recorded.header)]
    exact = all(round(t_s, 6) == t_s for t_s in times)
    again = decode([*header, *map(encode_arrival, recorded.arrivals)])
    assert not exact or again.arrivals == recorded.arrivals
    assert again.header == recorded.header


TARGETS: dict[str, Callable[[bytes], None]] = {
    "lines": lines,
    "back_in_step": back_in_step,
    "stays_small": stays_small,
    "hid": hid,
    "learns": learns,
    "framing": framing,
    "recording": recording,
}


def size_of(root: object) -> int:
    """Return the bytes that an object and all that it holds take; classes are not its own."""
    known: set[int] = set()
    waiting = [root]
    total = 0
    while waiting:
        one = waiting.pop()
        if id(one) in known or isinstance(one, type) or callable(one):
            continue
        known.add(id(one))
        total += sys.getsizeof(one)
        waiting += _held_by(one)
    return total


def _held_by(one: object) -> Iterable[object]:
    if isinstance(one, dict):
        return [*one.keys(), *one.values()]
    if isinstance(one, (list, tuple, set, frozenset)):
        return one
    if isinstance(one, (str, bytes, int, float)):
        return ()
    names = [name for kind in type(one).__mro__ for name in getattr(kind, "__slots__", ())]
    own = vars(one).values() if hasattr(one, "__dict__") else ()
    return [*own, *(getattr(one, name) for name in names if hasattr(one, name))]


def _decoded(arrived: Iterable[Piece], recipe: Recipe) -> tuple[Decoded, Decoder]:
    decoder = Decoder(recipe=recipe)
    out: Decoded = []
    for data, t_s in arrived:
        out += decoder.feed(data, t_s)
    out += decoder.finish()
    assert not decoder.finish(), "a stream ends once"
    return out, decoder


def _talk_throughout(arrived: Iterable[Piece], recipe: Recipe) -> None:
    """Ask at any time what is known of the scale."""
    decoder = Decoder(recipe=recipe)
    for data, t_s in arrived:
        decoder.feed(data, t_s)
        profile = decoder.profile
        assert profile is None or profile.division_mg > 0
        assert "\n" not in decoder.refusal


def _byte_by_byte(arrived: Iterable[Piece]) -> list[Piece]:
    return [(bytes((byte,)), t_s) for data, t_s in arrived for byte in data]


def _timeless(out: Decoded) -> Decoded:
    return [
        item._replace(t_s=0.0) if isinstance(item, Reading) else replace(item, t_s=0.0)
        for item in out
    ]


def _check_readings(out: Decoded) -> None:
    times = [item.t_s for item in out]
    assert times == sorted(times)
    for item in out:
        if isinstance(item, DivisionLearned):
            assert type(item.division_mg) is int
            assert 0 < item.division_mg <= MOST_MG
            continue
        assert (item.status is Status.WEIGHT) is (item.gross_mg is not None)
        assert item.gross_mg is None or type(item.gross_mg) is int
        assert abs(item.gross_mg or 0) <= MOST_MG, "no scale weighs so much"
        assert item.status is Status.WEIGHT or item.stable is None
        assert len(item.raw) <= MAX_BYTES + 1, "a line is longer than any"


def _check_counts(out: Decoded, decoder: Decoder | HidDecoder) -> None:
    states = Counter(item.status for item in out if isinstance(item, Reading))
    counts = decoder.counts
    assert states.total() == counts.frames
    assert states[Status.UNREADABLE] == counts.unreadable
    assert states[Status.OVERLOAD] == counts.overload
    assert states[Status.UNDERLOAD] == counts.underload
    assert "\n" not in decoder.refusal


def _check_hid(out: Decoded, decoder: HidDecoder) -> None:
    _check_readings(out)
    _check_counts(out, decoder)
    raws = [item.raw for item in out if isinstance(item, Reading)]
    assert all(len(raw) <= 2 * MAX_RAW_BYTES for raw in raws)
    weighed = any(isinstance(item, Reading) and item.gross_mg is not None for item in out)
    assert (decoder.profile is not None) is weighed
    assert size_of(decoder) <= MOST_HID_STATE_BYTES


def _check_learned(learned: Learned) -> None:
    assert (SHAPE in learned.open) is (learned.unit is None)
    assert learned.readings_per_s is None or learned.readings_per_s > 0
    assert learned.settle_s is None or learned.settle_s >= 0
    assert learned.recipe.checksum or CHECKSUM not in learned.open
    division_g = exact_division_g(learned)
    assert division_g is None or division_g > 0
    _check_readings(list(learned.seen))


def _warm(dialect: Dialect) -> Decoder:
    """Return a decoder that knows a dialect."""
    decoder = Decoder(recipe=dialect.recipe)
    for line in dialect.morning():
        out = decoder.feed(line, 0.0)
    assert _last_mg(out) == dialect.mg(651), dialect.form
    assert decoder.profile is not None
    return decoder


def _last_mg(out: Decoded) -> int | None:
    readings = [item for item in out if isinstance(item, Reading)]
    return readings[-1].gross_mg if readings else None


def _common_mg(report: bytes) -> int | None:
    """Return what a report of the common layout weighs, worked out on its own."""
    report_id, status, unit, exponent, low, high = report
    grams = {1: Fraction(1, 1000), 2: Fraction(1), 3: Fraction(1000)}
    grams |= {11: Fraction("28.349523125"), 12: Fraction("453.59237")}
    if report_id != 3 or status not in (2, 3, 4, 5) or unit not in grams:
        return None
    sign = {2: 0, 5: -1}.get(status, 1)
    count_g = grams[unit] * Fraction(10) ** (exponent - (exponent >> 7 << 8))
    mg = round(sign * (low + 256 * high) * count_g * 1000)
    is_sane = Fraction(1, 10**6) <= count_g <= 1000 and abs(mg) <= MOST_MG
    return mg if is_sane else None


def _whole(said: list[str], *, cut: bool) -> list[str]:
    filled = [line for line in said if line.strip()]
    return filled[:-1] if cut else filled


def _arrival(row: dict[str, object]) -> Arrival:
    text, hexed = row.get("data"), row.get("hex")
    data = text.encode("latin-1") if isinstance(text, str) else bytes.fromhex(str(hexed))
    return Arrival(float(str(row["t"])), data)
