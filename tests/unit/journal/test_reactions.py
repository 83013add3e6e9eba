"""What asks for a reaction, and what a person says of it."""

from __future__ import annotations

import pytest
from check_lines import checked, entry, kept, run_started

from weighstation.journal import (
    Body,
    Kind,
    Reaction,
    Settled,
    asks_for_reaction,
    codec,
    reacted,
    read_reaction,
    settled,
)

SIGNAL = codec.signal("r1", pieces=(4, 9), error_mg=6000, text="Heavy.", reaction="Cut smaller.")


def test_a_reaction_is_read_as_it_was_written() -> None:
    said = Reaction(31, "new flour", "cut smaller", "AB")

    assert said == read_reaction(reacted(said))


def test_a_plain_note_is_a_reaction_without_an_action() -> None:
    assert Reaction(31, "dusty pan") == read_reaction(codec.noted(31, "dusty pan"))


def test_what_settles_a_check_is_more_than_a_reaction() -> None:
    assert read_reaction(settled(Settled(31, 32, "Ada", "wrong weight"))) is None


@pytest.mark.parametrize(
    ("kind", "body", "asks"),
    [
        (Kind.SIGNAL, SIGNAL, True),
        (Kind.GAP, codec.gap("r1", "silent", 2500), True),
        (Kind.VOIDED, {**kept("r1", 3), "reason": "fell"}, True),
        (Kind.SCALE_CHECKED, checked(fit=False), True),
        (Kind.SCALE_CHECKED, checked(fit=True), False),
        (Kind.BAKED, {"batch": "r1", "reason": "burnt"}, True),
        (Kind.BAKED, {"batch": "r1"}, False),
        (Kind.PIECE_KEPT, kept("r1", 3), False),
        (Kind.RUN_STARTED, run_started("r1"), False),
        (Kind.NOTED, codec.noted(3, "dusty"), False),
    ],
)
def test_what_went_wrong_asks_for_a_reaction(kind: Kind, body: Body, asks: bool) -> None:
    assert asks == asks_for_reaction(entry(7, kind, body))
