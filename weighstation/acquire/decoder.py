"""Bytes of a scale, in any pieces -> Readings, and the division they were found to have."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weighstation.acquire.division import DivisionLearner
from weighstation.acquire.fields import Fields, read_fields
from weighstation.acquire.lines import MAX_BYTES, LineSplitter
from weighstation.acquire.marks import MarkLearner, MarkPattern
from weighstation.acquire.profile import Counts, ScaleProfile
from weighstation.acquire.recognition import recognise
from weighstation.acquire.shape import Indicated, Shape
from weighstation.acquire.states import state_beside_number, state_of
from weighstation.events import DivisionLearned, Reading, Status

if TYPE_CHECKING:
    from weighstation.acquire.resolution import Resolution
    from weighstation.acquire.signs import Signs

HELD_LINES = 8
MAX_TEMPLATES = 512
MAX_SEEN = 4096
_DIGITS_TO_ZERO = bytes.maketrans(b"123456789", b"000000000")
_ZEROS_AND_WORDS = b"0.,-+ abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
_IN_NUMBER = frozenset(b"0123456789.,")


@dataclass(slots=True)
class _Scale:
    """A resolution and the division learned in it."""

    resolution: Resolution
    division: DivisionLearner = field(default_factory=DivisionLearner)

    @property
    def division_mg(self) -> int:
        return max(1, self.resolution.mg(self.division.step))


@dataclass(frozen=True, slots=True)
class _Template:
    """What is the same on all lines that differ in their digits only.

    ``flags`` says where lone digits stand that are marks; each of their values has a template.
    """

    start: int
    end: int
    sign: int
    scale: _Scale
    pattern: MarkPattern | None
    state: Status | None
    flags: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Seen:
    """A weight line that has been read before."""

    line: bytes
    text: str
    gross_mg: int
    scale: _Scale
    pattern: MarkPattern | None


class Decoder:
    """Turns the bytes of one scale into Readings, learning line shape, marks and division.

    Parameters
    ----------
    division_mg : int, milligrams, or None
        Scale interval, where it is known; None learns it.
    """

    def __init__(self, *, division_mg: int | None = None) -> None:
        self._given_division_mg = division_mg
        self._division_mg = 0
        self._splitter = LineSplitter()
        self._held: list[tuple[bytes, float]] = []
        self._at_start = True
        self._shape: Shape | None = None
        self._signs: Signs | None = None
        self._scales: dict[Resolution, _Scale] = {}
        self._scale: _Scale | None = None
        self._templates: dict[bytes, _Template] = {}
        self._seen: dict[bytes, _Seen] = {}
        self._last_seen: _Seen | None = None
        self._marks = MarkLearner()
        self._is_row_fitting = True
        self._last_mg = 0
        self._last_line = b""
        self._tally = dict.fromkeys(Status, 0)
        self._refused = ""
        self._out: list[Reading | DivisionLearned] = []

    @property
    def counts(self) -> Counts:
        """How many lines were given out, and how many of them held no weight."""
        return Counts(
            frames=sum(self._tally.values()),
            unreadable=self._tally[Status.UNREADABLE],
            overload=self._tally[Status.OVERLOAD],
            underload=self._tally[Status.UNDERLOAD],
        )

    @property
    def profile(self) -> ScaleProfile | None:
        """What is known about the scale; None until its lines are recognised."""
        if self._shape is None or self._scale is None:
            return None
        resolution = self._scale.resolution
        mark = self._marks.stable_mark
        return ScaleProfile(
            unit=resolution.unit,
            decimals=resolution.decimals,
            decimal_sign=self._shape.decimal_sign(resolution.unit),
            shape=str(self._shape),
            stable_mark=None if mark is None else str(mark),
            division_mg=self._division_mg,
        )

    @property
    def refusal(self) -> str:
        """What the scale shows that cannot be read as a mass, in one plain sentence; or empty."""
        if not self._refused:
            return ""
        return f"The scale shows {self._refused}; set it to g, kg, oz or lb."

    def feed(self, data: bytes, t_s: float) -> list[Reading | DivisionLearned]:
        """Take bytes in; return what they complete.

        Parameters
        ----------
        data : bytes
            Any piece of the stream, down to one byte.
        t_s : float, seconds
            When the last of them arrived.

        Returns
        -------
        list of Reading and DivisionLearned
            In the order of the lines. Lines that were held back until the shape was recognised
            come with their own times. A division comes before the Reading that showed it.
        """
        seen = self._seen.get(data)
        if seen is not None and self._splitter.idle and seen.scale is self._scale:
            self._give_seen(seen, t_s)
        else:
            self._feed_unseen(data, t_s)
        out, self._out = self._out, []
        return out

    def finish(self) -> list[Reading | DivisionLearned]:
        """End the stream; return the lines that were held back, as well as they can be read.

        Returns
        -------
        list of Reading and DivisionLearned
            A last line that was not ended is not among them.
        """
        self._splitter.finish()
        self._recognise(final=True)
        held, self._held = self._held, []
        for line, t_s in held:
            self._read_without_number(line, t_s)
        out, self._out = self._out, []
        return out

    def _feed_unseen(self, data: bytes, t_s: float) -> None:
        was_idle = self._splitter.idle
        lines = self._splitter.feed(data)
        for line in lines:
            self._read(line, t_s)
        if was_idle and self._splitter.idle and len(lines) == 1:
            self._remember(data, lines[0])

    def _hold(self, line: bytes, t_s: float) -> None:
        """Keep a line until the shape is known, or until too many are waiting."""
        self._held.append((line, t_s))
        self._recognise(final=False)
        if len(self._held) > HELD_LINES:
            self._at_start = False
            self._read_without_number(*self._held.pop(0))

    def _recognise(self, *, final: bool) -> None:
        texts = [line.decode("latin-1") for line, _ in self._held if len(line) <= MAX_BYTES]
        shape = recognise(texts, signs=self._signs, final=final)
        if shape is None:
            return
        self._shape = shape
        held, self._held = self._held, []
        if self._at_start and self._lost_digits(texts):
            line, t_s = held.pop(0)
            self._give_state(line, t_s, Status.UNREADABLE)
        self._at_start = False
        for line, t_s in held:
            self._read(line, t_s)

    @staticmethod
    def _lost_digits(texts: list[str]) -> bool:
        """Return whether the very first line may have begun before the port was opened.

        A number with nothing in front of it is believed there only if the next has no more digits.
        """
        parsed = [fields for fields in map(read_fields, texts) if fields]
        return len(parsed) > 1 and parsed[0].start == 0 and len(parsed[0].run) < len(parsed[1].run)

    def _read(self, line: bytes, t_s: float) -> None:
        """Give out one line of a port whose shape is known."""
        shape = self._shape
        if shape is None:
            self._hold(line, t_s)
            return
        template = self._templates.get(line.translate(_DIGITS_TO_ZERO))
        if template is not None and template.flags:
            template = self._templates.get(_flagged(line, template.flags))
        if template is None:
            template = self._learn_template(shape, line)
        if template is None:
            self._read_unfit(line, t_s, shape)
        elif template.state is not None:
            self._give_state(line, t_s, template.state)
        elif self._is_remnant(line):
            self._give_state(line, t_s, Status.UNREADABLE)
        else:
            self._give_weight(line, t_s, template)

    def _is_remnant(self, line: bytes) -> bool:
        """Return whether a line is the one before it less some first digits, and not zero."""
        last = self._last_line
        lost = len(last) - len(line)
        return (
            lost > 0
            and last.endswith(line)
            and last[lost - 1] in _IN_NUMBER
            and line.strip(_ZEROS_AND_WORDS) != b""
        )

    def _give_seen(self, seen: _Seen, t_s: float) -> None:
        """Give out a line that has been read before: nothing of it can be new."""
        line = seen.line
        if len(line) < len(self._last_line) and self._is_remnant(line):
            self._give_state(line, t_s, Status.UNREADABLE)
            return
        if not self._is_row_fitting and self._shape:
            self._shape.forget_strangers()
            self._is_row_fitting = True
        gross_mg = seen.gross_mg
        stable = None
        pattern = seen.pattern
        if pattern is not None:
            if self._marks.learning:
                self._marks.see(pattern, gross_mg, self._division_mg)
            stable = pattern.stable
        self._last_mg = gross_mg
        self._last_line = line
        self._tally[Status.WEIGHT] += 1
        self._out.append(Reading(t_s, gross_mg, stable, Status.WEIGHT, seen.text))

    def _give_weight(self, line: bytes, t_s: float, template: _Template) -> None:
        scale = template.scale
        counts = template.sign * int(line[template.start : template.end].translate(None, b".,"))
        if scale.division.see(counts):
            self._seen.clear()
        if scale is not self._scale:
            self._change_scale(scale)
        self._say_division(t_s, self._given_division_mg or scale.division_mg)
        text = line.decode("latin-1")
        gross_mg = scale.resolution.mg(counts)
        self._last_seen = _Seen(line, text, gross_mg, scale, template.pattern)
        self._give_seen(self._last_seen, t_s)

    def _change_scale(self, scale: _Scale) -> None:
        """Go over to another unit; lines that name none follow it."""
        self._scale = scale
        if self._shape is not None and self._shape.go_over_to(scale.resolution.unit):
            self._templates.clear()
            self._seen.clear()

    def _say_division(self, t_s: float, division_mg: int) -> None:
        if division_mg != self._division_mg:
            self._division_mg = division_mg
            self._out.append(DivisionLearned(t_s, division_mg))

    def _give_state(self, line: bytes, t_s: float, state: Status) -> None:
        self._tally[state] += 1
        self._out.append(Reading(t_s, None, None, state, line.decode("latin-1")))

    def _read_unfit(self, line: bytes, t_s: float, shape: Shape) -> None:
        """Give out a line that fits no layout, or start over if it refutes a guess."""
        self._is_row_fitting = False
        fields = _fields(line, shape)
        signs = shape.signs_against(fields) if fields else None
        if signs is None:
            self._read_without_number(line, t_s)
            return
        self._signs = signs
        self._shape = None
        self._hold(line, t_s)

    def _read_without_number(self, line: bytes, t_s: float) -> None:
        """Give out a line that no weight can be taken from."""
        text = line.decode("latin-1")
        fields = read_fields(text)
        state = None
        if fields is None:
            state = state_of(text, below_zero=self._last_mg < 0)
            if state is None and self._shape and self._shape.has_blank_number(text):
                state = Status.UNDERLOAD if self._last_mg < 0 else Status.OVERLOAD
        elif fields.refused:
            self._refused = fields.refused
        self._give_state(line, t_s, state or Status.UNREADABLE)

    def _learn_template(self, shape: Shape, line: bytes) -> _Template | None:
        """Return the template of a line that fits the shape, or None."""
        fields = _fields(line, shape)
        if fields is None:
            shape.forget_strangers()
            return None
        last = Indicated(self._last_mg, self._division_mg) if self._division_mg else None
        key = shape.fit(fields, last)
        if key is None:
            return None
        template = self._template(fields, shape.resolution(key))
        if shape.certain:
            if len(self._templates) >= MAX_TEMPLATES:
                self._templates.clear()
                self._seen.clear()
            self._templates[line.translate(_DIGITS_TO_ZERO)] = template
            if template.flags:
                self._templates[_flagged(line, template.flags)] = template
        return template

    def _template(self, fields: Fields, resolution: Resolution) -> _Template:
        scale = self._scales.setdefault(resolution, _Scale(resolution))
        after = (*fields.after, "unit") if fields.unit else fields.after
        return _Template(
            start=fields.start,
            end=fields.end,
            sign=-1 if fields.sign == "-" else 1,
            scale=scale,
            pattern=self._marks.pattern(fields.before, after),
            state=state_beside_number(fields.before + fields.after),
            flags=fields.flags,
        )

    def _remember(self, data: bytes, line: bytes) -> None:
        """Keep the last weight under the very bytes that brought it, to be found at once."""
        seen = self._last_seen
        if seen is None or seen.line is not line or not (self._shape and self._shape.certain):
            return
        if len(self._seen) >= MAX_SEEN:
            self._seen.clear()
        self._seen[data] = seen


def _fields(line: bytes, shape: Shape) -> Fields | None:
    if len(line) > MAX_BYTES:
        return None
    return read_fields(line.decode("latin-1"), shape.grammar)


def _flagged(line: bytes, flags: tuple[int, ...]) -> bytes:
    """Return the form of a line with the values of its flags, which no plain form can equal."""
    return line.translate(_DIGITS_TO_ZERO) + b"\n" + bytes(line[place] for place in flags)
