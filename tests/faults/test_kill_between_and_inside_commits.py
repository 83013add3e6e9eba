"""A station killed at any instant has lost no piece that it had shown, and goes on with its batch.

The long form: ``python tests/benchmarks/thousand_kills.py 1000``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kill_trial import KillTrial, is_inside
from station_under_test import Mark, compiled_shim

if TYPE_CHECKING:
    from pathlib import Path


def test_every_piece_that_was_shown_survives_twenty_kills(tmp_path: Path) -> None:
    score = KillTrial(tmp_path, compiled_shim(tmp_path), seed=20).run(20, inside=4)

    assert score.kills >= 20
    assert score.inside >= 4, score
    assert score.shown > 0


def test_a_commit_lasts_from_its_first_byte_to_the_end_of_its_sync() -> None:
    written, begun, ended, shown = (Mark(n, what, 0) for n, what in enumerate("WBEO"))

    assert not is_inside([])
    assert is_inside([written])
    assert is_inside([written, begun])
    assert not is_inside([written, begun, ended])
    assert not is_inside([written, begun, ended, shown])
    assert is_inside([written, begun, ended, written, shown])
