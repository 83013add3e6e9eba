"""A check on record comes back as it was, and what it makes doubtful follows from the lines."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from journal_lines import promised

from weighstation.errors import JournalError
from weighstation.events import Verdict
from weighstation.journal import (
    Body,
    CheckFinding,
    CheckStep,
    Doubts,
    Entry,
    HeldAgainst,
    Kind,
    LastCheck,
    RunStarted,
    ScaleChecked,
    UsedWeight,
    body_text,
    codec,
    read_body,
    read_scale_checked,
    scale_checked,
)
from weighstation.journal.codec import read_run_started

CHECK = ScaleChecked(
    scale="usb:0403:6001:A1",
    port="serial:///dev/ttyUSB0?baud=4800",
    person="Ada Krume",
    is_fit=True,
    text="The scale is fit.",
    held_against=HeldAgainst("plate", "Held against class III.", 1000, "III", 1_000_000, 3 * 10**9),
    weights=(UsedWeight("box 1", 500_000_000, 25_000, "M1", "2026-01-15", "2027-01-15"),),
    steps=(
        CheckStep("zero", 0),
        CheckStep("load", 500_000, 500_000_000, "box 1"),
        CheckStep("corner", 501_000, 500_000_000, "box 1", "front left"),
        CheckStep("return", -1000),
    ),
    findings=(
        CheckFinding("zero", True, "Empty, the scale shows 0 g.", 0, 0, 250_000),
        CheckFinding("corners", True, "At four corners.", 500_000_000, 1_000_000, 1_000_000),
    ),
    good_line=3,
    software="0.1.0",
)
ELSEWHERE = "usb:0403:6001:B2"


def entry(seq: int, kind: Kind, body: Body) -> Entry:
    return Entry("bench", seq, 1000 * seq, kind, body_text(body), "0" * 64)


def run_started(run: str, *, scale: str = CHECK.scale, last: LastCheck | None = None) -> Body:
    promise: RunStarted = replace(promised(run), scale_identity=scale, last_check=last)
    return codec.run_started(promise)


def kept(run: str, number: int) -> Body:
    return {
        "run": run,
        "number": number,
        "first_mg": 741_000,
        "final_mg": 741_000,
        "touches": 0,
        "ms": 1,
        "placed_ms": 1,
        "verdict": Verdict.KEEP.value,
        "dough_age_ms": 0,
    }


def checked(*, fit: bool, scale: str = CHECK.scale) -> Body:
    return scale_checked(replace(CHECK, is_fit=fit, scale=scale))


def doubtful_after(*lines: tuple[Kind, Body]) -> list[tuple[str, int]]:
    doubts = Doubts()
    for seq, (kind, body) in enumerate(lines, start=1):
        doubts.feed(entry(seq, kind, body))
    return sorted(doubts.doubtful)


START, KEPT, CHECKED = Kind.RUN_STARTED, Kind.PIECE_KEPT, Kind.SCALE_CHECKED


@pytest.mark.parametrize(
    "check",
    [
        CHECK,
        replace(CHECK, is_fit=False, person="", good_line=0),
        replace(CHECK, held_against=HeldAgainst("division", "One division.", 1000)),
        replace(CHECK, held_against=HeldAgainst("house", "Ours.", 1000, limit_ug=2_500_000)),
        replace(CHECK, weights=(UsedWeight("brass", 250_040_000, 20_000),)),
    ],
)
def test_a_check_comes_back_as_it_was(check: ScaleChecked) -> None:
    assert check == read_scale_checked(read_body(body_text(scale_checked(check))))


@pytest.mark.parametrize("key", [key for key in scale_checked(CHECK) if key != "v"])
def test_a_line_that_lacks_a_part_is_refused(key: str) -> None:
    body = {name: value for name, value in scale_checked(CHECK).items() if name != key}

    with pytest.raises(JournalError, match=key):
        read_scale_checked(body)


def test_a_verdict_that_is_none_is_refused() -> None:
    with pytest.raises(JournalError, match="verdict"):
        read_scale_checked({**scale_checked(CHECK), "verdict": "perhaps"})


def test_a_run_carries_the_last_check() -> None:
    promise = replace(promised("r1"), scale_identity="usb:1:2", last_check=LastCheck(7, 99, False))

    assert promise == read_run_started(read_body(body_text(codec.run_started(promise))))


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
