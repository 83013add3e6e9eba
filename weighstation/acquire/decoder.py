"""Bytes of a scale, in any pieces -> Readings, and the division they were found to have."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.acquire.checksum import BadLine, CheckedSplitter
from weighstation.acquire.fields import Fields, read_fields
from weighstation.acquire.known import Scale, Seen, Template, Templates
from weighstation.acquire.lines import DAMAGED, MAX_BYTES, LineSplitter
from weighstation.acquire.marks import MarkLearner
from weighstation.acquire.profile import Counts, ScaleProfile
from weighstation.acquire.recipe import OPEN
from weighstation.acquire.recognition import recognise
from weighstation.acquire.remnants import is_remnant, may_lack_digits
from weighstation.acquire.resolution import MAX_WEIGHT_MG
from weighstation.acquire.shape import Indicated, Shape
from weighstation.acquire.states import state_beside_number, state_of
from weighstation.events import DivisionLearned, Reading, Status

if TYPE_CHECKING:
    from weighstation.acquire.recipe import Recipe
    from weighstation.acquire.resolution import Resolution
    from weighstation.acquire.signs import Signs

HELD_LINES = 8
MAX_TEMPLATES = 512
MAX_SEEN = 4096
MANY_UNREAD_BYTES = 512
"""So much in a row without a weight or a known state: the line is set wrong, or is no scale."""
MANY_IDLE_LINES = 30
"""So many different lines in which the weight has never changed: it may be another number."""
_ZERO = ord("0")


class Decoder:
    """Turns the bytes of one scale into Readings, learning line shape, marks and division.

    Parameters
    ----------
    division_mg : int, milligrams, or None
        Scale interval, where it is known; None learns it.
    recipe : Recipe
        What else is known of the lines beforehand.
    """

    def __init__(self, *, division_mg: int | None = None, recipe: Recipe = OPEN) -> None:
        self._recipe = recipe
        self._given_division_mg = division_mg or recipe.division_mg
        self._division_mg = 0
        checksum = recipe.checksum
        self._splitter = LineSplitter() if checksum is None else CheckedSplitter(checksum)
        self._held: list[tuple[bytes, float]] = []
        self._at_start = True
        self._shape: Shape | None = None
        self._signs: Signs | None = None
        self._scales: dict[Resolution, Scale] = {}
        self._scale: Scale | None = None
        self._templates = Templates()
        self._seen: dict[bytes, Seen] = {}
        self._last_seen: Seen | None = None
        self._marks = MarkLearner(recipe.stable_mark)
        self._is_row_fitting = True
        self._last_mg = 0
        self._last_line = b""
        self._tally = dict.fromkeys(Status, 0)
        self._weights = 0  # not in the tally: the hash of an enum takes its time
        self._refused = ""
        self._unread_bytes = 0
        self._weights_before = 0
        self._idle_lines = 0  # different lines, the weight in them always the same; else -1
        self._out: list[Reading | DivisionLearned] = []

    @property
    def counts(self) -> Counts:
        """How many lines were given out, and how many of them held no weight."""
        return Counts(
            frames=self._weights + sum(self._tally.values()),
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
    def shape(self) -> Shape | None:
        """The shape of the lines; None until it is recognised."""
        return self._shape

    @property
    def refusal(self) -> str:
        """Why no weight can be taken from what comes now, in one plain sentence; or empty."""
        if self._idle_lines >= MANY_IDLE_LINES:
            return (
                "Each line holds several numbers, and the one that is taken for the weight never"
                " changes: let the station learn this scale with 'weighstation learn'."
            )
        if self._weights > self._weights_before:
            return ""
        if self._refused:
            return f"The scale shows {self._refused}; set it to g, kg, oz or lb."
        if self._unread_bytes >= MANY_UNREAD_BYTES:
            return (
                "What comes from the scale cannot be read: check that the speed and framing given"
                " with the port are those the scale is set to."
            )
        return ""

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
        if seen is None or not self._splitter.idle or seen.scale is not self._scale:
            self._feed_unseen(data, t_s)
        elif is_remnant(seen.line, self._last_line):
            self._give_remnant(seen.line, t_s)
        else:
            self._give_seen(seen, t_s)
        out, self._out = self._out, []
        return out

    def break_off(self, t_s: float) -> None:
        """Give up the line that has begun: its rest will not come.

        Parameters
        ----------
        t_s : float, seconds
        """
        rest = self._splitter.finish()
        if rest:
            self._give_state(rest, t_s, Status.UNREADABLE)
            self._out.clear()

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
        self._note_unread(len(data))
        for line in lines:
            self._read(line, t_s)
        if was_idle and self._splitter.idle and len(lines) == 1:
            self._remember(data, lines[0])

    def _note_unread(self, count: int) -> None:
        if self._weights > self._weights_before:
            self._weights_before = self._weights
            self._unread_bytes = 0
            self._refused = ""
        self._unread_bytes += count

    def _hold(self, line: bytes, t_s: float) -> None:
        """Keep a line until the shape is known, or until too many are waiting."""
        self._held.append((line, t_s))
        self._recognise(final=False)
        if len(self._held) > HELD_LINES:
            self._at_start = False
            self._read_without_number(*self._held.pop(0))

    def _recognise(self, *, final: bool) -> None:
        texts = [line.decode("latin-1") for line, _ in self._held if _may_be_told(line)]
        shape = recognise(texts, signs=self._signs, recipe=self._recipe, final=final)
        if shape is None and self._signs is not None:
            shape = recognise(texts, recipe=self._recipe, final=final)
        if shape is None:
            return
        self._shape = shape
        held, self._held = self._held, []
        if self._at_start and len(held) > 1 and may_lack_digits(held[0][0], held[1][0]):
            line, t_s = held.pop(0)
            self._give_state(line, t_s, Status.UNREADABLE)
        self._at_start = False
        for line, t_s in held:
            self._read(line, t_s)

    def _read(self, line: bytes, t_s: float) -> None:
        """Give out one line of a port whose shape is known."""
        shape = self._shape
        if shape is None:
            self._hold(line, t_s)
            return
        if _is_spoilt(line):
            self._give_state(line, t_s, Status.UNREADABLE)
            return
        template = self._templates.find(line)
        if template is not None and not shape.certain and line[template.start] == _ZERO:
            template = None  # a leading zero may tell a decimal sign from one for thousands
        if template is None:
            template = self._learn_template(shape, line)
        if template is None:
            self._read_unfit(line, t_s, shape)
        elif template.state is not None:
            self._give_state(line, t_s, template.state)
        elif is_remnant(line, self._last_line):
            self._give_remnant(line, t_s)
        else:
            self._give_weight(line, t_s, template)

    def _give_seen(self, seen: Seen, t_s: float) -> None:
        """Give out a line that has been read before: nothing of it can be new."""
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
        self._last_line = seen.line
        self._weights += 1
        self._out.append(Reading(t_s, gross_mg, stable, Status.WEIGHT, seen.text))

    def _give_weight(self, line: bytes, t_s: float, template: Template) -> None:
        scale = template.scale
        counts = template.counts(line)
        gross_mg = scale.resolution.mg(counts)
        if abs(gross_mg) > MAX_WEIGHT_MG:
            self._give_state(line, t_s, Status.UNREADABLE)
            return
        self._note_others(template, gross_mg)
        if scale.division.see(counts):
            self._seen.clear()
        if scale is not self._scale:
            self._change_scale(scale)
        self._say_division(t_s, self._given_division_mg or scale.division_mg)
        text = line.decode("latin-1")
        self._last_seen = Seen(line, text, gross_mg, scale, template.pattern)
        self._give_seen(self._last_seen, t_s)

    def _note_others(self, template: Template, gross_mg: int) -> None:
        """Note whether lines change in another number than the one that is taken for the weight."""
        if not template.several or self._recipe.weight_number is not None:
            return
        is_same = gross_mg == self._last_mg or not self._weights
        self._idle_lines = self._idle_lines + 1 if is_same and self._idle_lines >= 0 else -1

    def _change_scale(self, scale: Scale) -> None:
        """Go over to another unit; lines that name none follow it."""
        self._scale = scale
        if self._shape is not None and self._shape.go_over_to(scale.resolution.unit):
            self._forget_lines()

    def _forget_lines(self) -> None:
        """Forget the lines that were read in one look, for they may mean something else now."""
        self._templates.clear()
        self._seen.clear()

    def _say_division(self, t_s: float, division_mg: int) -> None:
        if division_mg != self._division_mg:
            self._division_mg = division_mg
            self._out.append(DivisionLearned(t_s, division_mg))

    def _give_state(self, line: bytes, t_s: float, state: Status) -> None:
        self._tally[state] += 1
        if state is not Status.UNREADABLE:
            self._unread_bytes = 0
        self._out.append(Reading(t_s, None, None, state, line.decode("latin-1")))

    def _give_remnant(self, line: bytes, t_s: float) -> None:
        """Give out what may be the end of the line before; said once more it is a weight."""
        self._last_line = line
        self._give_state(line, t_s, Status.UNREADABLE)

    def _read_unfit(self, line: bytes, t_s: float, shape: Shape) -> None:
        """Give out a line that fits no layout, or start over if it refutes a guess."""
        self._is_row_fitting = False
        fields = _fields(line, shape)
        signs = shape.signs_against(fields) if fields else None
        if fields is None or signs is None:
            self._read_without_number(line, t_s)
            return
        self._forget_lines()
        if shape.corrects(fields.unit, signs):
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
        if _is_spoilt(line):
            pass
        elif fields is None:
            state = state_of(text, below_zero=self._last_mg < 0)
            if state is None and self._shape and self._shape.has_blank_number(text):
                state = Status.UNDERLOAD if self._last_mg < 0 else Status.OVERLOAD
        elif fields.refused:
            self._refused = fields.refused
        self._give_state(line, t_s, state or Status.UNREADABLE)

    def _learn_template(self, shape: Shape, line: bytes) -> Template | None:
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
        if len(self._templates) >= MAX_TEMPLATES:
            self._forget_lines()
        self._templates.keep(line, template)
        return template

    def _template(self, fields: Fields, resolution: Resolution) -> Template:
        scale = self._scales.setdefault(resolution, Scale(resolution))
        after = (*fields.after, "unit") if fields.unit else fields.after
        return Template(
            start=fields.start,
            end=fields.end,
            sign=-1 if fields.sign == "-" else 1,
            scale=scale,
            pattern=self._marks.pattern(fields.before, after),
            state=state_beside_number(fields.before + fields.after),
            flags=fields.flags,
            several=fields.numbers > 1,
        )

    def _remember(self, data: bytes, line: bytes) -> None:
        """Keep the last weight under the very bytes that brought it, to be found at once."""
        seen = self._last_seen
        if seen is None or seen.line is not line or len(data) > MAX_BYTES:
            return
        if len(self._seen) >= MAX_SEEN:
            self._seen.clear()
        self._seen[data] = seen


def _is_spoilt(line: bytes) -> bool:
    """Return whether a check of the line, or of one of its characters, did not hold."""
    return type(line) is BadLine or DAMAGED in line


def _may_be_told(line: bytes) -> bool:
    """Return whether a line may be one of those by which the others are known."""
    return len(line) <= MAX_BYTES and not _is_spoilt(line)


def _fields(line: bytes, shape: Shape) -> Fields | None:
    if len(line) > MAX_BYTES:
        return None
    return read_fields(line.decode("latin-1"), shape.grammar)
