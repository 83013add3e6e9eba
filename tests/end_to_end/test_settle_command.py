"""``journal settle``: a check that failed by mistake is settled by word and a good one."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from station_process import BAND, weighstation

if TYPE_CHECKING:
    import subprocess
    from pathlib import Path

SAID = ("--person", "Ada Krume", "--reason", "1 kg was put on for 500 g")


def check(home: Path, loads: str) -> subprocess.CompletedProcess[str]:
    port = f"simulated://?speed=max&loads={loads}"
    return weighstation("check", "--weight", "500:M1", "--port", port, home=home)


def divide(home: Path) -> None:
    port = "simulated://?speed=max&pieces=2"
    weighstation("divide", *BAND, "--port", port, "--pieces", "2", "--events", home=home)


def settle(home: Path) -> subprocess.CompletedProcess[str]:
    return weighstation("journal", "settle", "6", *SAID, home=home)


def failed_by_mistake(home: Path) -> None:
    """Good on line 1, a batch on 2 to 5, failed on line 6."""
    check(home, "500,500,500")
    divide(home)
    check(home, "500,504,500")


def test_the_next_good_check_and_a_reason_settle_it(tmp_path: Path) -> None:
    failed_by_mistake(tmp_path)
    early = settle(tmp_path)
    good = check(tmp_path, "500,500,500")
    still = weighstation("check", "--state", "--json", home=tmp_path)
    done = settle(tmp_path)
    twice = settle(tmp_path)
    gone = weighstation("check", "--state", "--json", home=tmp_path)
    sheet = weighstation("journal", "sheet", home=tmp_path)
    record = json.loads(weighstation("journal", "sheet", "--json", home=tmp_path).stdout)
    shown = weighstation("journal", "show", "--last", "3", home=tmp_path)

    assert 2 == early.returncode
    assert "No check of that scale followed the one on line 6." in early.stderr
    assert (
        "2 pieces stay doubtful: all that was weighed on this scale before the check on line"
        in (" ".join(good.stdout.split()))
    )
    assert "journal settle 6 --person NAME" in " ".join(good.stdout.split())
    assert [[1, 2]] == [batch["pieces"] for batch in json.loads(still.stdout)["doubtful"]]
    assert 0 == done.returncode
    assert "Line 8: the check on line 6 failed by mistake, says Ada Krume" in done.stdout
    assert (2, True) == (twice.returncode, "settled already, by line 8" in twice.stderr)
    assert [] == json.loads(gone.stdout)["doubtful"]
    assert "Doubt settled 2 pieces 1-2: line 8, by Ada Krume" in " ".join(sheet.stdout.split())
    assert ([], [1, 2], 6, 7) == (
        record["doubtful"],
        record["doubt_settled"][0]["pieces"],
        record["doubt_settled"][0]["failed_line"],
        record["doubt_settled"][0]["good_line"],
    )
    assert "unfit" in shown.stdout
    assert "line 6 failed by mistake, says Ada Krume, settled by line 7: 1 kg was" in shown.stdout
    assert 0 == weighstation("journal", "verify", home=tmp_path).returncode
