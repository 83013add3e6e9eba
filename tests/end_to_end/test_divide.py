"""``divide`` from the command line: live events, resuming, keys, the journal and the sheet."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from typing import TYPE_CHECKING

import pytest
from station_process import BAND, RECORDINGS, events_of, of_kind, weighstation
from station_terminal import POSIX, Terminal

if TYPE_CHECKING:
    from pathlib import Path

PRODUCTS = """\
currency = "EUR"

[[product]]
name = "Country loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
dough_cost_per_kg = 0.92

[[product]]
name = "Roll"
scaling_weight_g = 62
under_g = 2
over_g = 2
"""


def simulated(pieces: int, seed: int = 1) -> str:
    return f"simulated://?pieces={pieces}&seed={seed}&speed=max"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "products.toml").write_text(PRODUCTS)
    return tmp_path


def test_events_end_with_what_the_journal_holds(home: Path) -> None:
    words = ("divide", "Country loaf", "--port", simulated(6), "--events")
    events = events_of(weighstation(*words, home=home))
    shown = weighstation("journal", "show", "--json", home=home).stdout.splitlines()
    lines = [json.loads(line) for line in shown]
    kinds = [line["kind"] for line in lines]

    assert 6 == events[-1]["pieces"]
    assert list(range(1, 7)) == [piece["number"] for piece in of_kind(events, "piece")]
    assert lines[-1]["digest"] == events[-1]["head"]
    assert ("run_started", "run_ended") == (kinds[0], kinds[-1])
    assert {"piece_kept": 6} | lines[-1]["body"]["counts"] == lines[-1]["body"]["counts"]
    assert 740_000 == lines[0]["body"]["target_mg"]
    assert 1000 == lines[0]["body"]["division_mg"]
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_without_options_it_goes_on_with_the_last_product_and_scale(home: Path) -> None:
    weighstation("divide", "roll", "--port", simulated(3), "--events", home=home)
    events = events_of(weighstation("divide", "--events", home=home))
    shown = weighstation("journal", "show", "--json", home=home).stdout.splitlines()
    started = [
        json.loads(line)["body"] for line in shown if json.loads(line)["kind"] == "run_started"
    ]

    assert 3 == events[-1]["pieces"]
    assert ["Roll", "Roll"] == [body["product"] for body in started]
    assert simulated(3) == started[1]["scale"]
    assert "continues" not in started[1]


def test_simulated_baker_is_told_the_product(home: Path) -> None:
    events = events_of(
        weighstation("divide", "Roll", "--port", simulated(4), "--events", home=home)
    )

    assert 62 == pytest.approx(events[-1]["mean_g"], abs=4)


def interrupted(home: Path, *words: str) -> list[int]:
    """Kill a batch after its third piece, and return the numbers it had shown."""
    shown = []
    command = [sys.executable, "-m", "weighstation", "divide", *words, "--events"]
    with subprocess.Popen(
        [*command, "--home", str(home)], stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            event = json.loads(line)
            if event["event"] == "piece":
                shown.append(event["number"])
            if len(shown) == 3:
                process.kill()
                break
        shown += [
            json.loads(line)["number"]
            for line in process.stdout
            if line.endswith("\n") and '"piece",' in line.partition('"event": ')[2][:9]
        ]
    return shown


def test_interrupted_batch_goes_on_with_its_numbers(home: Path) -> None:
    """Nobody can be asked: the same product within hours is gone on with, and said so."""
    port = "simulated://?pieces=40&seed=1&speed=60"
    shown = interrupted(home, "Country loaf", "--port", port, "--dough", "30000")
    result = weighstation("divide", "--port", simulated(4, seed=2), "--events", home=home)
    events = events_of(result)
    numbers = [piece["number"] for piece in of_kind(events, "piece")]
    kept = [
        json.loads(line)["body"]["number"]
        for line in weighstation(
            "journal", "show", "--last", "100", "--json", home=home
        ).stdout.splitlines()
        if json.loads(line)["kind"] == "piece_kept"
    ]
    sheet = json.loads(weighstation("journal", "sheet", "--json", home=home).stdout)

    assert [1, 2, 3] == shown[:3]
    assert "going on with it" in result.stderr
    assert 1 == result.stderr.count("\n")
    assert 4 == len(numbers)
    assert numbers[0] > max(shown)
    assert len(kept) == len(set(kept)) == events[-1]["pieces"] == sheet["pieces"]
    assert ["interrupted", "done"] == [run["ended"] for run in sheet["runs"]]
    assert 30_000 == sheet["dough"]["on_hand_g"]
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_interrupted_batch_is_left_when_a_fresh_one_or_another_product_is_asked_for(
    home: Path,
) -> None:
    interrupted(home, "Country loaf", "--port", "simulated://?pieces=40&seed=1&speed=60")
    other = events_of(weighstation("divide", "Roll", "--port", simulated(2), "--events", home=home))
    interrupted(home, "Country loaf", "--port", "simulated://?pieces=40&seed=1&speed=60")
    fresh = events_of(
        weighstation(
            "divide", "Country loaf", "--port", simulated(2), "--fresh", "--events", home=home
        )
    )

    assert [1, 2] == [piece["number"] for piece in of_kind(other, "piece")]
    assert [1, 2] == [piece["number"] for piece in of_kind(fresh, "piece")]
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_batch_of_a_number_of_pieces_ends_by_itself_without_keys(home: Path) -> None:
    words = ("divide", "Country loaf", "--pieces", "2", "--port", "simulated://?seed=1&speed=40")
    result = weighstation(*words, home=home)

    assert 0 == result.returncode, result.stderr
    assert "Piece 2 counted: " in result.stdout
    assert "Batch sheet: Country loaf" in result.stdout
    assert "Money" in result.stdout


def test_recording_kept_beside_a_batch_replays_to_the_same_pieces(home: Path) -> None:
    kept = home / "kept.jsonl"
    words = ("divide", "Country loaf", "--port", simulated(4), "--events", "--record", str(kept))
    live = events_of(weighstation(*words, home=home))
    again = events_of(weighstation("replay", str(kept), *BAND, "--events"))
    facts = ("number", "grams", "first_grams", "touches", "verdict", "placed", "seconds")

    assert [tuple(piece[key] for key in facts) for piece in of_kind(live, "piece")] == [
        tuple(piece[key] for key in facts) for piece in of_kind(again, "piece")
    ]


@pytest.mark.parametrize("name", ["back-and-boarded", "two-at-once", "knocks"])
def test_events_of_a_bench_are_those_of_its_replay_but_for_waiting_for_the_disk(
    name: str, home: Path
) -> None:
    """Cues among themselves, and all others among themselves, stand in the same order."""
    recording = RECORDINGS / f"{name}.jsonl"
    words = ("divide", *BAND, "--port", f"replay://{recording}?speed=max", "--events")
    live = events_of(weighstation(*words, home=home))
    again = events_of(weighstation("replay", str(recording), *BAND, "--events"))

    assert of_kind(again, "cue") == of_kind(live, "cue")
    assert [event for event in again[:-1] if event["event"] != "cue"] == [
        event for event in live[:-1] if event["event"] != "cue"
    ]
    assert again[-1] | {"head": ""} == live[-1] | {"head": ""}


def test_record_writes_what_replay_reads(tmp_path: Path) -> None:
    file = tmp_path / "taken.jsonl"
    taken = weighstation("record", str(file), "--port", simulated(3), home=tmp_path)
    end = events_of(weighstation("replay", str(file), *BAND, "--events"))[-1]

    assert 0 == taken.returncode, taken.stderr
    assert 3 == end["pieces"]
    assert 0 == end["frames_bad"]


def test_events_say_beside_them_that_the_scale_counts_pieces(home: Path, tmp_path: Path) -> None:
    file = tmp_path / "counting.jsonl"
    lines = [json.dumps({"t": place / 10, "data": "   12 pcs\r\n"}) for place in range(60)]
    file.write_text("\n".join(lines))
    port = f"replay://{file}?speed=max"
    result = weighstation("divide", "Roll", "--port", port, "--events", home=home)

    assert 0 == events_of(result)[-1]["pieces"]
    assert "The scale shows the unit 'pcs'; set it to g, kg, oz or lb.\n" == result.stderr


def test_second_station_on_the_same_journal_is_refused(home: Path) -> None:
    command = [sys.executable, "-m", "weighstation", "divide", "Roll", "--events"]
    with subprocess.Popen(
        [*command, "--port", "simulated://?seed=1", "--home", str(home)],
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        process.stdout.readline()
        second = weighstation("divide", "Roll", "--port", simulated(1), home=home)
        process.kill()

    assert 4 == second.returncode
    assert second.stderr.startswith("Another station is writing the journal")


@POSIX
def test_panel_takes_keys_and_ends_with_the_sheet(home: Path) -> None:
    """Pause, strike out (twice V), go on, and end (twice E), as at a bench.

    Paused, because these hands are so fast that another piece would count between the two V.
    """
    port = "simulated://?seed=1&speed=20"
    terminal = Terminal("divide", "Country loaf", "--port", port, home=home)
    terminal.until("Country loaf")
    terminal.until("piece 2")
    terminal.press("p")
    terminal.until("go on")
    terminal.press("v")
    terminal.until("Press V again")
    time.sleep(0.2)  # sooner, it is a key held down
    terminal.press("v")
    terminal.until("is struck out")
    terminal.press("p")
    time.sleep(1.5)
    terminal.press("e")
    terminal.until("Press E again")
    time.sleep(0.2)
    terminal.press("e")
    code = terminal.rest()
    shown = weighstation("journal", "show", "--json", home=home).stdout.splitlines()
    lines = [json.loads(line) for line in shown]
    kinds = [line["kind"] for line in lines]
    whys = [line["body"]["why"] for line in lines if line["kind"] == "gap"]

    assert 0 == code
    assert "Batch sheet: Country loaf" in terminal.seen
    assert 1 == kinds.count("voided")
    assert 1 == sum(why.startswith("paused") for why in whys)
    assert "run_ended" == kinds[-1]


@POSIX
def test_person_is_asked_whether_to_go_on_and_may_say_no(home: Path) -> None:
    interrupted(home, "Country loaf", "--port", "simulated://?pieces=40&seed=1&speed=60")
    terminal = Terminal("divide", "--port", simulated(2), home=home)
    terminal.until("Go on with it?")
    terminal.press("e")
    code = terminal.rest()
    sheet = json.loads(weighstation("journal", "sheet", "--json", home=home).stdout)

    assert 0 == code
    assert 1 == len(sheet["runs"])
    assert 2 == sheet["pieces"]


@POSIX
def test_ctrl_c_leaves_a_batch_that_can_be_gone_on_with(home: Path) -> None:
    terminal = Terminal(
        "divide", "Country loaf", "--port", "simulated://?seed=1&speed=20", home=home
    )
    terminal.until("piece 2")
    terminal.press("\x03")
    code = terminal.rest()

    assert 130 == code
    assert "goes on with the batch" in terminal.seen
    assert "Traceback" not in terminal.seen
    again = weighstation("divide", "--resume", "--port", simulated(1), "--events", home=home)
    assert 0 == again.returncode


SLOW = "simulated://?pieces=40&seed=1&speed=60"


def people_of(home: Path) -> list[str]:
    """Return who divided in each run of a journal."""
    said = weighstation("journal", "show", "--last", "999", "--json", home=home).stdout
    lines = [json.loads(line) for line in said.splitlines()]
    return [e["body"].get("person", "") for e in lines if e["kind"] == "run_started"]


@POSIX
def test_a_batch_that_is_gone_on_with_keeps_who_divides_until_another_does(home: Path) -> None:
    """Another person is another run; a new batch is nobody's until somebody says so."""
    interrupted(home, "Country loaf", "--person", "ab", "--port", SLOW)
    interrupted(home, "--resume", "--port", SLOW)
    weighstation(
        "divide", "--resume", "--person", "CD", "--port", simulated(1), "--events", home=home
    )
    weighstation("divide", "--port", simulated(1), "--events", home=home)

    assert ["AB", "AB", "CD", ""] == people_of(home)


def test_what_are_no_initials_is_refused_before_anything_is_written(home: Path) -> None:
    refused = weighstation(
        "divide", "Country loaf", "--person", "Anna K.", "--port", simulated(1), home=home
    )

    assert (2, "") == (refused.returncode, refused.stdout)
    assert "--person 'Anna K.' is not one to four letters. Give initials, like AB.\n" == (
        refused.stderr
    )
    assert not (home / "journal.sqlite").exists()


@POSIX
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_told_to_go_without_keys_it_says_what_is_on_record(home: Path, name: str) -> None:
    number = signal.Signals[name]
    command = [sys.executable, "-m", "weighstation", "divide", *BAND, "--events"]
    process = subprocess.Popen(
        [*command, "--port", "simulated://?seed=1&speed=20", "--home", str(home)],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(number, signal.SIG_DFL),  # noqa: PLW1509 - one thread
    )
    with process:
        assert process.stdout is not None
        while '"event": "piece"' not in (line := process.stdout.readline()):
            assert line, "it ended before a piece counted"
        process.send_signal(number)
        _, said = process.communicate(timeout=120)

    assert 128 + number == process.returncode
    assert said.endswith("on record, and 'weighstation divide' goes on with the batch.\n")
    assert 0 == weighstation("journal", "verify", home=home).returncode


@POSIX
def test_a_terminal_that_goes_away_leaves_the_code_of_its_signal(home: Path) -> None:
    terminal = Terminal(
        "divide", "Country loaf", "--port", "simulated://?seed=1&speed=20", home=home
    )
    terminal.until("piece 2")
    os.close(terminal.near)

    assert 128 + signal.Signals["SIGHUP"] == terminal.process.wait(20)
    assert 0 == weighstation("journal", "verify", home=home).returncode
