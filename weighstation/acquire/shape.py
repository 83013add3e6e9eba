"""What the lines of one port look like, and which line is none of them."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weighstation.acquire.fields import NUMBER_MARK, Fields, Grammar, is_unit
from weighstation.acquire.places import Fill, NumberPlace
from weighstation.acquire.resolution import Resolution, counts_of
from weighstation.acquire.signs import Signs, guess_signs, learn_signs

if TYPE_CHECKING:
    from weighstation.quantities import Unit

INSISTING_LINES = 3  # strangers alike in a row make a new layout
INSISTING_PAIRS = 3
_SAMPLE_RUNS = 5
_LONGEST_MARK = 8
_MOST_MARKS = 128  # no scale has so many; a line full of noise must not slow down the next
_NEAR_SHARE = 0.01
_BLANK_NUMBER = re.compile(r" {3,}")
_WORD = re.compile(r"[^\s,;]+")

PlacedMark = tuple[str, int, str]


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
class Indicated:
    """The weight that was indicated last.

    Parameters
    ----------
    gross_mg : int, milligrams
    division_mg : int, milligrams
    """

    gross_mg: int
    division_mg: int

    def is_repeated_by(self, gross_mg: int) -> bool:
        """Return whether another weight is the same, allowing for another unit's rounding."""
        near_mg = max(3 * self.division_mg, _NEAR_SHARE * abs(self.gross_mg))
        return abs(gross_mg - self.gross_mg) <= near_mg


@dataclass(slots=True)
class Shape:
    """What the lines of one port look like.

    A line fits when its number takes the room it should and its marks stand where marks stood;
    one mark may be new. Another unit is believed at once when it repeats the last weight and every
    line names its unit. What does not fit is refused until it insists, alike several times in a
    row.

    Parameters
    ----------
    unit : Unit
        What numbers without a unit are in: the unit named last.
    grammar : Grammar
    signs : dict
        What points and commas mean, by unit.
    certain : bool
        None of them is a guess.
    implied_decimals : int
        Last digits of a number without a decimal sign that are decimals.
    """

    unit: Unit
    grammar: Grammar
    signs: dict[Unit | None, Signs]
    certain: bool = True
    implied_decimals: int = 0
    places: dict[LayoutKey, NumberPlace] = field(default_factory=dict)
    _runs: list[str] = field(default_factory=list)
    _lengths: set[int] = field(default_factory=set)
    _marks: dict[PlacedMark, None] = field(default_factory=dict)  # the one seen last comes last
    _after_counts: set[int] = field(default_factory=set)
    _strangers: list[LayoutKey] = field(default_factory=list)
    _pairs: Counter[LayoutKey] = field(default_factory=Counter)
    _doubted: bool = False

    def resolution(self, key: LayoutKey) -> Resolution:
        """Return the last printed place of a layout."""
        return Resolution(key.unit or self.unit, key.decimals or self.implied_decimals)

    def fit(self, fields: Fields, last: Indicated | None) -> LayoutKey | None:
        """Return the layout of a line, learning from it, or None where it does not fit.

        Parameters
        ----------
        fields : Fields
        last : Indicated or None
            The weight before this line.

        Returns
        -------
        LayoutKey or None
        """
        signs = self.signs.get(fields.unit) or self._signs_of_new_unit(fields, last)
        decimals = signs.decimals(fields.run)
        if decimals is None or fields.refused:
            self._strangers.clear()
            return None
        key = LayoutKey(fields.unit, decimals, len(fields.before))
        if fields.spoilt or (fields.grouped and key not in self.places):
            self._strangers.clear()
            return None
        if not self._fits(fields, key, last) and not self._insists(fields, key):
            return None
        self._mean(fields.unit, signs)
        self.learn(fields, key)
        return key

    def go_over_to(self, unit: Unit) -> bool:
        """Take another unit for lines that name none; return True if there are such lines.

        Parameters
        ----------
        unit : Unit

        Returns
        -------
        bool
        """
        changed, self.unit = self.unit is not unit, unit
        return changed and any(key.unit is None for key in self.places)

    def learn(self, fields: Fields, key: LayoutKey) -> None:
        """Take a line in as one of this shape.

        Parameters
        ----------
        fields : Fields
        key : LayoutKey
        """
        self.places.setdefault(key, NumberPlace.of(fields))
        self._lengths.add(fields.length)
        self._know_marks(fields)
        self._after_counts.add(len(fields.after))
        self.forget_strangers()
        if not self.certain:
            self._runs = [*self._runs[-_SAMPLE_RUNS:], fields.run]
            known = learn_signs(self._runs)
            if known.certain and known.decimal == self.signs[fields.unit].decimal:
                self._mean(fields.unit, known)

    def _know_marks(self, fields: Fields) -> None:
        for mark in _placed_marks(fields):
            self._marks.pop(mark, None)
            self._marks[mark] = None
        while len(self._marks) > _MOST_MARKS:
            del self._marks[next(iter(self._marks))]

    def _mean(self, unit: Unit | None, signs: Signs) -> None:
        self.signs[unit] = signs
        self.certain = all(known.certain for known in self.signs.values())

    def signs_against(self, fields: Fields) -> Signs | None:
        """Return what points and commas must mean instead, if lines in a row refute a guess.

        Parameters
        ----------
        fields : Fields
            Of a line that does not fit.

        Returns
        -------
        Signs or None
            None for the first such line: it may be torn.
        """
        guess = self.signs.get(fields.unit)
        if guess is None or guess.certain:
            return None
        known = learn_signs([*self._runs, fields.run])
        if not known.certain or known.decimal == guess.decimal:
            return None
        doubted, self._doubted = self._doubted, True
        return known if doubted else None

    def corrects(self, unit: Unit | None, signs: Signs) -> bool:
        """Take what points and commas mean in one unit; False where nothing else is certain.

        Parameters
        ----------
        unit : Unit or None
        signs : Signs

        Returns
        -------
        bool
        """
        others = [known for other, known in self.signs.items() if other is not unit]
        if not any(known.certain for known in others):
            return False
        self._mean(unit, signs)
        self.places = {key: place for key, place in self.places.items() if key.unit is not unit}
        return True

    def forget_strangers(self) -> None:
        """Take note that a line came which ends a row of strangers."""
        self._strangers.clear()
        self._doubted = False

    def decimal_sign(self, unit: Unit) -> str:
        """Return the decimal sign of a unit; empty where numbers are whole.

        Parameters
        ----------
        unit : Unit

        Returns
        -------
        str
        """
        return self.signs[unit if unit in self.signs else None].decimal

    def has_blank_number(self, text: str) -> bool:
        """Return whether a line is whole but for blanks in place of its number.

        Parameters
        ----------
        text : str

        Returns
        -------
        bool
        """
        known = {mark for _, _, mark in self._marks}
        words = _WORD.findall(text)
        return (
            len(text) in self._lengths
            and _BLANK_NUMBER.search(text) is not None
            and all(word in known or is_unit(word) for word in words)
        )

    def _signs_of_new_unit(self, fields: Fields, last: Indicated | None) -> Signs:
        """Return the reading of a new unit that repeats the last weight, else a guess."""
        for signs in (Signs(""), Signs("."), Signs(",")):
            decimals = signs.decimals(fields.run)
            if last and decimals is not None:
                resolution = Resolution(fields.unit or self.unit, decimals)
                if last.is_repeated_by(resolution.mg(_signed_counts(fields))):
                    return signs
        return guess_signs(learn_signs([fields.run]), fields.unit)

    def _fits(self, fields: Fields, key: LayoutKey, last: Indicated | None) -> bool:
        if not self._marks_fit(fields):
            return False
        place = self.places.get(key)
        if place is not None:
            return place.accepts(fields)
        units = {known.unit for known in self.places}
        if key.unit is None or key.unit in units:
            return self._is_blanked(fields, key)
        if None in units and key.unit is not self.unit:
            return False
        gross_mg = self.resolution(key).mg(_signed_counts(fields))
        return last is not None and last.is_repeated_by(gross_mg)

    def _is_blanked(self, fields: Fields, key: LayoutKey) -> bool:
        """Return whether a layout is a known one with blanks for its first mark or its unit."""
        longer = LayoutKey(key.unit, key.decimals, key.before + 1)
        shorter = LayoutKey(key.unit, key.decimals, key.before - 1)
        named = LayoutKey(self.unit, key.decimals, key.before)
        return fields.length in self._lengths and (
            shorter in self.places
            or (longer in self.places and fields.indented)
            or (key.unit is None and named in self.places)
        )

    def _insists(self, fields: Fields, key: LayoutKey) -> bool:
        """Return whether strangers alike came three in a row, or in their third pair."""
        if self._strangers and self._strangers[-1] != key:
            self._strangers.clear()
        self._strangers.append(key)
        if len(self._strangers) == 2:
            self._pairs[key] += 1
        if len(self._strangers) < INSISTING_LINES and self._pairs[key] < INSISTING_PAIRS:
            return False
        if key in self.places and not self.places[key].accepts(fields):
            self.places[key].fill = Fill.LOOSE
        return True

    def _marks_fit(self, fields: Fields) -> bool:
        if min(abs(len(fields.after) - count) for count in self._after_counts) > 1:
            return False
        unknown = [mark for mark in _placed_marks(fields) if mark not in self._marks]
        return len(unknown) <= 1 and all(self._is_plausible(mark, fields) for mark in unknown)

    def _is_plausible(self, new: PlacedMark, fields: Fields) -> bool:
        """Return whether a mark not seen before may be one, and no remnant of another."""
        side, place, mark = new
        if mark == NUMBER_MARK or len(mark) > _LONGEST_MARK or not mark.isascii():
            return False
        if side == ">" or place < len(fields.before) - 1:
            return True
        return not any(
            known.endswith(mark) for there, at, known in self._marks if (there, at) == (side, place)
        )

    def __str__(self) -> str:
        key = next(iter(self.places))
        sign = {"": "", ".": " after a point", ",": " after a comma"}[self.signs[key.unit].decimal]
        decimals = f"{key.decimals or 'no'} decimal{'' if key.decimals == 1 else 's'}{sign}"
        named = f"in {key.unit.value}" if key.unit else f"with no unit, taken as {self.unit.value}"
        before = _count_words(len({at for side, at, _ in self._marks if side == "<"}))
        after = _count_words(len({at for side, at, _ in self._marks if side == ">"}))
        return f"{before} before a number with {decimals} {named}, {after} after it"


def _signed_counts(fields: Fields) -> int:
    counts = counts_of(fields.run)
    return -counts if fields.sign == "-" else counts


def _placed_marks(fields: Fields) -> list[PlacedMark]:
    """Return the marks with their side and how many others are nearer to the number."""
    before = [("<", place, mark) for place, mark in enumerate(reversed(fields.before))]
    return before + [(">", place, mark) for place, mark in enumerate(fields.after)]


def _count_words(count: int) -> str:
    return f"{count or 'no'} mark{'' if count == 1 else 's'}"
