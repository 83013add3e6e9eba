"""The first lines of a port -> the shape that its other lines must have."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from weighstation.acquire.fields import NUMBER_MARK, Fields, Signs, learn_signs, read_fields
from weighstation.quantities import Unit

if TYPE_CHECKING:
    from collections.abc import Sequence

ENOUGH_LINES = 3  # no line of a wrong baud rate ever parsed, three alike are safe
PATIENCE_LINES = 5  # beyond that an unclear decimal sign is guessed
INSISTING_LINES = 3  # strangers alike in a row that make a new layout
_LONGEST_MARK = 8
_NEAR_SHARE = 0.01


class Fill(Enum):
    """How the place of the number is filled."""

    UNKNOWN = "unknown"
    PADDED = "padded"
    TIGHT = "tight"
    LOOSE = "loose"


@dataclass(slots=True)
class NumberPlace:
    """The characters between the mark before the number and the mark after it.

    A padded number always takes the same room, a tight one only what its digits need; either way
    a number that lost its first digits does not fit.

    Parameters
    ----------
    width : int
        Characters, blanks included, for a number without a minus sign.
    digits : int
        Characters of the number itself.
    plus : bool
        Positive numbers carry a sign.
    """

    width: int
    digits: int
    plus: bool
    fill: Fill = Fill.UNKNOWN

    @classmethod
    def of(cls, fields: Fields) -> NumberPlace:
        """Return the place that one number shows."""
        place = cls(fields.width, len(fields.run), plus=fields.sign == "+")
        place.fill = Fill.PADDED if _has_leading_zero(fields.run) else Fill.UNKNOWN
        return place

    def accepts(self, fields: Fields) -> bool:
        """Return whether a number fits, and learn from it when it does."""
        if self.fill is Fill.LOOSE:
            return True
        if self.plus and not fields.sign and fields.run.strip("0.,"):
            return False
        minus = fields.sign == "-" and not self.plus
        fits_padded = fields.width == self.width or (minus and fields.width == self.width + 1)
        grown = fields.width - self.width - (len(fields.run) - self.digits)
        fits_tight = grown == 0 or (minus and grown == 1)
        padded = fits_padded or self._overflows(fields)
        if self.fill is Fill.PADDED:
            return padded
        if self.fill is Fill.TIGHT:
            return fits_tight
        if len(fields.run) == self.digits:
            return fits_padded
        return self._decide(fields, padded=fits_padded, tight=fits_tight)

    def _decide(self, fields: Fields, *, padded: bool, tight: bool) -> bool:
        if padded or _has_leading_zero(fields.run):
            self.fill = Fill.PADDED
            return padded
        if tight:
            self.fill = Fill.TIGHT
        return tight

    def _overflows(self, fields: Fields) -> bool:
        """Return whether a number has outgrown its padded place."""
        blanks = fields.width - len(fields.run) - len(fields.sign)
        return fields.width > self.width and blanks <= 1 and not _has_leading_zero(fields.run)


def _has_leading_zero(run: str) -> bool:
    return run[:1] == "0" and run[1:2].isdigit()


@dataclass(frozen=True, slots=True)
class LayoutKey:
    """What tells one layout of a port from another.

    Parameters
    ----------
    unit : Unit or None
        None where the line names none.
    decimals : int
    before : int
        Marks before the number.
    """

    unit: Unit | None
    decimals: int
    before: int


@dataclass(frozen=True, slots=True)
class LineContext:
    """What is known when a line is judged.

    Parameters
    ----------
    length : int
        Characters of the line.
    starts_blank : bool
    last_mg : int, milligrams, or None
        The weight before it.
    division_mg : int, milligrams
    gross_mg : int, milligrams
        What this line would say.
    """

    length: int
    starts_blank: bool
    last_mg: int | None
    division_mg: int
    gross_mg: int

    @property
    def repeats(self) -> bool:
        """Whether the line says the same weight as the one before it, allowing for rounding."""
        if self.last_mg is None:
            return False
        near_mg = max(3 * self.division_mg, _NEAR_SHARE * abs(self.last_mg))
        return abs(self.gross_mg - self.last_mg) <= near_mg


@dataclass(slots=True)
class Shape:
    """What the lines of one port look like.

    Parameters
    ----------
    signs : Signs
    unit : Unit
        What numbers without a unit are in.
    named : bool
        The unit stands in the lines.
    """

    signs: Signs
    unit: Unit
    named: bool
    places: dict[LayoutKey, NumberPlace] = field(default_factory=dict)
    lengths: set[int] = field(default_factory=set)
    _marks: set[tuple[str, int, str]] = field(default_factory=set)
    _after_counts: set[int] = field(default_factory=set)
    _strangers: list[tuple[LayoutKey, int]] = field(default_factory=list)

    def key(self, fields: Fields) -> LayoutKey | None:
        """Return the layout that a line would have, or None where it can have none."""
        decimals = self.signs.decimals(fields.run)
        if decimals is None or fields.refused:
            return None
        return LayoutKey(fields.unit, decimals, len(fields.before))

    def learn(self, fields: Fields, key: LayoutKey, length: int) -> None:
        """Take a line in as one of this shape."""
        if key not in self.places:
            self.places[key] = NumberPlace.of(fields)
        self.lengths.add(length)
        self._marks.update(_placed_marks(fields))
        self._after_counts.add(len(fields.after))
        self._strangers.clear()

    def accepts(self, fields: Fields, key: LayoutKey, context: LineContext) -> bool:
        """Return whether a line fits: at once, or because the third alike in a row insists."""
        if self._fits(fields, key, context):
            self.learn(fields, key, context.length)
            return True
        stranger = (key, len(fields.after))
        if self._strangers and self._strangers[-1] != stranger:
            self._strangers.clear()
        self._strangers.append(stranger)
        if len(self._strangers) < INSISTING_LINES:
            return False
        if key in self.places and not self.places[key].accepts(fields):
            self.places[key].fill = Fill.LOOSE
        self.learn(fields, key, context.length)
        return True

    def reject(self) -> None:
        """Take note of a line that can have no layout."""
        self._strangers.clear()

    def _fits(self, fields: Fields, key: LayoutKey, context: LineContext) -> bool:
        place = self.places.get(key)
        if place is None:
            return self._is_sister(key, context) and self._marks_fit(fields)
        return self._marks_fit(fields) and place.accepts(fields)

    def _is_sister(self, key: LayoutKey, context: LineContext) -> bool:
        """Return whether an unseen layout is only another unit, or a blank for a first mark."""
        if key.unit and all(known.unit is not key.unit for known in self.places):
            return context.repeats
        blanked = any(
            known.unit is key.unit
            and known.decimals == key.decimals
            and known.before == key.before + 1
            for known in self.places
        )
        return blanked and context.starts_blank and context.length in self.lengths

    def _marks_fit(self, fields: Fields) -> bool:
        if min(abs(len(fields.after) - count) for count in self._after_counts) > 1:
            return False
        unknown = [mark for mark in _placed_marks(fields) if mark not in self._marks]
        return len(unknown) <= 1 and all(self._is_plausible(*mark) for mark in unknown)

    def _is_plausible(self, side: str, place: int, mark: str) -> bool:
        """Return whether a mark not seen before may be one, and no remnant of another."""
        if mark == NUMBER_MARK or len(mark) > _LONGEST_MARK or not mark.isascii():
            return False
        torn = side == "<" and place == 0
        return not torn or not any(
            known.endswith(mark) for there, at, known in self._marks if (there, at) == (side, place)
        )

    def words(self) -> str:
        """Return the shape in words."""
        key = next(iter(self.places))
        sign = {"": "", ".": " after a point", ",": " after a comma"}[self.signs.decimal]
        decimals = f"{key.decimals} decimals{sign}" if key.decimals != 1 else f"1 decimal{sign}"
        if not key.decimals:
            decimals = "no decimals"
        parts = [
            _count_words("<", self._marks, "before"),
            f"a number with {decimals}",
            f"in {self.unit.value}"
            if self.named
            else f"without a unit, taken as {self.unit.value}",
            _count_words(">", self._marks, "after"),
        ]
        return ", ".join(part for part in parts if part)


def _placed_marks(fields: Fields) -> list[tuple[str, int, str]]:
    before = [("<", place, mark) for place, mark in enumerate(fields.before)]
    return before + [(">", place, mark) for place, mark in enumerate(fields.after)]


def _count_words(side: str, marks: set[tuple[str, int, str]], where: str) -> str:
    places = {place for there, place, _ in marks if there == side}
    if not places:
        return ""
    return f"{len(places)} mark{'s' if len(places) > 1 else ''} {where} it"


def recognise(texts: Sequence[str], *, signs: Signs | None, final: bool) -> Shape | None:
    """Return the shape that most of some lines have, or None while they do not tell.

    Parameters
    ----------
    texts : sequence of str
        Lines in the order they came.
    signs : Signs or None
        What points and commas mean, where that is known already.
    final : bool
        No more lines will come: be content with fewer.

    Returns
    -------
    Shape or None
    """
    alike = _alike([read_fields(text, signs) for text in texts])
    if len(alike) < (1 if final else ENOUGH_LINES):
        return None
    signs = signs or learn_signs(fields.run for fields in alike)
    if not signs.certain:
        if len(alike) < PATIENCE_LINES and not final:
            return None
        signs = _guess(signs, alike[0].unit)
    if signs.comma_cuts:
        alike = _alike([read_fields(text, signs) for text in texts])
    return _shape_of(alike, signs, final=final)


def _alike(parsed: Sequence[Fields | None]) -> list[Fields]:
    """Return the lines that share unit and marks in front with most of the others."""
    good = [fields for fields in parsed if fields and not fields.refused]
    if not good:
        return []
    counts = Counter((fields.unit, len(fields.before)) for fields in good)
    most = counts.most_common(1)[0][0]
    return [fields for fields in good if (fields.unit, len(fields.before)) == most]


def _guess(signs: Signs, unit: Unit | None) -> Signs:
    """Return the likelier of two readings of ``1,234``: no dough is weighed to the milligram."""
    return Signs("", certain=False) if unit is Unit.GRAM else signs


def _shape_of(alike: list[Fields], signs: Signs, *, final: bool) -> Shape | None:
    counts = Counter(signs.decimals(fields.run) for fields in alike)
    decimals, count = counts.most_common(1)[0]
    if decimals is None or count < (1 if final else ENOUGH_LINES):
        return None
    unit = alike[0].unit or (Unit.KILOGRAM if decimals == 3 else Unit.GRAM)
    shape = Shape(signs, unit, named=alike[0].unit is not None)
    newest_first = [fields for fields in reversed(alike) if signs.decimals(fields.run) == decimals]
    for fields in newest_first:
        key = shape.key(fields)
        if key and (key not in shape.places or shape.places[key].accepts(fields)):
            shape.learn(fields, key, 0)
    return shape
