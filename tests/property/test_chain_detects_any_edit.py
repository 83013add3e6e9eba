"""Law: whatever is done to a line of a journal, reading it names that line."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from days_of_lines import JOURNAL_ID, days
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import ChainBrokenError
from weighstation.journal import Kind, verify
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from days_of_lines import Day

    from weighstation.journal import Entry


def written(day: Day) -> list[Entry]:
    store = MemoryStore(journal_id=JOURNAL_ID, station="bench-1")
    return [store.append(line) for line in day.lines]


def edited(data: st.DataObject, text: str) -> str:
    """Return the text with one character put in, taken out or changed."""
    place = data.draw(st.integers(0, len(text) - 1), "place")
    new = data.draw(st.text(max_size=2), "new text")
    return text[:place] + new + text[place + data.draw(st.integers(0, 1), "cut") :]


@given(days(), st.data())
def test_an_edited_line_is_named(day: Day, data: st.DataObject) -> None:
    entries = written(day)
    place = data.draw(st.integers(0, len(entries) - 1), "line")
    entry = entries[place]
    edits = {
        "station": edited(data, entry.station),
        "t_utc_ms": data.draw(st.integers(), "time"),
        "kind": data.draw(st.sampled_from(Kind), "kind"),
        "body": edited(data, entry.body),
        "digest": edited(data, entry.digest),
    }
    name = data.draw(st.sampled_from(sorted(edits)), "part")
    forged = replace(entry, **{name: edits[name]})
    if forged == entry:
        assert len(entries) == verify(entries, JOURNAL_ID).seq
        return
    entries[place] = forged

    with pytest.raises(ChainBrokenError) as caught:
        verify(entries, JOURNAL_ID)

    assert place + 1 == caught.value.seq


@given(days(), st.data())
def test_a_line_left_out_moved_or_said_twice_is_named(day: Day, data: st.DataObject) -> None:
    entries = written(day)
    place = data.draw(st.integers(0, len(entries) - 1), "line")
    other = data.draw(st.integers(0, len(entries) - 1), "other place")
    moved = entries[:place] + entries[place + 1 :]
    if data.draw(st.booleans(), "put it elsewhere"):
        moved.insert(other, entries[place])
    elif data.draw(st.booleans(), "say it twice"):
        moved = [*entries[: place + 1], *entries[place:]]
    # What is left of a journal whose end is cut off holds; that needs its head kept elsewhere.
    if moved == entries[: len(moved)]:
        assert len(moved) == verify(moved, JOURNAL_ID).seq
        return
    pairs = enumerate(zip([*entries, None], moved, strict=False))
    first = next(place for place, (was, now) in pairs if was != now)

    with pytest.raises(ChainBrokenError) as caught:
        verify(moved, JOURNAL_ID)

    assert first + 1 == caught.value.seq
