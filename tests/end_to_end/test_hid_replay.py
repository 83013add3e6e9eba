"""A scale that sends reports, from its recording to its pieces: the same as the lines gave."""

from __future__ import annotations

import json
import re
import struct
from typing import TYPE_CHECKING

import pytest
from station_process import BAND, RECORDINGS, events_of, of_kind, weighstation

if TYPE_CHECKING:
    from pathlib import Path

IN_MOTION, STABLE, UNDER_ZERO = 3, 4, 5
GRAM = 2
LINE = re.compile(r"(?P<mark>[SM]) (?P<sign>[+-])(?P<digits>[0-9]+) g")


def report_of(line: str) -> bytes | None:
    """Return the usual report of six bytes: id, status, unit, exponent, weight (page 0x8D)."""
    found = LINE.match(line)
    if found is None:
        return None
    status = STABLE if found["mark"] == "S" else IN_MOTION
    status = UNDER_ZERO if found["sign"] == "-" and int(found["digits"]) else status
    return struct.pack("<BBBbH", 3, status, GRAM, 0, int(found["digits"]))


def rewritten(name: str, path: Path) -> Path:
    lines = (RECORDINGS / f"{name}.jsonl").read_text().splitlines()
    rows = [{"recording": 1, "source": "hid://0922:8003", "descriptor": ""}]
    for row in map(json.loads, lines[1:]):
        report = report_of(row["data"])
        if report is not None:
            rows.append({"t": row["t"], "hex": report.hex()})
    path.write_text("\n".join(map(json.dumps, rows)))
    return path


@pytest.mark.parametrize("name", ["single", "boarded"])
def test_reports_give_the_pieces_that_lines_gave(name: str, tmp_path: Path) -> None:
    path = rewritten(name, tmp_path / "reports.jsonl")
    lines = events_of(weighstation("replay", str(RECORDINGS / f"{name}.jsonl"), *BAND, "--events"))
    reports = events_of(weighstation("replay", str(path), *BAND, "--events"))
    url = f"replay://{path}?speed=max"
    divided = events_of(weighstation("divide", *BAND, "--port", url, "--events", home=tmp_path))

    assert len(of_kind(lines, "piece")) > 3
    assert of_kind(lines, "piece") == of_kind(reports, "piece") == of_kind(divided, "piece")


def test_a_recording_beside_a_batch_keeps_what_reports_mean(tmp_path: Path) -> None:
    url = f"replay://{rewritten('single', tmp_path / 'reports.jsonl')}?speed=max"
    kept = tmp_path / "kept.jsonl"
    words = ("--port", url, "--events", "--record", str(kept))
    divided = weighstation("divide", *BAND, *words, home=tmp_path)
    again = events_of(weighstation("replay", str(kept), *BAND, "--events"))

    assert "" == json.loads(kept.read_text().splitlines()[0])["descriptor"]
    assert of_kind(events_of(divided), "piece") == of_kind(again, "piece")
