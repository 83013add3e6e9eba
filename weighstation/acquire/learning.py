"""Arrivals of an unknown scale -> what can be known of it, and what cannot be told from them.

An empty pan and one load are enough for most. Every property is settled over all lines, and where
two values of it explain them equally well it is named as open rather than guessed: a person, or a
load of known mass, then decides.
"""

from __future__ import annotations

import statistics
from dataclasses import dataclass, replace
from itertools import pairwise
from math import gcd
from typing import TYPE_CHECKING

from weighstation.acquire.checksum import find_checksums
from weighstation.acquire.commas import may_part_fields
from weighstation.acquire.decoder import Decoder
from weighstation.acquire.division import step_below
from weighstation.acquire.fields import varying_numbers
from weighstation.acquire.recipe import Recipe
from weighstation.acquire.stillness import Indication, Plateaus
from weighstation.acquire.suspects import find_stable_mark
from weighstation.events import Reading
from weighstation.quantities import MG_PER_UNIT, Unit

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from fractions import Fraction

    from weighstation.acquire.checksum import Checksum
    from weighstation.acquire.recording import Arrival
    from weighstation.acquire.resolution import Resolution
    from weighstation.acquire.shape import Shape

CHANCE = 0.001
"""A division is believed where a finer one would look like it more rarely."""
_MOST_IMPLIED = 4
_PERIODS = (2, 3, 4)
_TURNS_SHARE = 0.8
_SMALL_STEP = 10  # counts: what a scale may flicker by where its division is not known
_NEAR_SHARE = 0.03
_SEPARATORS = frozenset(".,")
_LINE_ENDS = (b"\r", b"\n", b"\x03")

UNIT, SCALE, DECIMAL_SIGN = "unit", "scale", "decimal sign"
DIVISION, STABLE_MARK, CHECKSUM, SHAPE = "division", "stable mark", "checksum", "line shape"
NUMBER, COMMA = "which number", "comma"


@dataclass(frozen=True, slots=True)
class Learned:
    """What was learned about a scale.

    Parameters
    ----------
    recipe : Recipe
        What a decoder needs, as far as it is known; a guess where it is open.
    unit : Unit or None
        What the weights are in.
    decimals : int
        Decimals shown in that unit.
    decimal_sign : str
        ``.``, ``,`` or empty where numbers are whole.
    shape : str
        The line in words; empty where no weight was found.
    readings_per_s : float or None, per second
    settle_s : float or None, seconds
        From the first reading that moved to the first that stayed, for the largest change seen.
    open : tuple of str
        Names of what could not be told.
    seen : tuple of Reading
        All lines, with what was read from them.
    refusal : str
        Why no weight could be read, or empty.
    load_mg : int or None, milligrams
        What the load weighs as it is read here; None where none was put on.
    fits_load : bool or None
        Whether that is what a person said it weighs; None where nobody said.
    """

    recipe: Recipe
    unit: Unit | None
    decimals: int
    decimal_sign: str
    shape: str
    readings_per_s: float | None
    settle_s: float | None
    open: tuple[str, ...]
    seen: tuple[Reading, ...]
    refusal: str = ""
    load_mg: int | None = None
    fits_load: bool | None = None


def learn(arrivals: Sequence[Arrival], *, known_load_mg: int | None = None) -> Learned:
    """Return what some arrivals tell about the scale that sent them.

    Parameters
    ----------
    arrivals : sequence of Arrival
        Some seconds of an empty pan, and a load.
    known_load_mg : int, milligrams, or None
        What the load weighs, where a person said so; settles unit, decimals and decimal sign.

    Returns
    -------
    Learned
    """
    checksums = find_checksums(b"".join(data for _, data in arrivals))
    recipe = Recipe(checksum=checksums[0] if checksums else None)
    numbers = _weight_numbers(arrivals, recipe)
    if len(numbers) == 1:
        recipe = replace(recipe, weight_number=numbers[0])
    told, is_sole = None, len(numbers) < 2
    if known_load_mg is not None:
        told, is_sole = _told_of_numbers(arrivals, recipe, numbers, known_load_mg)
    learned = _learned(arrivals, told or recipe, checksums, known=told is not None)
    if not is_sole:
        learned = replace(learned, open=(*learned.open, NUMBER))
    return replace(learned, fits_load=None if known_load_mg is None else told is not None)


def _learned(
    arrivals: Sequence[Arrival], recipe: Recipe, checksums: tuple[Checksum, ...], *, known: bool
) -> Learned:
    shape, seen, refusal = _read(arrivals, recipe)
    rows = () if shape is None else _rows(seen, shape)
    if _take_turns(rows):
        refusal = "Lines of several kinds take turns; set the scale to send one kind only."
        return Learned(recipe, None, 0, "", "", None, None, (SHAPE,), seen, refusal)
    if shape is None or not rows:
        refusal = refusal or _why_nothing(arrivals)
        return Learned(recipe, None, 0, "", "", None, None, (SHAPE,), seen, refusal)
    resolution = _resolution(rows)
    counts = [row.counts for row in rows if row.resolution == resolution]
    step = step_below(gcd(*counts)) if any(counts) else 1
    is_sure = resolution.mg(step) > 0 and _is_division_sure(counts, step)
    plateaus = Plateaus.of(rows, resolution.mg(step if is_sure else min(step, _SMALL_STEP)))
    mark = find_stable_mark(rows, plateaus)
    opened = [CHECKSUM] if len(checksums) > 1 else []
    opened += [] if known else _open_of_numbers(rows, shape)
    weighed = [one.raw for one in seen if one.gross_mg is not None]
    if may_part_fields([row.run for row in rows], weighed):
        opened, is_sure = [*opened, COMMA], False
    opened += [] if is_sure else [DIVISION]
    opened += [STABLE_MARK] if mark.is_open else []
    learned = replace(recipe, stable_mark=mark.mark, unit=shape.unit)
    if DIVISION not in opened:
        learned = replace(learned, division_mg=resolution.mg(step))
    if DECIMAL_SIGN not in opened and shape.decimal_sign(resolution.unit):
        learned = replace(learned, decimal_sign=shape.decimal_sign(resolution.unit))
    return Learned(
        recipe=learned,
        unit=resolution.unit,
        decimals=resolution.decimals,
        decimal_sign=shape.decimal_sign(resolution.unit),
        shape=str(shape),
        readings_per_s=_rate([row.t_s for row in rows]),
        settle_s=plateaus.settle_s,
        open=tuple(opened),
        seen=_read(arrivals, learned)[1],
        refusal=refusal,
        load_mg=plateaus.step_mg,
    )


def _why_nothing(arrivals: Iterable[Arrival]) -> str:
    """Return why no line was read, as far as it can be seen."""
    came = b"".join(data for _, data in arrivals)
    if not came:
        return "Nothing came from the scale: set it to send all the time."
    if not any(end in came for end in _LINE_ENDS):
        return (
            f"{len(came)} bytes came, and no line end among them (CR, LF or ETX): set the scale to"
            " end its lines with one, and check speed and framing."
        )
    return ""


def _read(
    arrivals: Iterable[Arrival], recipe: Recipe
) -> tuple[Shape | None, tuple[Reading, ...], str]:
    decoder = Decoder(recipe=recipe)
    items = [item for t_s, data in arrivals for item in decoder.feed(data, t_s)]
    items += decoder.finish()
    seen = tuple(item for item in items if isinstance(item, Reading))
    return decoder.shape, seen, decoder.refusal


def _take_turns(rows: Sequence[Indication]) -> bool:
    """Say whether lines with different words follow each other round and round."""
    words = [row.marks for row in rows]
    turns = sum(before != after for before, after in pairwise(words))
    return (
        any(
            sum(words[at] == words[at - period] for at in range(period, len(words)))
            > _TURNS_SHARE * len(words)
            for period in _PERIODS
        )
        and turns > _TURNS_SHARE * len(words) * 2 / 3
    )


def _weight_numbers(arrivals: Sequence[Arrival], recipe: Recipe) -> list[int]:
    """Return which numbers of the lines vary as a weight does."""
    shape, seen, _ = _read(arrivals, recipe)
    if shape is None:
        return []
    texts = [reading.raw for reading in seen if reading.gross_mg is not None]
    return varying_numbers(texts, shape.grammar)


def _rows(seen: Iterable[Reading], shape: Shape) -> tuple[Indication, ...]:
    rows = (Indication.of(reading, shape) for reading in seen if reading.gross_mg is not None)
    return tuple(row for row in rows if row is not None)


def _resolution(rows: Sequence[Indication]) -> Resolution:
    """Return the resolution of most lines."""
    return statistics.mode(row.resolution for row in rows)


def _open_of_numbers(rows: Sequence[Indication], shape: Shape) -> list[str]:
    """Return what the numbers leave open when nobody says what the load weighs."""
    opened = [] if any(row.unit_named for row in rows) else [UNIT]
    has_sign = any(_SEPARATORS & set(row.run) for row in rows)
    if has_sign and not shape.certain:
        opened.append(DECIMAL_SIGN)
    if opened and not has_sign:
        opened.append(SCALE)
    return opened


def _is_division_sure(counts: Sequence[int], step: int) -> bool:
    """Say whether no finer division explains the values: by their number, or by a flicker.

    A display that goes to and fro by one step at rest shows its division; and of steps that are
    multiples of a finer one, each is by chance one of the coarser in so many. Equal steps, as of
    an average that climbs evenly to one load, tell no more than one of them.
    """
    steps = {abs(after - before) for before, after in pairwise(counts) if after != before}
    flickers = sum(
        abs(after - before) == step and before == again
        for before, after, again in zip(counts, counts[1:], counts[2:], strict=False)
    )
    if not any(counts):
        return False
    if step == 1 or flickers:
        return True
    finer = next(finer for finer in _steps_below(step) if step % finer == 0)
    return bool((finer / step) ** len(steps) <= CHANCE)


def _steps_below(step: int) -> Iterable[int]:
    """Yield the steps of scales below one, the coarsest first: 5, 2, 1 times powers of ten."""
    power = 10 ** len(str(step))
    while power >= 1:
        yield from (first * power for first in (5, 2, 1) if first * power < step)
        power //= 10


def _rate(times_s: Sequence[float]) -> float | None:
    """Return readings a second, from the usual time between two; bursts are spread out."""
    waits_s = [after - before for before, after in pairwise(times_s)]
    if not waits_s or times_s[-1] <= times_s[0]:
        return None
    usual_s = statistics.median(waits_s)
    return 1 / usual_s if usual_s > 0 else len(waits_s) / (times_s[-1] - times_s[0])


def _told_of_numbers(
    arrivals: Sequence[Arrival], recipe: Recipe, numbers: Sequence[int], load_mg: int
) -> tuple[Recipe | None, bool]:
    """Return what the known load tells, and whether only one number can be meant.

    A total or a deviation grows by the load too, but the empty pan is not its zero. Numbers that
    weigh the same on every line are one weight in two units.
    """
    tries = [replace(recipe, weight_number=number) for number in numbers or (None,)]
    fits = [told for tried in tries if (told := _told_by_load(arrivals, tried, load_mg))]
    if not fits:
        return None, len(numbers) < 2
    near_mg = _NEAR_SHARE * load_mg
    lowest_mg = [min(_plateaus(arrivals, told).levels_mg) for told in fits]
    zeroed = [told for told, low_mg in zip(fits, lowest_mg, strict=True) if abs(low_mg) <= near_mg]
    chosen, *others = zeroed or fits
    return chosen, all(_weigh_alike(arrivals, chosen, other, near_mg) for other in others)


def _weigh_alike(arrivals: Sequence[Arrival], one: Recipe, other: Recipe, near_mg: float) -> bool:
    pairs = zip(_read(arrivals, one)[1], _read(arrivals, other)[1], strict=False)
    return all(
        a.gross_mg is None or b.gross_mg is None or abs(a.gross_mg - b.gross_mg) <= near_mg
        for a, b in pairs
    )


def _told_by_load(arrivals: Sequence[Arrival], recipe: Recipe, load_mg: int) -> Recipe | None:
    """Return the only reading of the numbers that gives the known load, if there is just one."""
    shape, seen, _ = _read(arrivals, recipe)
    rows = () if shape is None else _rows(seen, shape)
    if shape is None or not rows:
        return None
    fitting: dict[int, Recipe] = {}
    for tried in _readings_of(rows, shape, recipe):
        shown_mg = _plateaus(arrivals, tried).step_mg
        if shown_mg is not None and abs(shown_mg - load_mg) <= _NEAR_SHARE * load_mg:
            fitting.setdefault(abs(shown_mg - load_mg), tried)
    return fitting[min(fitting)] if fitting else None


def _readings_of(rows: Sequence[Indication], shape: Shape, recipe: Recipe) -> Iterable[Recipe]:
    """Yield the ways in which unit and separators of the numbers may be meant, the likelier first.

    Some mean the same mass: 1,371 kg with a decimal comma, and 1,371 g in thousands.
    """
    opened = _open_of_numbers(rows, shape)
    units = list(Unit) if UNIT in opened else [None]
    signs = {char for row in rows for char in row.run if char in _SEPARATORS}
    decimals = range(_MOST_IMPLIED + 1) if SCALE in opened else range(1)
    for sign in (*signs, "") if DECIMAL_SIGN in opened else (None,):
        for implied in decimals:
            for unit in units:
                yield replace(recipe, unit=unit, implied_decimals=implied, decimal_sign=sign)


def _plateaus(arrivals: Sequence[Arrival], recipe: Recipe) -> Plateaus:
    """Return where some lines stand still when read in one way."""
    shape, seen, _ = _read(arrivals, recipe)
    rows = () if shape is None else _rows(seen, shape)
    return Plateaus.of(rows, _resolution(rows).mg(1)) if rows else Plateaus((), (), (), None)


def exact_division_g(learned: Learned) -> Fraction | None:
    """Return the division as the scale means it, before it is rounded to milligrams.

    Parameters
    ----------
    learned : Learned

    Returns
    -------
    Fraction, grams, or None
        None where it is open.
    """
    if learned.unit is None or DIVISION in learned.open or learned.recipe.division_mg is None:
        return None
    per_count_mg: Fraction = MG_PER_UNIT[learned.unit] / 10**learned.decimals
    return round(learned.recipe.division_mg / per_count_mg) * per_count_mg / 1000
