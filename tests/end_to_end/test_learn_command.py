"""``learn``: a scale on a real line, questions on a real terminal, and what is kept is used."""

from __future__ import annotations

import json
import os
import threading
import time
from typing import TYPE_CHECKING, Self

import pytest
from station_process import BAND, RECORDINGS, of_kind, weighstation
from station_terminal import POSIX, Terminal

if TYPE_CHECKING:
    from pathlib import Path

AVERAGED = 4
RATE_HZ = 20


class ImpliedTenths:
    """A scale that streams seven digits and no more: tenths of a gram, as nobody could guess."""

    def __init__(self, device: Path) -> None:
        self.level_g = 0.0
        self._near, self._far = os.openpty()
        os.set_blocking(self._near, False)
        device.symlink_to(os.ttyname(self._far))
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._speak, daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(self, *exc: object) -> None:
        self._over.set()
        self._thread.join()
        os.close(self._near)
        os.close(self._far)

    def _speak(self) -> None:
        shown = [0.0] * AVERAGED
        while not self._over.wait(1 / RATE_HZ):
            shown = [*shown[1:], self.level_g]
            try:
                os.write(self._near, f"{round(10 * sum(shown) / AVERAGED):07d}\r\n".encode())
            except BlockingIOError:
                time.sleep(0.01)  # nobody listens


def learn_it(scale: ImpliedTenths, device: Path, home: Path, agrees: str) -> Terminal:
    terminal = Terminal("learn", f"serial://{device}", home=home)
    terminal.until("Take everything off")
    terminal.press("\n")
    terminal.until("whose weight you know")
    scale.level_g = 500.0
    time.sleep(1.0)
    terminal.press("\n")
    terminal.until("What does it weigh")
    terminal.press("500\n")
    terminal.until("now? [Y/n]")
    terminal.press(agrees)
    return terminal


def weigh_once(scale: ImpliedTenths, load_g: float, home: Path) -> None:
    """Lay something on and take it off once a station has its journal open, however late."""
    while not (home / "journal.sqlite").exists():
        time.sleep(0.05)
    time.sleep(3.0)
    scale.level_g = load_g
    time.sleep(3.0)
    scale.level_g = 0.0


@POSIX
def test_a_scale_is_learned_with_a_known_weight_and_read_so_ever_after(tmp_path: Path) -> None:
    device, home = tmp_path / "scale", tmp_path / "home"
    with ImpliedTenths(device) as scale:
        terminal = learn_it(scale, device, home, "\n")
        code = terminal.rest()
        scale.level_g = 0.0
        threading.Thread(target=weigh_once, args=(scale, 741.5, home), daemon=True).start()
        words = ("--port", f"serial://{device}", "--pieces", "1", "--events")
        divided = weighstation("divide", *BAND, *words, home=home)
    events = [json.loads(line) for line in divided.stdout.splitlines()]

    assert 0 == code, terminal.seen
    assert "9600 baud, 8N1: weights" in terminal.seen
    assert "Does the scale itself show 500.0 g now?" in terminal.seen
    assert "implied_decimals = 1" in (home / "scales.toml").read_text()
    assert 0 == divided.returncode, divided.stderr
    assert [741.5] == [piece["grams"] for piece in of_kind(events, "piece")]


@POSIX
def test_nothing_is_kept_of_a_scale_that_shows_something_else(tmp_path: Path) -> None:
    with ImpliedTenths(tmp_path / "scale") as scale:
        terminal = learn_it(scale, tmp_path / "scale", tmp_path / "home", "n\n")
        code = terminal.rest()

    assert 1 == code
    assert "Nothing was kept." in terminal.seen
    assert not (tmp_path / "home" / "scales.toml").exists()


@POSIX
def test_a_silent_scale_is_answered_with_what_to_do(tmp_path: Path) -> None:
    near, far = os.openpty()
    terminal = Terminal("learn", f"serial://{os.ttyname(far)}", home=tmp_path)
    code = terminal.rest(30)
    os.close(near)
    os.close(far)

    assert 3 == code
    assert 8 == terminal.seen.count(" baud: nothing")
    assert "No weights came at any speed. Set the scale to send all the time" in terminal.seen


def test_a_recording_teaches_without_questions() -> None:
    result = weighstation("learn", str(RECORDINGS / "single.jsonl"), "--json")
    learned = json.loads(result.stdout)

    assert 0 == result.returncode, result.stderr
    assert ("g", 1.0, "'S'") == (learned["unit"], learned["division_g"], learned["stable_mark"])
    assert [] == learned["open"]


def test_what_no_line_tells_is_said_to_be_open(tmp_path: Path) -> None:
    """Seven digits are whole grams or tenths: only a known load tells."""
    levels = [0] * 20 + [1200, 3700, 6200, 7405, 7404] + [7405] * 20 + [7406, 7405]
    rows = [{"t": place / 10, "data": f"{n:07d}\r\n"} for place, n in enumerate(levels)]
    path = tmp_path / "taken.jsonl"
    path.write_text("\n".join(map(json.dumps, rows)))
    unknown = json.loads(weighstation("learn", str(path), "--json").stdout)
    known = json.loads(weighstation("learn", str(path), "--load", "740.5", "--json").stdout)

    assert {"unit", "scale"} <= set(unknown["open"])
    assert [] == known["open"]
    assert (0.1, 1) == (known["division_g"], known["profile"]["implied_decimals"])


def test_a_last_line_that_was_cut_short_is_said(tmp_path: Path) -> None:
    path = tmp_path / "cut.jsonl"
    path.write_text('{"t": 0, "data": "740 g\\r\\n"}\n{"t": 0.1, "da')
    result = weighstation("learn", str(path), "--json")

    assert 1 == json.loads(result.stdout)["lines"]
    assert "Line 2 was cut short and is left out.\n" == result.stderr


def test_lines_that_were_not_read_are_counted(tmp_path: Path) -> None:
    """Thousands parted by a blank are not read; without a word the rest would look well."""
    levels = [0] * 20 + [120, 370, 620] + [1371] * 20
    rows = [
        {"t": place / 10, "data": f"{f'{grams:,}'.replace(',', ' '):>7} g\r\n"}
        for place, grams in enumerate(levels)
    ]
    path = tmp_path / "taken.jsonl"
    path.write_text("\n".join(map(json.dumps, rows)))
    told = json.loads(weighstation("learn", str(path), "--json").stdout)
    shown = weighstation("learn", str(path)).stdout

    assert (43, 20) == (told["lines"], told["lines_unread"])
    assert "20 of 43 lines" in shown


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("learn",), 2, "somebody who looks at its display"),
        (("learn", str(RECORDINGS / "single.truth.json")), 2, "not a recording"),
        (("learn", "not-there.jsonl"), 2, "There is no recording 'not-there.jsonl'"),
        (("learn", str(RECORDINGS / "single.jsonl"), "--load", "0"), 2, "more than 0 g"),
        (("learn", str(RECORDINGS / "single.jsonl"), "--load", "x"), 2, "no number of grams"),
    ],
)
def test_what_cannot_be_learned_is_answered_in_a_sentence(
    words: tuple[str, ...], code: int, says: str
) -> None:
    result = weighstation(*words)

    assert code == result.returncode
    assert says in result.stderr
    assert 1 == result.stderr.count("\n")
