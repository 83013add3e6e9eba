"""Boards from the command line: laid at the bench, moved by keys and at the desk, on the sheet."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import time
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from station_process import events_of, of_kind, weighstation
from station_terminal import POSIX, Terminal

if TYPE_CHECKING:
    from collections.abc import Iterable

PRODUCTS = """\
currency = "EUR"

[[product]]
name = "Country loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
board_places = 4
rest_min = [10, 15]
dough_limit_min = 20

[[product]]
name = "Roll"
scaling_weight_g = 62
under_g = 2
over_g = 2
board_places = 3

[[product]]
name = "Slab"
scaling_weight_g = 900
under_g = 10
over_g = 10
"""
JOURNAL_PAGE = Path(__file__).parents[2] / "docs" / "reference" / "journal.md"


def simulated(pieces: int, seed: int = 1, speed: str = "max") -> str:
    return f"simulated://?pieces={pieces}&seed={seed}&speed={speed}"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "products.toml").write_text(PRODUCTS)
    return tmp_path


def divided(home: Path, product: str, pieces: int, *words: str, seed: int = 1) -> list[Any]:
    port = simulated(pieces, seed)
    return events_of(weighstation("divide", product, "--port", port, "--events", *words, home=home))


def lines(home: Path) -> list[dict[str, Any]]:
    shown = weighstation("journal", "show", "--json", "--last", "1000", home=home).stdout
    return [json.loads(line) for line in shown.splitlines()]


def sheet(home: Path, *words: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(
        weighstation("journal", "sheet", "--json", *words, home=home).stdout
    )
    return found


def lying(boards: Iterable[dict[str, Any]]) -> dict[int, list[int]]:
    return {
        board["board"]: [piece["piece"] for piece in board["pieces"]]
        for board in boards
        if board["pieces"]
    }


def by_the_page(home: Path) -> dict[int, list[int]]:
    """Run the Python of the journal's page that lists boards; it uses nothing of ours."""
    text = JOURNAL_PAGE.read_text(encoding="utf-8")
    readers = re.findall(r"^```python\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    (reader,) = [body for body in readers if "board_opened" in body]
    read = subprocess.run(
        [sys.executable, "-c", reader], check=True, cwd=home, capture_output=True, text=True
    )
    found = [list(map(int, line.split())) for line in read.stdout.splitlines()]
    return {number: pieces for number, *pieces in found if pieces}


def test_each_piece_is_told_its_board_and_the_sheet_and_a_reader_of_the_journal_agree(
    home: Path,
) -> None:
    events = divided(home, "Country loaf", 10)
    told: dict[int, list[int]] = {}
    for event in of_kind(events, "boarded"):
        told.setdefault(event["board"], []).append(event["number"])
    pieces = [piece["number"] for piece in of_kind(events, "piece")]

    assert pieces == [number for board in told.values() for number in board]
    assert [4, 4] == [len(told[board]) for board in (1, 2)]
    assert told == lying(sheet(home)["boards"]) == by_the_page(home)
    assert [(1, "filling"), (1, "closed"), (2, "filling"), (2, "closed"), (3, "filling")] == [
        (event["board"], event["stage"]) for event in of_kind(events, "board")
    ]
    assert 0 == weighstation("journal", "verify", home=home).returncode
    assert 0 == weighstation("journal", "rebuild", home=home).returncode


def test_cut_times_on_the_sheet_are_those_of_the_pieces(home: Path) -> None:
    """Two clocks meet: that of the run, and UTC as the run's first line has it."""
    events = divided(home, "Country loaf", 5)
    began_ms = lines(home)[0]["body"]["clock_utc_ms"]
    cuts = [
        datetime.fromisoformat(piece["cut"]).timestamp()
        for board in sheet(home)["boards"]
        for piece in board["pieces"]
    ]

    assert [event["cut"] for event in of_kind(events, "boarded")] == pytest.approx(
        [cut_s - began_ms / 1000 for cut_s in cuts], abs=0.002
    )


def test_without_places_there_are_no_boards_anywhere(home: Path) -> None:
    events = divided(home, "Slab", 3)

    assert [] == of_kind(events, "boarded") == of_kind(events, "board")
    assert [] == sheet(home)["boards"]
    assert not [line for line in lines(home) if line["kind"].startswith("board")]
    assert "No board is in use.\n" == weighstation("journal", "board", home=home).stdout


def test_boards_are_still_there_after_a_kill(home: Path) -> None:
    """The station is killed with the fourth piece told; the next start goes on with its boards."""
    command = [sys.executable, "-m", "weighstation", "divide", "Country loaf", "--events"]
    port = simulated(40, speed="60")
    before: list[tuple[int, int]] = []
    with subprocess.Popen(
        [*command, "--port", port, "--home", str(home)], stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            event = json.loads(line)
            if event["event"] == "boarded":
                before.append((event["board"], event["number"]))
            if len(before) == 6:
                process.kill()
                break
    on_disk = by_the_page(home)
    result = weighstation("divide", "--port", simulated(4, seed=2), "--events", home=home)
    after = [(event["board"], event["number"]) for event in of_kind(events_of(result), "boarded")]
    whole = lying(sheet(home)["boards"])
    last_board = max(on_disk)
    room = 4 - len(on_disk[last_board])

    assert "going on with it" in result.stderr
    assert before == [(board, piece) for board in on_disk for piece in on_disk[board]][:6]
    assert [last_board] * room == [board for board, _ in after][:room]
    assert [last_board + 1] * (4 - room) == [board for board, _ in after][room:]
    assert whole == by_the_page(home)
    assert 1 == len([line for line in lines(home) if line["kind"] == "board_opened"]) + (room == 4)
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_a_day_of_two_doughs_is_moved_through_the_bakery(home: Path) -> None:
    """Loaves, then rolls, then loaves again; boards are numbered through and moved at the desk."""
    divided(home, "Country loaf", 6, "--mixed", "75")
    first = weighstation("journal", "board", "1", "bench", home=home)
    divided(home, "Roll", 4, seed=3)
    for board, to in (("1", "oven"), ("2", "bench"), ("1", "out"), ("3", "oven"), ("3", "out")):
        done = weighstation("journal", "board", board, to, home=home)

        assert 0 == done.returncode, done.stderr
    divided(home, "Country loaf", 2, seed=4)
    runs = [line["body"]["run"] for line in lines(home) if line["kind"] == "run_started"]
    loaves, rolls, again = (sheet(home, "--run", run) for run in runs)
    in_use = json.loads(weighstation("journal", "board", "--json", home=home).stdout)

    assert re.fullmatch(r"Line \d+: board 1 is at the bench: it rested .*\n", first.stdout)
    assert {1: [1, 2, 3, 4], 2: [5, 6]} == lying(loaves["boards"])
    assert {3: [1, 2, 3], 4: [4]} == lying(rolls["boards"])
    assert {5: [1, 2]} == lying(again["boards"])
    assert ["out_of_oven", "at_bench"] == [board["stage"] for board in loaves["boards"]]
    assert ["out_of_oven", "closed"] == [board["stage"] for board in rolls["boards"]]
    assert ["filling"] == [board["stage"] for board in again["boards"]]
    assert [(2, "at_bench"), (4, "closed"), (5, "filling")] == [
        (board["board"], board["stage"]) for board in in_use
    ]
    assert [600.0, 900.0] == loaves["boards"][0]["rest_window_s"]
    assert loaves["mixed"] is not None
    assert rolls["mixed"] is None
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_the_sheet_says_whether_a_rest_was_within_the_window(home: Path) -> None:
    divided(home, "Country loaf", 4)
    weighstation("journal", "board", "1", "bench", home=home)
    text = weighstation("journal", "sheet", home=home).stdout

    assert "Dough's time and boards" in text
    assert "within its 20 min" in text
    assert re.search(r"Rest +0 of 1 board +within 10 to 15 min; longest 0 min, board\s+1", text)
    assert re.search(r"Board 1 +pieces 1-4 +cut .* shaped .*too\s+short", text, re.DOTALL)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("1", "out"), "Board 1 is closed, and only one in the oven comes out."),
        (("7", "bench"), "There is no board 7. In use are 1."),
        (("1",), "Nobody said where board 1 goes."),
        (("1", "closed"), "Board 1 is closed already."),
    ],
)
def test_an_impossible_order_at_the_desk_is_one_sentence_and_writes_nothing(
    words: tuple[str, ...], said: str, home: Path
) -> None:
    divided(home, "Country loaf", 4)
    weighstation("divide", "Slab", "--port", simulated(1), "--events", home=home)
    before = lines(home)
    done = weighstation("journal", "board", *words, home=home)

    assert (2, "") == (done.returncode, done.stdout)
    assert done.stderr.startswith(said)
    assert 1 == done.stderr.count("\n")
    assert before == lines(home)


def test_the_time_of_mixing_is_on_record_and_survives_a_stop(home: Path) -> None:
    port = simulated(40, speed="60")
    command = [sys.executable, "-m", "weighstation", "divide", "Country loaf", "--events"]
    with subprocess.Popen(
        [*command, "--port", port, "--mixed", "90", "--home", str(home)],
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            if json.loads(line)["event"] == "piece":
                process.kill()
                break
    began_s = time.time()
    divided(home, "Country loaf", 2, "--resume", seed=2)
    first, second = (
        line["body"]["mixed_utc_ms"] for line in lines(home) if line["kind"] == "run_started"
    )

    assert first == second
    assert 90 * 60 == pytest.approx(began_s - first / 1000, abs=60)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("soon", "--mixed 'soon' is no time of day and no number of minutes."),
        ("20000", "--mixed 20000 is more than a week of minutes."),
    ],
)
def test_a_time_of_mixing_that_makes_no_sense_is_refused(typed: str, said: str, home: Path) -> None:
    words = ("divide", "Country loaf", "--port", simulated(1), "--mixed", typed)
    refused = weighstation(*words, home=home)

    assert 2 == refused.returncode
    assert refused.stderr.startswith(said)
    assert 1 == refused.stderr.count("\n")


@POSIX
def test_keys_move_boards_and_an_impossible_order_changes_nothing(home: Path) -> None:
    """O, I and C before their time say one sentence; then S, I, O and C do what they name."""
    port = simulated(400, speed="20")
    terminal = Terminal("divide", "Country loaf", "--port", port, home=home)
    terminal.until("3 filling, 1 of 4")
    terminal.press("o")
    terminal.until("No board is in the oven.")
    terminal.press("p")
    terminal.until("go on")
    for key, asked, done in (
        ("s", "S again takes board 1 to the bench", "Board 1 is at the bench"),
        ("i", "I again puts board 1 into the oven", "Board 1 is in the oven."),
        ("o", "O again has board 1 out of the oven", "Board 1 is out of the oven, and hot."),
    ):
        terminal.press(key)
        terminal.until(asked)
        time.sleep(0.3)  # sooner, it is a key held down
        terminal.press(key)
        terminal.until(done)
        time.sleep(1.3)
    terminal.press("s")
    terminal.until("type its number")
    terminal.press("77")
    terminal.until("board 77")
    time.sleep(0.3)
    terminal.press("s")
    terminal.until("There is no board 77.")
    terminal.press("p")
    time.sleep(1.5)
    terminal.press("e")
    terminal.until("E again")
    time.sleep(0.3)
    terminal.press("e")

    assert 0 == terminal.rest()
    assert "Batch sheet: Country loaf" in terminal.seen
    moved = [line["body"] for line in lines(home) if line["kind"] == "board_moved"]
    assert [(1, "at_bench"), (1, "in_oven"), (1, "out_of_oven")] == [
        (body["board"], body["stage"]) for body in moved
    ]
    (board, *_) = sheet(home)["boards"]
    assert ("out_of_oven", False) == (board["stage"], board["within_window"])
