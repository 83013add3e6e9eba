"""``journal note --reason --action --person``: what was found and done, beside what happened."""

from __future__ import annotations

import json
from contextlib import closing
from typing import TYPE_CHECKING, Any

import pytest
from station_process import BAND, weighstation

from weighstation.journal import Kind, Line, codec
from weighstation.station.stores import open_for_writing

if TYPE_CHECKING:
    import subprocess
    from pathlib import Path

SAID = ("--reason", "new flour", "--action", "cut smaller", "--person", "ab")
TEXT = "Pieces 4 to 9 were cut 6 g too heavy."


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A home whose batch of five pieces is followed by a signal and a gap."""
    port = "simulated://?pieces=5&seed=1&speed=max"
    weighstation("divide", "--port", port, *BAND, "--events", home=tmp_path)
    path = tmp_path / "journal.sqlite"
    with closing(open_for_writing(path, journal_id="ab", station="bench-1")) as store:
        run, t_ms = store.runs()[-1].run, next(store.entries(6)).t_utc_ms
        body = codec.signal(run, pieces=(4, 5), error_mg=6000, text=TEXT, reaction="Cut smaller.")
        store.append(Line(Kind.SIGNAL, body, t_ms))
        store.append(Line(Kind.GAP, codec.gap(run, "the scale was silent", 2500), t_ms))
    return tmp_path


def note(home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return weighstation("journal", "note", *words, home=home)


def happenings(home: Path) -> list[dict[str, Any]]:
    sheet = json.loads(weighstation("journal", "sheet", "--json", home=home).stdout)
    found: list[dict[str, Any]] = sheet["happenings"]
    return found


def line_of(home: Path, kind: str) -> str:
    said = weighstation("journal", "show", "--last", "99", "--json", home=home).stdout
    lines = [json.loads(line) for line in said.splitlines()]
    return str(next(line["seq"] for line in lines if line["kind"] == kind))


def test_a_signal_stands_on_the_sheet_though_nobody_noted_anything(home: Path) -> None:
    told = " ".join(weighstation("journal", "sheet", home=home).stdout.split())

    assert "Nothing is noted about it." in told
    assert [("signal", TEXT, [])] == [
        (each["what"], each["text"], each["reactions"]) for each in happenings(home)
    ]


def test_a_reaction_stands_under_its_signal_on_sheet_chart_and_journal(home: Path) -> None:
    line = line_of(home, "signal")
    noted = note(home, line, *SAID)
    told = [
        " ".join(weighstation(*words, home=home).stdout.split())
        for words in (("journal", "sheet"), ("chart",), ("journal", "show"))
    ]

    assert (0, f"Line 10 notes that about line {line}.\n") == (noted.returncode, noted.stdout)
    assert all("new flour" in each and "cut smaller" in each for each in told)
    assert "Reason: new flour. Done: cut smaller (AB, line" in told[0]
    assert f"Signal on line {line}: {TEXT} Reason: new flour." in told[1]
    assert f"line {line}: new flour; done: cut smaller, says AB" in told[2]
    ((reaction,),) = [each["reactions"] for each in happenings(home)]
    assert ("new flour", "cut smaller", "AB") == (
        reaction["reason"],
        reaction["action"],
        reaction["person"],
    )


def test_a_gap_and_a_piece_struck_out_are_told_once_something_is_noted(home: Path) -> None:
    weighstation("journal", "void", "3", "--reason", "fell", home=home)
    before = [each["what"] for each in happenings(home)]
    for kind in ("gap", "voided"):
        assert 0 == note(home, line_of(home, kind), *SAID).returncode

    assert ["signal"] == before
    assert [("signal", 0), ("gap", 1), ("struck out", 1)] == [
        (each["what"], len(each["reactions"])) for each in happenings(home)
    ]


def test_a_plain_note_about_a_signal_is_shown_too(home: Path) -> None:
    note(home, line_of(home, "signal"), "talked to the mixer")

    assert "talked to the mixer" in weighstation("journal", "sheet", home=home).stdout


@pytest.mark.parametrize("kind", ["piece_kept", "run_started", "run_ended"])
def test_a_line_that_asks_for_nothing_is_refused(home: Path, kind: str) -> None:
    refused = note(home, line_of(home, kind), *SAID)

    assert (2, "") == (refused.returncode, refused.stdout)
    assert "is no signal, failed check, gap or piece struck out." in refused.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("7",), "There is nothing to note. Give TEXT, or --reason, --action and --person."),
        (("7", *SAID[:2]), "needs --action and --person too."),
        (("7", *SAID[2:]), "needs --reason too."),
        (("7", "text", *SAID), "A note is TEXT, or --reason, --action and --person, not both."),
        (("7", *SAID[:4], "--person", "Anna K"), "'Anna K' is not one to four letters."),
        (("7", "--reason", " ", *SAID[2:]), "--reason is empty."),
        (("99", *SAID), "There is no line 99."),
        (("0", *SAID), "There is no line 0."),
        (("-1", "text"), ""),
    ],
)
def test_what_is_no_reaction_is_refused_in_one_sentence(
    home: Path, words: tuple[str, ...], said: str
) -> None:
    refused = note(home, *words)

    assert (2, "") == (refused.returncode, refused.stdout)
    assert said in refused.stderr
