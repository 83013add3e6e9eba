"""A check on record comes back as it was."""

from __future__ import annotations

from dataclasses import replace

import pytest
from check_lines import CHECK
from journal_lines import promised

from weighstation.errors import JournalError
from weighstation.journal import (
    HeldAgainst,
    LastCheck,
    ScaleChecked,
    UsedWeight,
    body_text,
    codec,
    read_body,
    read_scale_checked,
    scale_checked,
)
from weighstation.journal.run_lines import read_run_started


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
