"""Whatever a products file holds, it is a catalogue or refused in words, never a crash."""

from __future__ import annotations

import copy
import tomllib
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.specification import Catalogue, catalogue_of, parse_catalogue

KEYS = st.one_of(
    st.text(max_size=8),
    st.sampled_from(
        [
            *("currency", "product", "oven", "prices_per_kg", "places", "cycle_min", "minutes"),
            *("name", "scaling_weight_g", "under_g", "over_g", "declared_g", "guard", "dough"),
            *("formula", "flours", "water", "losses", "basis", "oven_pct", "dusting", "allergens"),
            *("proof", "temperature_c", "quantity_rule", "sale_price_each", "dough_cost_per_kg"),
            *("board_places", "rest_min", "dough_limit_min"),
        ]
    ),
)
PLAIN = st.one_of(
    st.text(max_size=8),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.sampled_from(["EUR", "dough", "oiml-r87", "1e-999999", "NaN", 740, 100, 10**400, 1e308]),
    st.just(datetime(2026, 3, 2, tzinfo=UTC)),
)
GARBAGE = st.recursive(
    PLAIN,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=6),
    max_leaves=20,
)
FILES = st.dictionaries(KEYS, GARBAGE, max_size=8)
FULL = tomllib.loads(
    """
currency = "EUR"
prices_per_kg = { "wheat flour" = 0.8, water = 0 }
oven = { places = 24, cycle_min = 40 }

[[product]]
name = "Loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
declared_g = 650
guard = true
board_places = 8
rest_min = [10, 15]
dough_limit_min = 20
dough = "white"
allergens = ["wheat"]
quantity_rule = "oiml-r87"
sale_price_each = 3.2
formula = { flours = ["wheat flour"], "wheat flour" = 100, water = 65 }
losses = { basis = "dough", oven_pct = 12 }
dusting = { name = "rye flour", allergens = [] }
proof = { minutes = 55, temperature_c = 27 }
oven = { minutes = 40, places = 20 }

[[product]]
name = "Roll"
scaling_weight_g = 62
under_g = 2
over_g = 2
dough = "white"
"""
)


def outcome(tables: dict[str, object]) -> Catalogue | tuple[str, ...]:
    """Return the catalogue or the faults, and hold what must be true of faults."""
    try:
        return catalogue_of(tables)
    except SpecificationError as exc:
        refused = exc
    assert refused.faults
    assert all(fault and fault.isprintable() for fault in refused.faults)
    assert refused.sentence.isprintable()
    assert refused.sentence.endswith("Mend the file and start again.")
    return refused.faults


@settings(max_examples=300)
@given(FILES)
def test_any_tables_are_taken_or_refused_in_words(tables: dict[str, object]) -> None:
    outcome(tables)


def places_in(value: object, way: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Return the way to every value in a file, through keys and places in lists."""
    inner = value.items() if isinstance(value, dict) else enumerate(value)  # type: ignore[arg-type]
    found = []
    for key, part in inner:
        found.append((*way, key))
        if isinstance(part, (dict, list)):
            found += places_in(part, (*way, key))
    return found


PLACES = places_in(FULL)
KEPT_APART = [way for way in PLACES if len(way) > 1 and not {"name", "flours"} & set(way)]
"""A fault in a name changes what other faults begin with; flours hang together."""


def put(tables: dict[str, object], way: tuple[str | int, ...], value: object) -> None:
    """Put a value where a way leads."""
    for step in way[:-1]:
        tables = tables[step]  # type: ignore[index, assignment]
    tables[way[-1]] = value  # type: ignore[index]


@settings(max_examples=300)
@given(st.lists(st.tuples(st.sampled_from(PLACES), GARBAGE), min_size=1, max_size=3))
def test_a_good_file_with_garbage_in_it_is_taken_or_refused_in_words(
    spoilt: list[tuple[tuple[str | int, ...], object]],
) -> None:
    tables = copy.deepcopy(FULL)
    for way, value in sorted(spoilt, key=lambda each: -len(each[0])):
        put(tables, way, value)

    outcome(tables)


@settings(max_examples=100)
@given(st.lists(st.sampled_from(KEPT_APART), min_size=2, max_size=2))
def test_two_faults_are_named_as_each_is_alone(ways: list[tuple[str | int, ...]]) -> None:
    """All at once: what one spoilt value is refused for does not hide another's fault."""
    one, other = ways
    if one[: len(other)] == other[: len(one)]:
        return
    alone: list[str] = []
    for each in (one, other):
        tables = copy.deepcopy(FULL)
        put(tables, each, object())
        said = outcome(tables)
        assert isinstance(said, tuple), each
        alone += said
    both = copy.deepcopy(FULL)
    put(both, one, object())
    put(both, other, object())

    assert sorted(set(alone)) == sorted(outcome(both))  # type: ignore[arg-type]


@settings(max_examples=100)
@given(st.text(max_size=60) | st.text('[]{}=".,#abc019\n', max_size=60))
def test_any_text_is_a_catalogue_or_refused_in_words(text: str) -> None:
    with pytest.raises(SpecificationError) as caught:
        parse_catalogue(text)

    assert "products.toml" in str(caught.value)
