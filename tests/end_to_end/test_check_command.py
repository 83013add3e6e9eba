"""``check``: weights on a scale at the far end of a real line, and what it does to the record."""

from __future__ import annotations

import json
import os
import signal
import threading
import time
from typing import TYPE_CHECKING, Any, Self

import pytest
from station_process import BAND, weighstation
from station_terminal import POSIX, Terminal

if TYPE_CHECKING:
    import subprocess
    from pathlib import Path

RATE_HZ = 20
PLATE = ("--class", "III", "--e", "1", "--max", "3000")


class LineScale:
    """A scale of 1 g on a pseudo-terminal; a test puts loads on it."""

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
        self.unplug()
        os.close(self._far)

    def unplug(self) -> None:
        if not self._over.is_set():
            self._over.set()
            self._thread.join()
            os.close(self._near)

    def _speak(self) -> None:
        shown = [0.0] * 4
        while not self._over.wait(1 / RATE_HZ):
            shown = [*shown[1:], self.level_g]
            mark = "ST" if len(set(shown)) == 1 else "US"
            try:
                os.write(self._near, f"{mark},GS,{round(sum(shown) / 4):+07d} g\r\n".encode())
            except BlockingIOError:
                time.sleep(0.01)  # nobody listens


def simulated(loads: str, **options: str) -> str:
    more = "".join(f"&{name}={text}" for name, text in options.items())
    return f"simulated://?speed=max&loads={loads}{more}"


def check(
    *words: str, loads: str, home: Path, weights: tuple[str, ...] = ("500:M1",)
) -> subprocess.CompletedProcess[str]:
    named = [word for weight in weights for word in ("--weight", weight)]
    return weighstation("check", *named, "--port", simulated(loads), *words, home=home)


def lines(home: Path) -> list[dict[str, Any]]:
    shown = weighstation("journal", "show", "--last", "99", "--json", home=home)
    return [json.loads(line) for line in shown.stdout.splitlines()]


def divide(home: Path, pieces: int = 3) -> subprocess.CompletedProcess[str]:
    port = f"simulated://?speed=max&pieces={pieces}"
    words = ("--port", port, "--pieces", str(pieces), "--events")
    return weighstation("divide", *BAND, *words, home=home)


def test_a_good_scale_is_fit_and_all_of_it_is_on_record(tmp_path: Path) -> None:
    result = check(*PLATE, "--person", "Ada Krume", "--json", loads="500,501,500", home=tmp_path)
    told = json.loads(result.stdout)
    (line,) = lines(tmp_path)
    body = line["body"]

    assert 0 == result.returncode, result.stderr
    assert ("scale_checked", "fit", "Ada Krume") == (line["kind"], body["verdict"], body["person"])
    assert ("III", 1_000_000) == (
        body["held_against"]["accuracy_class"],
        body["held_against"]["e_ug"],
    )
    assert [("500 g M1", 500_000_000, 25_000)] == [
        (weight["name"], weight["mass_ug"], weight["error_ug"]) for weight in body["weights"]
    ]
    assert [0, 500_000, 0, 501_000, 0, 500_000, 0] == [s["indicated_mg"] for s in body["steps"]]
    assert [0.0, 500.0, 0.0, 501.0] == [step["indicated_g"] for step in told["steps"]][:4]
    assert all(finding["good"] for finding in told["findings"])


def test_the_plate_is_kept_and_used_the_next_time(tmp_path: Path) -> None:
    check(*PLATE, loads="500,500,500", home=tmp_path)
    again = check("--json", loads="1000,1002,1000", weights=("1000:M1",), home=tmp_path)

    assert 'accuracy_class = "III"' in (tmp_path / "scales.toml").read_text()
    assert ("plate", "fit") == tuple(json.loads(again.stdout)[key] for key in ("basis", "verdict"))


def test_a_failed_check_names_what_is_doubtful_until_a_good_one(tmp_path: Path) -> None:
    check(loads="500,500,500", home=tmp_path)
    before = divide(tmp_path)
    failed = check("--json", loads="500,504,500", home=tmp_path)
    warned = divide(tmp_path)
    state = weighstation("check", "--state", "--json", home=tmp_path)
    sheet = weighstation("journal", "sheet", "--json", home=tmp_path)
    mended = check(loads="500,500,500", home=tmp_path)
    quiet = divide(tmp_path)
    after = weighstation("journal", "sheet", "--json", home=tmp_path)
    runs = [line["body"] for line in lines(tmp_path) if line["kind"] == "run_started"]

    assert (0, "") == (before.returncode, before.stderr)
    assert 1 == failed.returncode
    (batch,) = json.loads(failed.stdout)["doubtful"]
    assert (runs[0]["run"], [1, 2, 3], [1, 2, 3]) == (
        batch["run"],
        batch["pieces"],
        batch["weigh_again"],
    )
    assert "was found not fit" in warned.stderr
    assert 1 == state.returncode
    assert [3, 3] == [len(each["pieces"]) for each in json.loads(state.stdout)["doubtful"]]
    assert [1, 2, 3] == json.loads(sheet.stdout)["doubtful"]
    assert "unfit" == json.loads(sheet.stdout)["scale_check"]["verdict"]
    assert (0, "") == (mended.returncode, quiet.stderr)
    assert [] == json.loads(after.stdout)["doubtful"]
    assert [(1, 1), (7, 0), (13, 1)] == [
        (run["last_check"]["line"], run["last_check"]["is_fit"]) for run in runs
    ]


def test_a_failed_check_names_the_boards_that_can_be_weighed_again(tmp_path: Path) -> None:
    """Board 1 is shaped by then; what lies on the others can still be weighed."""
    (tmp_path / "products.toml").write_text(
        'currency = "EUR"\n[[product]]\nname = "Roll"\nscaling_weight_g = 740\n'
        "under_g = 8\nover_g = 8\nboard_places = 2\n",
        encoding="utf-8",
    )
    port = "simulated://?seed=4&pieces=5&speed=max"
    weighstation("divide", "Roll", "--port", port, "--pieces", "5", "--plain", home=tmp_path)
    weighstation("journal", "board", "1", "bench", home=tmp_path)
    failed = check(loads="500,504,500", home=tmp_path)
    state = weighstation("check", "--state", "--json", home=tmp_path)
    (batch,) = json.loads(state.stdout)["doubtful"]

    assert [1, 2, 3, 4, 5] == batch["pieces"]
    assert ([3, 4, 5], [2, 3]) == (batch["weigh_again"], batch["boards"])
    assert "Pieces 3-5 lie on boards 2-3, not shaped yet: weigh them again" in " ".join(
        failed.stdout.split()
    )
    assert "Dough does not wait" in failed.stdout


def test_the_first_sheet_tells_of_a_later_failed_check(tmp_path: Path) -> None:
    divide(tmp_path)
    run = next(line["body"]["run"] for line in lines(tmp_path))
    before = weighstation("journal", "sheet", home=tmp_path)
    check(loads="500,504,500", home=tmp_path)
    after = weighstation("journal", "sheet", "--run", run, home=tmp_path)

    assert "Doubtful" not in before.stdout
    assert "Doubtful 3 pieces 1-3: a check found the scale not fit" in " ".join(
        after.stdout.split()
    )


def test_the_journal_holds_and_is_rebuilt_to_the_same(tmp_path: Path) -> None:
    check(loads="500,500,500", home=tmp_path)
    divide(tmp_path)
    check(loads="500,504,500", home=tmp_path)
    codes = [weighstation("journal", w, home=tmp_path).returncode for w in ("verify", "rebuild")]

    assert [0, 0] == codes
    assert 0 == weighstation("journal", "verify", home=tmp_path).returncode


def test_a_check_closes_a_batch_that_was_left_open(tmp_path: Path) -> None:
    """Only a new run can follow a check; the batch can still be gone on with."""
    port = "simulated://?speed=4&pieces=9"
    terminal = Terminal("divide", *BAND, "--port", port, "--plain", home=tmp_path)
    terminal.until("Piece 1 counted")
    terminal.process.send_signal(signal.SIGKILL)
    terminal.process.wait()
    check(loads="500,500,500", home=tmp_path)
    kinds = [line["kind"] for line in lines(tmp_path)]
    resumed = divide(tmp_path, pieces=9)

    assert ["run_ended", "scale_checked"] == kinds[-2:]
    assert "going on with it" in resumed.stderr


def test_a_check_that_is_too_long_ago_is_said(tmp_path: Path) -> None:
    check("--due", "0.1", loads="500,500,500", home=tmp_path)
    fresh = weighstation("check", "--state", "--port", "simulated://", home=tmp_path)
    scales = tmp_path / "scales.toml"
    scales.write_text(scales.read_text().replace("check_due_h = 0.1", "check_due_h = 0.0000001"))
    old = weighstation("check", "--state", "--port", "simulated://", home=tmp_path)

    assert (0, 1) == (fresh.returncode, old.returncode)
    assert "is to be checked every 1e-07 h" in old.stdout
    assert "is to be checked every" in divide(tmp_path).stderr


def test_without_any_check_the_state_says_so(tmp_path: Path) -> None:
    result = weighstation("check", "--state", "--port", "tcp://scale:4001", home=tmp_path)

    assert 1 == result.returncode
    assert "No check of this scale is on record" in result.stdout


def test_a_certificate_that_ran_out_is_said_and_is_on_record(tmp_path: Path) -> None:
    (tmp_path / "weights.toml").write_text(
        '[[weight]]\nname = "box 1"\nnominal_g = 500\nclass = "M1"\ndue_on = 2020-01-01\n'
    )
    result = check(loads="500,500,500", weights=(), home=tmp_path)

    assert 0 == result.returncode
    assert "The certificate of 'box 1' ran out on 2020-01-01" in result.stderr
    assert "2020-01-01" == lines(tmp_path)[0]["body"]["weights"][0]["due_on"]


def test_a_certificate_that_is_yet_to_come_is_said(tmp_path: Path) -> None:
    (tmp_path / "weights.toml").write_text(
        '[[weight]]\nname = "box 1"\nnominal_g = 500\nclass = "M1"\ncertified_on = 2999-01-01\n'
    )
    result = check(loads="500,500,500", weights=(), home=tmp_path)

    assert "is dated 2999-01-01, which is yet to come" in result.stderr


def test_it_is_said_which_scale_is_meant(tmp_path: Path) -> None:
    """Two scales may share a home, and 'this scale' is either."""
    check(loads="500,500,500", home=tmp_path)
    last = weighstation("check", "--state", home=tmp_path)
    other = weighstation("check", "--state", "--port", "tcp://scale:4001", home=tmp_path)

    assert ["Scale: a simulated scale", "Scale: scale:4001"] == [
        result.stdout.splitlines()[0] for result in (last, other)
    ]


def test_after_a_failed_check_it_is_said_to_check_once_more(tmp_path: Path) -> None:
    result = check(loads="500,504,500", home=tmp_path)

    assert "Check it once more, with the right weights" in result.stdout


def test_a_guard_band_is_drawn_in_by_the_check_and_gone_on_with(tmp_path: Path) -> None:
    """Held against one division: 2 sqrt(1/6 + 1/3) = 1.414 g, two digits upwards 1.5 g."""
    port = "simulated://?speed=max&pieces=3"
    words = ("--port", port, "--pieces", "3", "--events")
    refused = weighstation("divide", *BAND, *words, "--guard", home=tmp_path)
    check(loads="500,500,500", home=tmp_path)
    guarded = weighstation("divide", *BAND, *words, "--guard", home=tmp_path)
    sheet = weighstation("journal", "sheet", home=tmp_path)
    weighstation("divide", "--pieces", "3", "--events", home=tmp_path)
    weighstation("divide", "--pieces", "3", "--events", "--no-guard", home=tmp_path)
    runs = [line["body"] for line in lines(tmp_path) if line["kind"] == "run_started"]
    (first,) = [line["seq"] for line in lines(tmp_path) if line["kind"] == "scale_checked"]

    assert 2 == refused.returncode
    assert "rests on a good check of this scale" in refused.stderr
    assert "keep 733.5 to 746.5 g instead of 732 to 748 g" in guarded.stderr
    assert [(6500, 6500)] * 2 + [(8000, 8000)] == [(r["under_mg"], r["over_mg"]) for r in runs]
    assert [{"width_mg": 1500, "check_line": first}] * 2 == [r["guard"] for r in runs[:2]]
    assert "guard" not in runs[2]
    assert "drawn in from 732 to 748 g by the check on line" in " ".join(sheet.stdout.split())


def test_a_product_asks_for_a_guard_band_itself(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_text(
        'currency = "EUR"\n[[product]]\nname = "Loaf"\nscaling_weight_g = 740\nunder_g = 8\n'
        "over_g = 8\nguard = true\n"
    )
    check(loads="500,500,500", home=tmp_path)
    words = ("--port", "simulated://?speed=max&pieces=2", "--pieces", "2", "--events")
    asked = weighstation("divide", "Loaf", *words, home=tmp_path)
    unasked = weighstation("divide", "Loaf", *words, "--no-guard", home=tmp_path)

    assert "Guard band of 1.5 g" in asked.stderr
    assert (0, "") == (unasked.returncode, unasked.stderr)


def test_a_check_that_was_not_finished_writes_nothing(tmp_path: Path) -> None:
    result = check(loads="500,1000,500", home=tmp_path)

    assert 2 == result.returncode
    assert "Stopped: nothing is on record." == result.stderr.splitlines()[-2]
    assert "ended after 2 of 3 loads." in result.stderr.splitlines()[-1]
    assert not (tmp_path / "journal.sqlite").exists()


def put(scale: LineScale, terminal: Terminal, level_g: float, until: str) -> None:
    scale.level_g = level_g
    terminal.until(until)


@POSIX
def test_a_person_checks_with_one_weight_in_less_than_a_minute(tmp_path: Path) -> None:
    """A wrong weight is waited out; what is far off counts once the person says so."""
    device, home = tmp_path / "scale", tmp_path / "home"
    with LineScale(device) as scale:
        began_s = time.monotonic()
        port = f"serial://{device}"
        terminal = Terminal("check", "--weight", "500:M1", "--port", port, home=home)
        terminal.until("Who checks?")
        terminal.press("Ada Krume\n")
        terminal.until("Put on 1/3: 500 g M1 in the middle")
        put(scale, terminal, 1000, "It shows 1000 g, not 500 g: put that on alone")
        put(scale, terminal, 0, "Put on 1/3")
        for place in (2, 3):
            put(scale, terminal, 500, "Take it off")
            put(scale, terminal, 0, f"Again {place}/3")
        put(scale, terminal, 610, "Enter: fails")
        terminal.press("\n")
        terminal.until("Take it off")
        scale.level_g = 0
        code = terminal.rest()
        lasted_s = time.monotonic() - began_s
    said = " ".join(terminal.seen.split())

    assert 1 == code, terminal.seen
    assert "shows 610 g, +110 g; only 1 g is allowed" in said
    assert "It is on record as line 1." in said
    assert lasted_s < 60
    assert "Ada Krume" == lines(home)[0]["body"]["person"]


@POSIX
def test_a_scale_unplugged_in_the_middle_leaves_nothing_on_record(tmp_path: Path) -> None:
    device, home = tmp_path / "scale", tmp_path / "home"
    with LineScale(device) as scale:
        words = ("check", "--weight", "500:M1", "--person", "A", "--port", f"serial://{device}")
        terminal = Terminal(*words, home=home)
        terminal.until("Put on 1/3")
        put(scale, terminal, 500, "Take it off")
        scale.unplug()
        code = terminal.rest()

    assert 3 == code, terminal.seen
    assert "Stopped: nothing is on record." in terminal.seen
    assert not (home / "journal.sqlite").exists()


@POSIX
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_stopped_in_the_middle_it_leaves_nothing_on_record(
    tmp_path: Path, number: signal.Signals
) -> None:
    device, home = tmp_path / "scale", tmp_path / "home"
    with LineScale(device) as scale:
        words = ("check", "--weight", "500:M1", "--person", "A", "--port", f"serial://{device}")
        terminal = Terminal(*words, home=home)
        terminal.until("Put on 1/3")
        put(scale, terminal, 500, "Take it off")
        terminal.process.send_signal(number)
        code = terminal.rest()

    assert 128 + number == code
    assert "Stopped: nothing is on record." in terminal.seen
    assert not (home / "journal.sqlite").exists()


@POSIX
@pytest.mark.parametrize(("how", "code"), [("key", 130), ("cable", 3)])
def test_a_check_that_has_failed_is_not_taken_back_by_stopping_it(
    tmp_path: Path, how: str, code: int
) -> None:
    """Or a scale could be checked until it passes, with nothing but the good check on record."""
    device, home = tmp_path / "scale", tmp_path / "home"
    with LineScale(device) as scale:
        words = ("check", "--weight", "500:M1", "--person", "A", "--port", f"serial://{device}")
        terminal = Terminal(*words, home=home)
        terminal.until("Put on 1/3")
        put(scale, terminal, 506, "Take it off")
        if how == "key":
            terminal.process.send_signal(signal.SIGINT)
        else:
            scale.unplug()
        left = terminal.rest()
    (line,) = lines(home)

    assert code == left, terminal.seen
    assert "It was broken off after 1 of 3 loads. It is on record as line 1." in (
        " ".join(terminal.seen.split())
    )
    assert "unfit" == line["body"]["verdict"]
    assert [0, 506_000] == [step["indicated_mg"] for step in line["body"]["steps"]]


def test_a_station_at_work_is_not_checked_meanwhile(tmp_path: Path) -> None:
    terminal = Terminal("divide", *BAND, "--port", "simulated://?speed=4", "--plain", home=tmp_path)
    terminal.until("Piece 1 counted")
    result = check(loads="500,500,500", home=tmp_path)
    terminal.process.send_signal(signal.SIGINT)
    terminal.rest()

    assert 4 == result.returncode
    assert "Another station is writing the journal" in result.stderr
