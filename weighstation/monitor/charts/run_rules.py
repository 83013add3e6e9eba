"""Run rules: patterns that chance seldom makes, each by the name of its zone and run length."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.charts.signals import Numbers, Rule, Signal
from weighstation.monitor.given import positive
from weighstation.monitor.weights import floats
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from weighstation.monitor.weights import Floats

    Flags = NDArray[np.bool_]
    Found = Iterable[tuple[Flags, int]]

WESTERN_ELECTRIC = (Rule.BEYOND_3_SIGMA, Rule.TWO_OF_3, Rule.FOUR_OF_5, Rule.EIGHT_ON_ONE_SIDE)
"""The zone rules of the Statistical Quality Control Handbook of 1956 (from memory)."""
NELSON = (
    Rule.BEYOND_3_SIGMA,
    Rule.NINE_ON_ONE_SIDE,
    Rule.SIX_RISING_OR_FALLING,
    Rule.FOURTEEN_ALTERNATING,
    Rule.TWO_OF_3,
    Rule.FOUR_OF_5,
    Rule.FIFTEEN_WITHIN_1_SIGMA,
    Rule.EIGHT_OUTSIDE_1_SIGMA,
)
"""Nelson's tests, Journal of Quality Technology 16 (1984) 237 (from memory)."""


def run_rules(
    points: Iterable[float],
    *,
    centre: float,
    sigma: float,
    rules: Iterable[Rule | str] | str = WESTERN_ELECTRIC,
    numbers: Sequence[int] | None = None,
) -> tuple[Signal, ...]:
    """Return where run rules are met.

    Parameters
    ----------
    points : (n,) iterable of float, grams
        In order; none is fine.
    centre : float, grams
    sigma : float, grams
        Spread of the points.
    rules : iterable of Rule or str, or one of them
        By the names of `Rule`; `WESTERN_ELECTRIC` and `NELSON` are the published sets.
    numbers : (n,) sequence of int or None
        What the points are called in the sentences; None counts them from 1.

    Returns
    -------
    tuple of Signal
        In the order of the points. A point beyond three sigma signals each time; a pattern signals
        where it comes to be met, and not again while it goes on.

    Raises
    ------
    SpecificationError
        If a rule is unknown, ``sigma`` is not above 0, or a point is not a finite number.

    Notes
    -----
    A point on a zone's edge is not beyond it. On one side means strictly above or below the centre.
    Each rule more makes more false alarms: all four zone rules together, one in 92 points of
    independent normal values (Champ and Woodall, Technometrics 29 (1987) 393, from memory,
    recomputed).

    Examples
    --------
    >>> [signal.index for signal in run_rules([1.0] * 9, centre=0.0, sigma=10.0)]
    [7]
    """
    asked = [known_rule(rule) for rule in ((rules,) if isinstance(rules, str) else rules)]
    positive(sigma, "sigma")
    if not is_number(centre):
        raise SpecificationError(f"centre must be a finite number, not {in_words(centre)}.")
    values = floats(points, what="A run rule", least=0)
    names = Numbers(numbers, len(values))
    z = (values - centre) / sigma
    found = [signal for rule in asked for signal in _signals(rule, z, names)]
    return tuple(sorted(found, key=lambda signal: signal.index))


def known_rule(rule: Rule | str) -> Rule:
    """Return a run rule by its name.

    Parameters
    ----------
    rule : Rule or str

    Returns
    -------
    Rule

    Raises
    ------
    SpecificationError
        If there is none of that name.
    """
    try:
        known = Rule(rule)
    except ValueError:
        known = None
    if known is None or known not in _FINDERS:
        names = ", ".join(f"'{name}'" for name in _FINDERS)
        raise SpecificationError(f"There is no run rule '{rule}'.", hint=f"The rules are {names}.")
    return known


def _signals(rule: Rule, z: Floats, names: Numbers) -> Iterator[Signal]:
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    length, find, text = _FINDERS[rule]
    if not len(z):
        return
    for met, side in find(z):
        newly = met if length == 1 else met & ~np.concatenate(([False], met[:-1]))
        for index in np.flatnonzero(newly).tolist():
            first = max(0, index - length + 1)
            said = f"{names.span(first, index)}{text[side]}"
            yield Signal(index, rule, said, first, side)


def _sides(z: Floats, at_least: int, of: int, beyond: float) -> Found:
    """Find so many of the last so many beyond a zone's edge, on each side."""
    for flags, side in ((z > beyond, 1), (z < -beyond, -1)):
        yield _count_of(flags, of) >= at_least, side


def _trend(z: Floats) -> Found:
    """Find six points in a row that rise, or fall: five steps of one sign."""
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    steps = np.diff(z, prepend=z[0])
    for side in (1, -1):
        yield _count_of(side * steps > 0, 5) >= 5, side


def _alternating(z: Floats) -> Found:
    """Find fourteen points in a row that go up and down by turns: twelve turns."""
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    steps = np.diff(z)
    turns = np.zeros(len(z), dtype=bool)
    turns[2:] = steps[1:] * steps[:-1] < 0
    yield _count_of(turns, 12) >= 12, 0


def _within(z: Floats) -> Found:
    yield _count_of(abs(z) < 1, 15) >= 15, 0


def _outside(z: Floats) -> Found:
    """Find eight in a row beyond one sigma, with some on each side."""
    out = _count_of(abs(z) > 1, 8) >= 8
    above = _count_of(z > 1, 8)
    yield out & (above > 0) & (above < 8), 0


def _count_of(flags: Flags, of: int) -> NDArray[np.int8]:
    """Return, at each place, how many of the last so many are set."""
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    ones = flags.view(np.int8)
    total = ones.copy()
    for back in range(1, of):
        total[back:] += ones[:-back]
    return total


_HEAVY_OR_LIGHT = {1: "heavy", -1: "light"}


def _one_sided(sentence: str) -> dict[int, str]:
    return {side: sentence.format(word) for side, word in _HEAVY_OR_LIGHT.items()}


_FINDERS: dict[Rule, tuple[int, Callable[[Floats], Found], dict[int, str]]] = {
    Rule.BEYOND_3_SIGMA: (
        1,
        lambda z: _sides(z, 1, 1, 3.0),
        _one_sided(" lies far on the {} side: chance alone does that to 1 in 740."),
    ),
    Rule.TWO_OF_3: (
        3,
        lambda z: _sides(z, 2, 3, 2.0),
        _one_sided(": two of them are far on the {} side, each more than two sigma from the mean."),
    ),
    Rule.FOUR_OF_5: (
        5,
        lambda z: _sides(z, 4, 5, 1.0),
        _one_sided(": four of them are on the {} side, each more than one sigma from the mean."),
    ),
    Rule.EIGHT_ON_ONE_SIDE: (
        8,
        lambda z: _sides(z, 8, 8, 0.0),
        _one_sided(" are all on the {} side of the mean: the mean may have moved."),
    ),
    Rule.NINE_ON_ONE_SIDE: (
        9,
        lambda z: _sides(z, 9, 9, 0.0),
        _one_sided(" are all on the {} side of the mean: the mean may have moved."),
    ),
    Rule.SIX_RISING_OR_FALLING: (
        6,
        _trend,
        {
            side: f" get {word} one after the other: something may drift."
            for side, word in ((1, "heavier"), (-1, "lighter"))
        },
    ),
    Rule.FOURTEEN_ALTERNATING: (
        14,
        _alternating,
        {0: " go up and down by turns: each cut may be answering the one before."},
    ),
    Rule.FIFTEEN_WITHIN_1_SIGMA: (
        15,
        _within,
        {0: " are all nearer to the mean than the limits expect: the limits may be too wide."},
    ),
    Rule.EIGHT_OUTSIDE_1_SIGMA: (
        8,
        _outside,
        {0: " are all far from the mean, on both sides: two ways of cutting may be mixed."},
    ),
}
