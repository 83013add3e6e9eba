"""The digest chain."""

from __future__ import annotations

from dataclasses import replace

import pytest
from journal_lines import JOURNAL_ID, ended, kept, noted, piece, started, voided, written

from weighstation.errors import ChainBrokenError
from weighstation.journal import Entry, Head, Kind, digest, first_set_back, verify


def test_a_digest_is_what_sha256sum_says_of_the_joined_text() -> None:
    """Made once, outside, by coreutils.

    printf 'c0ffee\\nbench-1\\n1\\n1772424600000\\nnoted\\n{"about":1,"text":"Köln","v":1}' \\
      | sha256sum
    """
    entry = Entry(
        "bench-1", 1, 1_772_424_600_000, Kind.NOTED, '{"about":1,"text":"Köln","v":1}', digest=""
    )

    assert "dc7e8db17f279565b4c54cc28953e28747277c0a9744023ab5ad479c2f72089e" == digest(
        "c0ffee", entry
    )


def morning() -> list[Entry]:
    return written(
        started(), kept(piece(1)), kept(piece(2)), voided(piece(2)), noted(4), ended(), noted(2)
    )[0]


def test_a_whole_journal_verifies_to_its_last_line() -> None:
    entries = morning()

    assert Head(7, entries[-1].digest) == verify(entries, JOURNAL_ID)


def test_an_empty_journal_verifies_to_its_id() -> None:
    assert Head(0, JOURNAL_ID) == verify([], JOURNAL_ID)


def test_another_journal_id_breaks_the_first_line() -> None:
    with pytest.raises(ChainBrokenError, match="Line 1 does not follow") as caught:
        verify(morning(), "another")

    assert caught.value.seq == 1


def test_a_missing_line_is_named() -> None:
    entries = morning()

    with pytest.raises(ChainBrokenError, match="Line 3 is missing") as caught:
        verify(entries[:2] + entries[3:], JOURNAL_ID)

    assert caught.value.seq == 3


def rechained(entries: list[Entry]) -> list[Entry]:
    """Return the lines numbered and digested anew, as a forger with the whole file could."""
    done: list[Entry] = []
    prev = JOURNAL_ID
    for seq, entry in enumerate(entries, start=1):
        bare = replace(entry, seq=seq)
        done.append(replace(bare, digest=digest(prev, bare)))
        prev = done[-1].digest
    return done


def test_a_forged_chain_with_a_line_left_out_disagrees_with_the_counts() -> None:
    entries = morning()

    with pytest.raises(ChainBrokenError, match="other lines than it counts") as caught:
        verify(rechained(entries[:2] + entries[3:]), JOURNAL_ID)

    assert caught.value.seq == 5


@pytest.mark.parametrize(
    ("order", "seq", "says"),
    [
        ([0, 0], 2, "started before"),
        ([0, 1, 2, 3, 5, 0], 6, "started before"),
        ([1], 1, "not open"),
        ([0, 1, 2, 3, 5, 1], 6, "not open"),
        ([5], 1, "not open"),
    ],
)
def test_a_forged_chain_with_lines_out_of_place_is_named(
    order: list[int], seq: int, says: str
) -> None:
    entries = morning()

    with pytest.raises(ChainBrokenError, match=says) as caught:
        verify(rechained([entries[place] for place in order]), JOURNAL_ID)

    assert seq == caught.value.seq


def test_a_forged_body_that_is_none_is_named() -> None:
    entries = morning()
    entries[4] = replace(entries[4], body="{")

    with pytest.raises(ChainBrokenError, match="Line 5 does not hold") as caught:
        verify(rechained(entries), JOURNAL_ID)

    assert caught.value.seq == 5


@pytest.mark.parametrize(
    ("times_ms", "place"),
    [
        ((0, 1000, 2000), None),
        ((5000, 4000, 4000), None),  # a second is borne
        ((5000, 3999, 0), 2),
        ((0, 5000, 5000, 3000), 4),
        ((7,), None),
        ((), None),
    ],
)
def test_the_first_line_after_a_clock_set_back_is_found(
    times_ms: tuple[int, ...], place: int | None
) -> None:
    lines = [replace(entry, t_utc_ms=t) for entry, t in zip(morning(), times_ms, strict=False)]
    found = first_set_back(lines)

    assert place == (found.seq if found else None)
