"""Standard output that is closed, full or read by nobody: one plain sentence, or none."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(os.name != "posix", reason="needs a shell and /dev/full")
RECORDING = Path(__file__).parents[2] / "fixtures" / "recordings" / "single.jsonl"
BAND = "--target 740 --under 8 --over 8"
REPLAY = f"replay {RECORDING} {BAND} --events"
LIVE = f"divide {BAND} --port replay://{RECORDING}?speed=max --events"
FULL = (
    "What was to be written was refused (no space left on device)."
    " Free some space or write elsewhere, and do it again.\n"
)


def shell(words: str, home: Path) -> subprocess.CompletedProcess[str]:
    """Run a command as it would be typed; PIPED is its exit code in a pipe."""
    return subprocess.run(
        ["/bin/bash", "-c", f"{sys.executable} -m weighstation {words}"],
        check=False,
        capture_output=True,
        text=True,
        timeout=180,
        env=os.environ | {"WEIGHSTATION_HOME": str(home)},
    )


@pytest.mark.parametrize("words", [REPLAY, "demo --fast", "--help", LIVE])
def test_a_full_disk_behind_standard_output_is_said(words: str, tmp_path: Path) -> None:
    result = shell(f"{words} > /dev/full", tmp_path)

    assert (4, FULL) == (result.returncode, result.stderr)


@pytest.mark.parametrize("words", [REPLAY, "demo --fast", "--help", LIVE])
def test_a_closed_standard_output_is_no_fault(words: str, tmp_path: Path) -> None:
    result = shell(f"{words} >&-", tmp_path)

    assert (0, "") == (result.returncode, result.stderr)


def test_a_closed_standard_output_takes_no_line_of_the_journal(tmp_path: Path) -> None:
    """Without a stream of its own, the journal's file would take the number of standard output."""
    shell(f"{LIVE} <&- >&- 2>&-", tmp_path)

    assert shell("journal verify", tmp_path).stdout.startswith("The journal holds")


def test_a_replay_whose_reader_has_gone_ends_in_silence(tmp_path: Path) -> None:
    result = shell(f"{REPLAY} | head -1", tmp_path)

    assert 1 == len(result.stdout.splitlines())
    assert "" == result.stderr


def test_a_batch_whose_reader_has_gone_stops_says_so_and_can_be_gone_on_with(
    tmp_path: Path,
) -> None:
    endless = f"divide {BAND} --port 'simulated://?seed=1&speed=max' --events"
    result = shell(f"{endless} | sed '/event.: .piece/q'; exit ${{PIPESTATUS[0]}}", tmp_path)
    again = shell(
        f"divide {BAND} --port 'simulated://?seed=1&pieces=1&speed=max' --resume", tmp_path
    )

    assert 130 == result.returncode
    assert 1 == result.stdout.count('"event": "piece"')
    assert "Traceback" not in result.stderr
    assert "goes on with the batch" in result.stderr
    assert 0 == again.returncode


def test_a_batch_left_before_its_first_piece_does_not_promise_to_go_on(tmp_path: Path) -> None:
    endless = f"divide {BAND} --port 'simulated://?seed=1' --events"
    result = shell(f"{endless} | true; exit ${{PIPESTATUS[0]}}", tmp_path)

    assert (130, "\nStopped: nothing was weighed.\n") == (result.returncode, result.stderr)


def test_a_recording_that_the_disk_refuses_in_mid_run_is_said(tmp_path: Path) -> None:
    """The limit on a file's size refuses the later lines, as a disk that fills up does."""
    words = f"record {tmp_path / 'kept.jsonl'} --port replay://{RECORDING}?speed=max"
    unmeasured = "unset COVERAGE_PROCESS_CONFIG"  # its own file would meet the limit too
    result = shell(
        f"--version > /dev/null; {unmeasured}; ulimit -f 4; trap '' XFSZ; {sys.executable} -m"
        f" weighstation {words}",
        tmp_path,
    )

    assert 4 == result.returncode
    assert result.stderr.startswith("The recording '")
    assert 1 == result.stderr.count("\n")
