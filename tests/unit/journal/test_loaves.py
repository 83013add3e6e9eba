"""A baked loaf comes back as it was, and which loaves count follows from the lines."""

from __future__ import annotations

from dataclasses import replace

import pytest
from check_lines import CHECK, checked, entry, kept, run_started
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import JournalError
from weighstation.journal import (
    BakedLoaf,
    Body,
    Doubts,
    Kind,
    Loaves,
    Settled,
    baked,
    baked_struck_out,
    body_text,
    read_baked,
    read_body,
    settled,
)

LOAF = BakedLoaf(
    batch="r1",
    product="Rye",
    number=1,
    baked_mg=652_000,
    scale="serial:///dev/ttyUSB0?baud=4800",
    scale_identity=CHECK.scale,
    software="0.1.0",
    declared_mg=650_000,
    division_mg=1000,
    piece=12,
    out_of_oven_ms=3_600_000,
)
BARE = replace(LOAF, declared_mg=None, division_mg=None, piece=None, out_of_oven_ms=None)


@pytest.mark.parametrize("loaf", [LOAF, BARE, replace(BARE, out_of_oven_ms=0)])
def test_a_loaf_comes_back_as_it_was(loaf: BakedLoaf) -> None:
    assert loaf == read_baked(read_body(body_text(baked(loaf))))
    assert loaf == read_baked(read_body(body_text(baked_struck_out(loaf, "fell"))))


def test_what_nobody_said_is_not_in_the_line() -> None:
    assert {"declared_mg", "division_mg", "piece", "out_of_oven_ms"} == set(baked(LOAF)) - set(
        baked(BARE)
    )


@pytest.mark.parametrize("key", baked(BARE))
def test_a_line_that_lacks_a_part_is_refused(key: str) -> None:
    body = {name: value for name, value in baked(BARE).items() if name != key}

    with pytest.raises(JournalError, match=key):
        read_baked(body)


def loaves_after(*bodies: Body) -> Loaves:
    loaves = Loaves()
    for seq, body in enumerate(bodies, start=1):
        loaves.feed(entry(seq, Kind.BAKED, body))
    return loaves


def test_a_loaf_that_is_struck_out_counts_no_longer() -> None:
    second = replace(LOAF, number=2)
    loaves = loaves_after(baked(LOAF), baked(second), baked_struck_out(LOAF, "fell"))

    assert [("r1", 2)] == list(loaves.counted)
    assert (2, 2000, second) == (
        (found := loaves.counted["r1", 2]).line,
        found.t_utc_ms,
        found.loaf,
    )
    assert {("r1", 1): "fell"} == loaves.struck_out


def test_lines_about_anything_else_are_passed_over() -> None:
    loaves = Loaves()
    loaves.feed(entry(1, Kind.RUN_STARTED, run_started("r1")))
    loaves.feed(entry(2, Kind.PIECE_KEPT, kept("r1", 1)))

    assert {} == loaves.counted


@pytest.mark.parametrize(
    ("bodies", "said"),
    [
        ((baked(LOAF), baked(LOAF)), "Line 2 counts loaf 1 of batch r1 twice"),
        ((baked_struck_out(LOAF, "fell"),), "Loaf 1 of batch r1 does not count"),
        (
            (baked(LOAF), baked_struck_out(replace(LOAF, baked_mg=1), "fell")),
            "Loaf 1 of batch r1 does not count as it is said to",
        ),
    ],
)
def test_lines_that_cannot_follow_are_refused(bodies: tuple[Body, ...], said: str) -> None:
    with pytest.raises(JournalError, match=said):
        loaves_after(*bodies)


@given(st.lists(st.tuples(st.sampled_from(["r1", "r2"]), st.integers(1, 4))))
def test_what_counts_is_what_was_weighed_and_not_struck_out(acts: list[tuple[str, int]]) -> None:
    """Named a second time, a loaf is struck out, and a third time it was weighed again."""
    bodies = []
    for place, (batch, number) in enumerate(acts):
        loaf = replace(LOAF, batch=batch, number=number)
        is_second = acts[:place].count((batch, number)) % 2
        bodies.append(baked_struck_out(loaf, "so") if is_second else baked(loaf))
    loaves = loaves_after(*bodies)

    assert {act for act in acts if acts.count(act) % 2} == set(loaves.counted)
    assert {act for act in acts if acts.count(act) % 2 == 0} == set(loaves.struck_out)


def doubts_after(*lines: tuple[Kind, Body]) -> Doubts:
    doubts = Doubts()
    for seq, (kind, body) in enumerate(lines, start=1):
        doubts.feed(entry(seq, kind, body))
    return doubts


CHECKED, BAKED, NOTED = Kind.SCALE_CHECKED, Kind.BAKED, Kind.NOTED
GOOD, BAD = (CHECKED, checked(fit=True)), (CHECKED, checked(fit=False))


def test_a_failed_check_makes_loaves_doubtful_as_it_does_pieces() -> None:
    doubts = doubts_after(
        (BAKED, baked(LOAF)),
        GOOD,
        (BAKED, baked(replace(LOAF, number=2))),
        BAD,
        (BAKED, baked(replace(LOAF, number=3))),
        GOOD,
        (BAKED, baked(replace(LOAF, number=4))),
    )

    assert {("r1", 2): 3000, ("r1", 3): 5000} == doubts.loaves.doubtful
    assert {("r1", 2): 4, ("r1", 3): 4} == doubts.loaves.failed_line
    assert CHECK.scale == doubts.loaves.scale_of["r1", 2]
    assert {} == doubts.pieces.doubtful


def test_a_loaf_goes_by_the_scale_that_it_was_weighed_on_itself() -> None:
    """Pieces of its batch may have been weighed on another."""
    elsewhere = replace(LOAF, scale="tcp://bread", scale_identity="tcp://bread")
    doubts = doubts_after(
        (Kind.RUN_STARTED, run_started("r1")),
        (Kind.PIECE_KEPT, kept("r1", 1)),
        (BAKED, baked(elsewhere)),
        BAD,
    )

    assert [("r1", 1)] == list(doubts.pieces.doubtful)
    assert {} == doubts.loaves.doubtful


def test_a_loaf_that_is_struck_out_is_doubtful_no_more() -> None:
    gone = (BAKED, baked_struck_out(LOAF, "fell"))
    before = doubts_after((BAKED, baked(LOAF)), gone, BAD)
    after = doubts_after((BAKED, baked(LOAF)), BAD, gone)

    assert ({}, {}) == (before.loaves.doubtful, after.loaves.doubtful)


def test_a_persons_word_settles_loaves_too() -> None:
    slip = Settled(2, 3, "Ada Krume", "1 kg was put on for 500 g")
    doubts = doubts_after((BAKED, baked(LOAF)), BAD, GOOD, (NOTED, settled(slip)))

    assert ({}, {("r1", 1): 4}) == (doubts.loaves.doubtful, doubts.loaves.settled)
