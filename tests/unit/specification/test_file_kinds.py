"""Each kind of value takes what it says in words, and nothing else."""

from __future__ import annotations

from decimal import Decimal
from importlib.resources import files

import pytest

from weighstation.specification import PUBLISHED_RULES, Way, kinds

NOTHING: tuple[object, ...] = (None, {}, object(), float("nan"), float("inf"), 16**5000)


@pytest.mark.parametrize(
    ("kind", "given", "taken"),
    [
        (kinds.TEXT, "  Loaf ", "Loaf"),
        (kinds.TRUTH, False, False),
        (kinds.GRAMS, 73.2, 73_200),
        (kinds.GRAMS, 0, 0),
        (kinds.GRAMS_ABOVE_0, 0.001, 1),
        (kinds.MONEY, 0.92, Decimal("0.92")),
        (kinds.MONEY, "0.920", Decimal("0.920")),
        (kinds.MONEY, 0.30000000000000004, Decimal("0.30000000000000004")),
        (kinds.MINUTES, 1440, 1440.0),
        (kinds.WINDOW, [10, 12.5], (10.0, 12.5)),
        (kinds.WINDOW, [0, 0], (0.0, 0.0)),
        (kinds.PLACES, 1000, 1000),
        (kinds.LOSS, 99.9, 99.9),
        (kinds.LOSS, 0, 0.0),
        (kinds.PERCENT, 1000, 1000.0),
        (kinds.TEXTS, [], ()),
        (kinds.TEXTS, [" wheat", "rye"], ("wheat", "rye")),
        (kinds.RULE, "oiml-r87", "oiml-r87"),
        (kinds.RULE, "our-own.toml", "our-own.toml"),
        (kinds.one_of(Way), "build-up", Way.BUILD_UP),
    ],
)
def test_a_kind_takes_what_fits(kind: kinds.Kind[object], given: object, taken: object) -> None:
    found = kind.take(given)

    assert (type(taken), taken) == (type(found), found)


def misfits(kind: kinds.Kind[object], *given: object) -> list[tuple[kinds.Kind[object], object]]:
    return [(kind, each) for each in given]


@pytest.mark.parametrize(
    ("kind", "given"),
    [
        *misfits(kinds.TEXT, "", "  ", 3, True),
        *misfits(kinds.TRUTH, 0, 1, "true"),
        *misfits(kinds.GRAMS, "740", True, -0.001, 1_000_000),
        *misfits(kinds.GRAMS_ABOVE_0, 0, 0.0004, True),
        *misfits(kinds.MONEY, "dear", "1.000,92", "0,9,2", -1, True, "NaN", "1e-999999"),
        *misfits(kinds.MINUTES, 0, 1440.5, "10", True),
        *misfits(kinds.WINDOW, [15, 10], [10], [1, 2, 3], ["1", 2], [True, 2]),
        *misfits(kinds.PLACES, 0, 1001, 1.0, "1", True),
        *misfits(kinds.LOSS, 100, -0.1, True),
        *misfits(kinds.PERCENT, 0, 1000.1, True),
        *misfits(kinds.TEXTS, "wheat", ["a", "A "], [""], [1], ["a", None]),
        *misfits(kinds.FLOURS, [], "flour"),
        *misfits(kinds.RULE, "oiml-r78", "OIML-R87", " "),
        *misfits(kinds.one_of(Way), "both", 1, True),
    ],
)
def test_a_kind_takes_nothing_else(kind: kinds.Kind[object], given: object) -> None:
    assert kind.take(given) is None


def test_no_kind_takes_what_is_no_value_at_all() -> None:
    every = [kind for kind in vars(kinds).values() if isinstance(kind, kinds.Kind)]

    assert len(every) > 10
    assert [] == [kind.word for kind in every for given in NOTHING if kind.take(given) is not None]


def test_the_rules_that_can_be_named_are_those_of_the_package() -> None:
    """Each has its file, and no file is without a name."""
    rules = (files("weighstation.quantity") / "rules").iterdir()

    assert set(PUBLISHED_RULES) == {file.name.removesuffix(".toml") for file in rules}
    assert all(f'"{name}"' in kinds.RULE.word for name in PUBLISHED_RULES)
