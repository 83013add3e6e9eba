"""Bytes of a scale, in any pieces -> Readings and the division they were learned to have."""

from __future__ import annotations

from dataclasses import dataclass, field

from weighstation.acquire.division import DivisionLearner
from weighstation.acquire.fields import Fields, Signs, read_fields
from weighstation.acquire.lines import MAX_BYTES, LineSplitter
from weighstation.acquire.marks import MarkLearner, MarkPattern
from weighstation.acquire.shape import LayoutKey, LineContext, Shape, recognise
from weighstation.acquire.states import state_beside_number, state_of
from weighstation.events import DivisionLearned, Reading, Status
from weighstation.quantities import MG_PER_UNIT, Unit

HELD_LINES = 8
MAX_TEMPLATES = 512
_DIGITS_TO_ZERO = bytes.maketrans(b"123456789", b"000000000")
_SEPARATORS = b".,"


@dataclass(frozen=True, slots=True)
class Counts:
    """What the lines of a port were.

    Parameters
    ----------
    frames : int
        All lines that were given out.
    unreadable, overload, underload : int
        Those without a weight, by kind.
    """

    frames: int
    unreadable: int
    overload: int
    underload: int


@dataclass(frozen=True, slots=True)
class ScaleProfile:
    """What has been learned about a scale from its lines.

    Parameters
    ----------
    unit : Unit
        The unit of the last weight.
    decimals : int
        Decimals printed in that unit.
    decimal_sign : str
        ``.``, ``,`` or empty where numbers are whole.
    shape : str
        The line in words.
    stable_mark : str or None
        Which mark says that the weight is stable; None where there is none or it is not yet known.
    division_mg : int, milligrams
    """

    unit: Unit
    decimals: int
    decimal_sign: str
    shape: str
    stable_mark: str | None
    division_mg: int


@dataclass(slots=True)
class _Scale:
    """One unit and its last printed place, which counts are exact multiples of."""

    unit: Unit
    decimals: int
    numerator: int
    denominator: int
    division: DivisionLearner = field(default_factory=DivisionLearner)

    @classmethod
    def of(cls, unit: Unit, decimals: int) -> _Scale:
        mg_per_count = MG_PER_UNIT[unit] / 10**decimals
        return cls(unit, decimals, mg_per_count.numerator, mg_per_count.denominator)

    def mg(self, counts: int) -> int:
        """Return counts in milligrams, rounded once, half to even."""
        whole, rest = divmod(counts * self.numerator, self.denominator)
        twice = 2 * rest
        if twice > self.denominator or (twice == self.denominator and whole % 2):
            return whole + 1
        return whole

    @property
    def division_mg(self) -> int:
        return max(1, self.mg(self.division.step))


@dataclass(frozen=True, slots=True)
class _Template:
    """What is the same on all lines that differ in their digits only."""

    start: int
    end: int
    sign: int
    scale: _Scale
    pattern: MarkPattern | None
    state: Status | None


class Decoder:
    """Turns the bytes of one scale into Readings, learning line shape, marks and division.

    Parameters
    ----------
    division_mg : int, milligrams, or None
        Scale interval, where it is known; None learns it.
    """

    def __init__(self, *, division_mg: int | None = None) -> None:
        self._fixed_division_mg = division_mg
        self._splitter = LineSplitter()
        self._held: list[tuple[float, bytes]] = []
        self._shape: Shape | None = None
        self._signs: Signs | None = None
        self._sample_runs: list[str] = []
        self._templates: dict[bytes, _Template] = {}
        self._scales: dict[tuple[Unit, int], _Scale] = {}
        self._scale: _Scale | None = None
        self._marks = MarkLearner()
        self._said_division_mg: int | None = None
        self._last_mg: int | None = None
        self._last_raw = b""
        self._at_start = True
        self._tally = dict.fromkeys(Status, 0)
        self._out: list[Reading | DivisionLearned] = []
        self.refusal: str | None = None

    @property
    def counts(self) -> Counts:
        """How many lines were given out, and how many of them held no weight."""
        tally = self._tally
        return Counts(
            frames=sum(tally.values()),
            unreadable=tally[Status.UNREADABLE],
            overload=tally[Status.OVERLOAD],
            underload=tally[Status.UNDERLOAD],
        )

    @property
    def profile(self) -> ScaleProfile | None:
        """What is known about the scale; None until its lines are recognised."""
        if self._shape is None or self._scale is None:
            return None
        mark = self._marks.stable_mark
        return ScaleProfile(
            unit=self._scale.unit,
            decimals=self._scale.decimals,
            decimal_sign=self._shape.signs.decimal,
            shape=self._shape.words(),
            stable_mark=None if mark is None else str(mark),
            division_mg=self._division_mg(self._scale),
        )

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
        for line in self._splitter.feed(data):
            if self._shape is None:
                self._hold(line, t_s)
            else:
                self._read(line, t_s)
        out, self._out = self._out, []
        return out

    def finish(self) -> list[Reading | DivisionLearned]:
        """End the stream; return the lines that were held back, as well as they can be read.

        Returns
        -------
        list of Reading and DivisionLearned
            A line that was not ended is not among them.
        """
        self._splitter.finish()
        self._recognise(final=True)
        for line, t_s in self._take_held():
            self._read_without_shape(line, t_s)
        out, self._out = self._out, []
        return out

    def _hold(self, line: bytes, t_s: float) -> None:
        self._held.append((t_s, line))
        self._recognise(final=False)
        if len(self._held) > HELD_LINES:
            t_s, line = self._held.pop(0)
            self._at_start = False
            self._read_without_shape(line, t_s)

    def _take_held(self) -> list[tuple[bytes, float]]:
        held, self._held = self._held, []
        return [(line, t_s) for t_s, line in held]

    def _recognise(self, *, final: bool) -> None:
        texts = [line.decode("latin-1") for _, line in self._held if len(line) <= MAX_BYTES]
        if self._shape is None:
            self._shape = recognise(texts, signs=self._signs, final=final)
        if self._shape is None:
            return
        self._sample_runs = [fields.run for fields in map(read_fields, texts) if fields]
        held = self._take_held()
        for place, (line, t_s) in enumerate(held):
            if place == 0 and self._at_start and self._is_torn_start(line, held[1:]):
                self._give_state(line, t_s, Status.UNREADABLE)
            else:
                self._read(line, t_s)
        self._at_start = False

    def _is_torn_start(self, line: bytes, later: list[tuple[bytes, float]]) -> bool:
        """Return whether the first line may have lost digits before the port was opened.

        A number at the very start of a line is believed there only if the next has no more digits.
        """
        first = read_fields(line.decode("latin-1"))
        following = [read_fields(other.decode("latin-1")) for other, _ in later]
        others = [fields for fields in following if fields]
        if first is None or not others or first.before or first.start:
            return False
        return len(first.run) < len(others[0].run)

    def _read(self, line: bytes, t_s: float) -> None:
        """Give out one line of a port whose shape is known."""
        template = self._templates.get(line.translate(_DIGITS_TO_ZERO))
        if template is None:
            template = self._learn_template(line)
            if template is None:
                self._read_without_shape(line, t_s)
                return
        if template.state is not None:
            self._give_state(line, t_s, template.state)
            return
        if self._is_remnant(line):
            self._give_state(line, t_s, Status.UNREADABLE)
            return
        self._give_weight(line, t_s, template)

    def _is_remnant(self, line: bytes) -> bool:
        """Return whether a line is the end of the one before it: its first bytes were lost."""
        last = self._last_raw
        if len(line) >= len(last) or not last.endswith(line):
            return False
        return line.strip(b"0.,- abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") != b""

    def _give_weight(self, line: bytes, t_s: float, template: _Template) -> None:
        scale = template.scale
        counts = template.sign * int(line[template.start : template.end].translate(None, b".,"))
        division = scale.division
        if division.learning or counts % division.step:
            division.see(counts)
        gross_mg = scale.mg(counts)
        if scale is not self._scale or division.learning or self._said_division_mg is None:
            self._scale = scale
        self._say_division(scale, t_s)
        stable = None
        pattern = template.pattern
        if pattern is not None:
            if self._marks.stable_mark is None:
                self._marks.see(pattern, gross_mg, self._division_mg(scale))
            stable = pattern.stable
        self._last_mg = gross_mg
        self._last_raw = line
        self._tally[Status.WEIGHT] += 1
        self._out.append(Reading(t_s, gross_mg, stable, Status.WEIGHT, line.decode("latin-1")))

    def _division_mg(self, scale: _Scale) -> int:
        return self._fixed_division_mg or scale.division_mg

    def _say_division(self, scale: _Scale, t_s: float) -> None:
        division_mg = self._division_mg(scale)
        if division_mg != self._said_division_mg:
            self._said_division_mg = division_mg
            self._out.append(DivisionLearned(t_s, division_mg))

    def _give_state(self, line: bytes, t_s: float, state: Status) -> None:
        self._tally[state] += 1
        self._out.append(Reading(t_s, None, None, state, line.decode("latin-1")))

    def _read_without_shape(self, line: bytes, t_s: float) -> None:
        text = line.decode("latin-1")
        fields = read_fields(text)
        below_zero = self._last_mg is not None and self._last_mg < 0
        state = None if fields else state_of(text, below_zero=below_zero)
        if fields and fields.refused:
            self.refusal = fields.refused
        self._give_state(line, t_s, state or Status.UNREADABLE)

    def _learn_template(self, line: bytes) -> _Template | None:
        """Return the template of a line that fits the shape, or None."""
        shape = self._shape
        assert shape is not None
        text = line.decode("latin-1")
        fields = read_fields(text, shape.signs) if len(line) <= MAX_BYTES else None
        key = shape.key(fields) if fields else None
        if fields is None or key is None:
            shape.reject()
            return None
        state = state_beside_number(fields.before + fields.after)
        template = self._template(fields, key, state)
        if not shape.accepts(fields, key, self._context(line, fields, template)):
            return None
        if shape.signs.certain:
            if len(self._templates) >= MAX_TEMPLATES:
                self._templates.clear()
            self._templates[line.translate(_DIGITS_TO_ZERO)] = template
        return template

    def _template(self, fields: Fields, key: LayoutKey, state: Status | None) -> _Template:
        assert self._shape is not None
        unit = key.unit or self._shape.unit
        scale = self._scales.get((unit, key.decimals)) or _Scale.of(unit, key.decimals)
        after = (*fields.after, "unit") if fields.unit else fields.after
        return _Template(
            start=fields.start,
            end=fields.end,
            sign=-1 if fields.sign == "-" else 1,
            scale=self._scales.setdefault((unit, key.decimals), scale),
            pattern=self._marks.pattern(fields.before, after),
            state=state,
        )

    def _context(self, line: bytes, fields: Fields, template: _Template) -> LineContext:
        counts = int(fields.run.replace(".", "").replace(",", ""))
        return LineContext(
            length=len(line),
            starts_blank=line[:1] == b" ",
            last_mg=self._last_mg,
            division_mg=max(template.scale.division_mg, self._said_division_mg or 0),
            gross_mg=template.scale.mg(template.sign * counts),
        )
