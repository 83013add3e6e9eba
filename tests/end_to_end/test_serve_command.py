"""``serve``: batch after batch begun from a page, for as long as it is wanted."""

from __future__ import annotations

import json
import signal
import time
from typing import TYPE_CHECKING, Any

import pytest
from served_station import served
from station_process import weighstation

if TYPE_CHECKING:
    from pathlib import Path

PRODUCTS = """\
currency = "EUR"

[[product]]
name = "Hazel loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8

[[product]]
name = "Bap"
scaling_weight_g = 80
under_g = 3
over_g = 3
"""
SCALE = "simulated://?seed=5&speed=10"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "products.toml").write_text(PRODUCTS)
    return tmp_path


def runs_of(home: Path) -> list[tuple[str, str]]:
    """Return product and end of each run, in their order."""
    shown = weighstation("journal", "show", "--json", home=home).stdout.splitlines()
    lines = [json.loads(line) for line in shown]
    begun = [line["body"]["product"] for line in lines if line["kind"] == "run_started"]
    ended = [line["body"]["why"] for line in lines if line["kind"] == "run_ended"]
    return list(zip(begun, ended, strict=True))


def is_idle(state: dict[str, Any]) -> bool:
    """Return whether another batch can be begun."""
    return not state["batch"] and bool(state["idle"])


def has_counted(pieces: int) -> Any:
    return lambda state: state["batch"] and int(state["facts"][0][1].split(" ")[0]) >= pieces


def test_batch_after_batch_is_begun_from_the_page(home: Path) -> None:
    with served("serve", "--port", "0", "--scale", SCALE, home=home) as station:
        idle = station.state_when(is_idle)
        begun = station.post("/bench/start", product="Hazel loaf", pieces=30, batch=0)
        first = station.state_when(has_counted(2))
        another = station.post("/bench/start", product="Bap", batch=first["batch"])
        second = station.state_when(
            lambda state: state["batch"] > first["batch"] and has_counted(1)(state)
        )
        ended = station.post("/bench/ask", control="end", batch=second["batch"])
        done = station.state_when(is_idle)
        station.process.send_signal(signal.SIGTERM)
        code = station.process.wait(10)

    assert ["Hazel loaf", "Bap"] == [each["name"] for each in idle["idle"]["products"]]
    assert [202] * 3 == [answer.status for answer in (begun, another, ended)]
    assert first["product"].startswith("Hazel loaf")
    assert second["product"].startswith("Bap")
    assert done["idle"]["last"].startswith("Bap: ")
    assert 128 + signal.SIGTERM == code
    assert [("Hazel loaf", "done"), ("Bap", "done")] == runs_of(home)
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_what_cannot_be_begun_is_said_on_the_page_and_the_station_goes_on(home: Path) -> None:
    fault = ""
    with served("serve", "--port", "0", "--scale", "serial:///dev/none", home=home) as station:
        for said in ({"product": "Rye"}, {"product": "Bap", "person": "1"}, {"product": "Bap"}):
            answer = station.post("/bench/start", batch=0, **said)
            state = station.state_when(lambda state: state["idle"].get("fault", fault) != fault)  # noqa: B023
            fault = state["idle"]["fault"]

            assert (202, 0) == (answer.status, state["batch"])
            assert fault
            assert "\n" not in fault


def test_a_journal_that_cannot_be_read_is_said_and_the_station_waits_on(home: Path) -> None:
    (home / "journal.sqlite").write_bytes(b"no journal" * 1000)
    with served("serve", "--port", "0", "--scale", SCALE, home=home) as station:
        said = station.state_when(is_idle)["idle"]
        (home / "journal.sqlite").unlink()
        mended = station.state_when(lambda state: is_idle(state) and not state["idle"]["fault"])

    assert "journal.sqlite" in said["fault"]
    assert 2 == len(mended["idle"]["products"])


def test_a_batch_that_was_killed_is_offered_to_be_gone_on_with(home: Path) -> None:
    words = ("serve", "--port", "0", "--scale", SCALE)
    with served(*words, home=home) as station:
        station.post("/bench/start", product="Bap", pieces=40, batch=0)
        station.state_when(has_counted(3))
        station.process.kill()
        station.process.wait(10)
    with served(*words, home=home) as station:
        offered = station.state_when(is_idle)["idle"]["interrupted"]
        station.post("/bench/start", product="Bap", batch=0, resume=True)
        on = station.state_when(lambda state: state["batch"])

    assert "Bap" == offered["product"]
    assert offered["pieces"] >= 3
    assert f"{offered['pieces']} of 40" in on["facts"][0][1]


def test_it_leaves_within_two_seconds_with_viewers_connected(home: Path) -> None:
    with served("serve", "--port", "0", "--scale", SCALE, home=home) as station:
        station.post("/bench/start", product="Bap", batch=0)
        viewers = [station.states() for _ in range(5)]
        for viewer in viewers:
            next(viewer)
        began_s = time.monotonic()
        station.process.send_signal(signal.SIGTERM)
        station.process.wait(10)
        took_s = time.monotonic() - began_s

    assert took_s < 2.0
