"""What a failed check makes doubtful follows from the lines, and so does what settles it."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from check_lines import CHECK, checked, entry, kept, run_started
from hypothesis import given
from hypothesis import strategies as st
from journal_lines import promised

from weighstation.errors import JournalError
from weighstation.journal import (
    Body,
    CheckStep,
    Doubts,
    HeldAgainst,
    Kind,
    LastCheck,
    Settled,
    UsedWeight,
    body_text,
    codec,
    read_body,
    read_settled,
    scale_checked,
    settled,
    settling_fault,
)

ELSEWHERE = "usb:0403:6001:B2"
START, KEPT, CHECKED, NOTED = (
    *(Kind.RUN_STARTED, Kind.PIECE_KEPT, Kind.SCALE_CHECKED, Kind.NOTED),
)


def doubts_after(*lines: tuple[Kind, Body]) -> Doubts:
    doubts = Doubts()
    for seq, (kind, body) in enumerate(lines, start=1):
        doubts.feed(entry(seq, kind, body))
    return doubts


def doubtful_after(*lines: tuple[Kind, Body]) -> list[tuple[str, int]]:
    return sorted(doubts_after(*lines).pieces.doubtful)


def test_what_was_weighed_since_the_last_good_check_is_doubtful() -> None:
    got = doubtful_after(
        (START, run_started("r1")),
        (KEPT, kept("r1", 1)),
        (CHECKED, checked(fit=True)),
        (START, run_started("r2")),
        (KEPT, kept("r2", 1)),
        (KEPT, kept("r2", 2)),
        (CHECKED, checked(fit=False)),
        (CHECKED, checked(fit=True)),
        (START, run_started("r3")),
        (KEPT, kept("r3", 1)),
    )

    assert [("r2", 1), ("r2", 2)] == got


def test_without_a_good_check_all_is_doubtful_and_so_is_what_follows() -> None:
    got = doubtful_after(
        (START, run_started("r1")),
        (KEPT, kept("r1", 1)),
        (CHECKED, checked(fit=False)),
        (START, run_started("r2")),
        (KEPT, kept("r2", 1)),
    )

    assert [("r1", 1), ("r2", 1)] == got


def test_another_scale_is_not_touched() -> None:
    got = doubtful_after(
        (START, run_started("r1", scale=ELSEWHERE)),
        (KEPT, kept("r1", 1)),
        (CHECKED, checked(fit=False)),
    )

    assert [] == got


def test_a_run_of_an_older_version_is_found_by_its_port() -> None:
    old = codec.run_started(replace(promised("r1"), scale="serial:///dev/ttyUSB0?baud=9600"))

    assert [("r1", 1)] == doubtful_after(
        (START, old), (KEPT, kept("r1", 1)), (CHECKED, checked(fit=False))
    )


def test_a_piece_that_is_struck_out_is_doubtful_no_more() -> None:
    struck = {**kept("r1", 1), "reason": "flour"}
    before = doubtful_after(
        (START, run_started("r1")),
        (KEPT, kept("r1", 1)),
        (Kind.VOIDED, struck),
        (CHECKED, checked(fit=False)),
    )
    after = doubtful_after(
        (START, run_started("r1")),
        (KEPT, kept("r1", 1)),
        (CHECKED, checked(fit=False)),
        (Kind.VOIDED, struck),
    )

    assert ([], []) == (before, after)


def test_a_reader_that_begins_after_the_failed_check_is_told_by_the_run() -> None:
    """The sheet of a batch reads from the batch's first line only."""
    unfit = run_started("r1", last=LastCheck(1, 1, is_fit=False))

    assert [("r1", 1)] == doubtful_after((START, unfit), (KEPT, kept("r1", 1)))


@given(st.lists(st.sampled_from(["piece", "good", "bad"]), max_size=30), st.integers(0, 99))
def test_doubtful_is_what_lies_in_a_stretch_with_a_failed_check(
    happened: list[str], seed: int
) -> None:
    """The definition, the other way round: cut at good checks; a stretch with a failed one."""
    draw = random.Random(seed)
    scales = (CHECK.scale, ELSEWHERE)
    lines: list[tuple[Kind, Body]] = [
        (START, run_started("a")),
        (START, run_started("b", scale=ELSEWHERE)),
    ]
    stretches: dict[str, list[list[int | str]]] = {scale: [[]] for scale in scales}
    for number, what in enumerate(happened, start=1):
        scale = draw.choice(scales)
        if what == "piece":
            lines.append((KEPT, kept("a" if scale == CHECK.scale else "b", number)))
            stretches[scale][-1].append(number)
        else:
            body = scale_checked(
                replace(CHECK, scale=scale, port=f"tcp://{scale[-2:]}", is_fit=what == "good")
            )
            lines.append((CHECKED, body))
            stretches[scale][-1].append(what)
            if what == "good":
                stretches[scale].append([])
    wanted = sorted(
        ("a" if scale == CHECK.scale else "b", number)
        for scale, parts in stretches.items()
        for part in parts
        if "bad" in part
        for number in part
        if isinstance(number, int)
    )

    assert wanted == doubtful_after(*lines)


SLIP = Settled(3, 6, "Ada Krume", "1 kg was put on for 500 g")
FAILED_BY_MISTAKE = (
    (START, run_started("r1")),
    (KEPT, kept("r1", 1)),
    (CHECKED, checked(fit=False)),
    (START, run_started("r2", last=LastCheck(3, 3000, is_fit=False))),
    (KEPT, kept("r2", 1)),
    (CHECKED, checked(fit=True)),
)


def test_a_persons_word_settles_what_one_failed_check_made_doubtful() -> None:
    before = doubts_after(*FAILED_BY_MISTAKE)
    after = doubts_after(*FAILED_BY_MISTAKE, (NOTED, settled(SLIP)))

    assert [("r1", 1), ("r2", 1)] == sorted(before.pieces.doubtful)
    assert {("r1", 1): 3, ("r2", 1): 3} == before.pieces.failed_line
    assert ({}, {("r1", 1): 7, ("r2", 1): 7}) == (after.pieces.doubtful, after.pieces.settled)
    assert {7: SLIP} == after.settlements


def test_a_plain_note_settles_nothing_and_another_check_is_not_meant() -> None:
    later = (
        (START, run_started("r3")),
        (KEPT, kept("r3", 1)),
        (CHECKED, checked(fit=False)),
    )
    noted = doubtful_after(*FAILED_BY_MISTAKE, (NOTED, codec.noted(3, "it was draughty")))
    other = doubtful_after(*FAILED_BY_MISTAKE, *later, (NOTED, settled(SLIP)))

    assert [("r1", 1), ("r2", 1)] == noted
    assert [("r3", 1)] == other


def test_a_reader_that_begins_after_the_failed_check_sees_it_settled() -> None:
    """The sheet of the second batch reads from line 4 on."""
    doubts = Doubts()
    for seq, (kind, body) in enumerate((*FAILED_BY_MISTAKE, (NOTED, settled(SLIP))), start=1):
        if seq >= 4:
            doubts.feed(entry(seq, kind, body))

    assert ({}, {("r2", 1): 7}) == (doubts.pieces.doubtful, doubts.pieces.settled)


def test_a_settled_piece_that_is_struck_out_is_told_no_more() -> None:
    struck = {**kept("r1", 1), "reason": "flour"}
    doubts = doubts_after(*FAILED_BY_MISTAKE, (NOTED, settled(SLIP)), (Kind.VOIDED, struck))

    assert [("r2", 1)] == list(doubts.pieces.settled)


def test_what_settles_comes_back_as_it_was() -> None:
    assert SLIP == read_settled(read_body(body_text(settled(SLIP))))
    assert read_settled(codec.noted(3, "dusty")) is None
    with pytest.raises(JournalError, match="person"):
        read_settled({**codec.noted(3, "dusty"), "settled_by": 6})


BAD = replace(CHECK, is_fit=False)


@pytest.mark.parametrize(
    ("good", "fault"),
    [
        (CHECK, ""),
        (replace(CHECK, steps=(*CHECK.steps, CheckStep("load", 1, 2, "box 9"))), ""),
        (replace(CHECK, held_against=replace(CHECK.held_against, text="In other words.")), ""),
        (BAD, "it failed too"),
        (
            replace(CHECK, held_against=HeldAgainst("house", "Ours.", 1000, limit_ug=50_000_000)),
            "against other limits",
        ),
        (replace(CHECK, weights=(UsedWeight("box 1", 1_000_000_000, 50_000),)), "other weights"),
        (replace(CHECK, weights=(UsedWeight("box 2", 500_000_000, 25_000),)), "other weights"),
        (replace(CHECK, steps=CHECK.steps[:2]), "less often or in fewer places"),
    ],
)
def test_a_good_check_settles_only_what_it_did_alike(good: object, fault: str) -> None:
    """Wider limits, a lighter weight or no corners would let any scale pass the second time."""
    assert isinstance(good, type(CHECK))
    found = settling_fault(BAD, good)

    assert fault in found
    assert bool(fault) == bool(found)
