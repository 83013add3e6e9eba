"""The first lines of a port -> the shape that they share."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.acquire.fields import Fields, Grammar, read_fields, weight_number
from weighstation.acquire.recipe import OPEN
from weighstation.acquire.shape import LayoutKey, Shape
from weighstation.acquire.signs import Signs, guess_signs, learn_signs
from weighstation.quantities import Unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.acquire.recipe import Recipe

ENOUGH_LINES = 3  # no line read at a wrong speed parses, let alone three alike
PATIENCE_LINES = 5  # beyond that an unclear decimal sign is guessed
_COMMA = re.compile(r"[0-9],[0-9]")
KILOGRAM_DECIMALS = 3  # a bench scale that names no unit and shows three decimals shows kilograms


def recognise(
    texts: Sequence[str],
    *,
    signs: Signs | None = None,
    recipe: Recipe = OPEN,
    final: bool = False,
) -> Shape | None:
    """Return the shape that most of some lines have, or None while they do not tell.

    Parameters
    ----------
    texts : sequence of str
        Lines in the order they came.
    signs : Signs or None
        What points and commas mean, where that is known already.
    recipe : Recipe
        What was settled beforehand.
    final : bool
        No more lines will come: be content with fewer.

    Returns
    -------
    Shape or None
    """
    enough = 1 if final else ENOUGH_LINES
    grammar, alike = _look(texts, recipe, comma_cuts=bool(signs and signs.comma_cuts))
    if len(alike) < enough:
        return None
    signs = signs or learn_signs(fields.run for fields in alike)
    if not signs.certain and recipe.decimal_sign is not None:
        signs = Signs(recipe.decimal_sign)
    if not signs.certain:
        if len(alike) < PATIENCE_LINES and not final:
            return None
        signs = guess_signs(signs, alike[0].unit)
    if signs.decimal == "." and not signs.comma_cuts and any(_COMMA.search(text) for text in texts):
        signs = replace(signs, comma_cuts=not any("," in fields.run for fields in alike))
    if signs.comma_cuts and not grammar.comma_cuts:
        grammar, alike = _look(texts, recipe, comma_cuts=True)
    return _shape_of(alike, grammar, signs, enough, recipe)


def _look(
    texts: Sequence[str], recipe: Recipe, *, comma_cuts: bool
) -> tuple[Grammar, list[Fields]]:
    """Return how lines are to be taken apart, and those that are built like most of the others."""
    settled = recipe.weight_number
    grammar = Grammar(comma_cuts, settled, settled=settled is not None)
    if grammar.settled:
        return grammar, [fields for _, fields in _alike(texts, grammar)]
    alike = _alike(texts, grammar)
    number = weight_number([text for text, _ in alike], grammar)
    if number:
        grammar = Grammar(comma_cuts=comma_cuts, weight_number=number)
        alike = _alike(texts, grammar)
    return grammar, [fields for _, fields in alike]


def _alike(texts: Sequence[str], grammar: Grammar) -> list[tuple[str, Fields]]:
    parsed = [(text, read_fields(text, grammar)) for text in texts]
    good = [
        (text, fields)
        for text, fields in parsed
        if fields and not fields.refused and not fields.spoilt
    ]
    counts = Counter(_build(fields) for _, fields in good)
    most = max(counts, key=counts.__getitem__, default=None)
    alike = [(text, fields) for text, fields in good if _build(fields) == most]
    return [] if all(fields.grouped for _, fields in alike) else alike


def _build(fields: Fields) -> tuple[Unit | None, int, int]:
    return fields.unit, len(fields.before), fields.numbers


def _shape_of(
    alike: list[Fields], grammar: Grammar, signs: Signs, enough: int, recipe: Recipe
) -> Shape | None:
    """Return the shape of lines that are alike, the newest heard first."""
    counts = Counter(signs.decimals(fields.run) for fields in alike)
    decimals, count = counts.most_common(1)[0]
    if decimals is None or count < enough:
        return None
    unit = alike[0].unit
    usual = Unit.KILOGRAM if decimals == KILOGRAM_DECIMALS else Unit.GRAM
    shape = Shape(
        unit or recipe.unit or usual,
        grammar,
        {unit: signs},
        certain=signs.certain,
        implied_decimals=recipe.implied_decimals,
    )
    key = LayoutKey(unit, decimals, len(alike[0].before))
    for fields in reversed(alike):
        known = shape.places.get(key)
        if signs.decimals(fields.run) == decimals and (not known or known.accepts(fields)):
            shape.learn(fields, key)
    return shape
