"""Which tests keep to one worker when several run them."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

IN_REAL_TIME = ("end_to_end", "faults")
"""Folders whose tests wait on real lines and processes: two of one folder at once disturb each
other, while another worker fills the waiting with tests that only reckon."""

ONLY_COMMANDS = (
    *("test_chart_command", "test_giveaway_command", "test_hid_replay", "test_init_command"),
    *("test_journal_commands", "test_offer_at_the_bench", "test_plan_dough", "test_plan_order"),
    *("test_pair_command", "test_plan_proof_and_oven", "test_plan_target"),
    *("test_replay", "test_settle_command"),
    *("test_a_bakerys_year", "test_dossier_command", "test_giveaway_files"),
    *("test_giveaway_of_a_year", "test_import_command", "test_note_reaction"),
    *("test_plan_flour", "test_plan_out", "test_today_and_setup"),
    *("test_bench_layout", "test_pages_in_chromium"),
    *("test_bad_input", "test_output_refused", "test_tampered_journal"),
    *("test_journal_from_a_newer_version", "test_journal_from_an_older_version"),
)
"""Files in those folders that run commands to their end and look at no clock: a busy machine
makes them later, never wrong. Each keeps to one worker, because it may make a home for all its
tests, but not to the worker of its folder. `tests/habits` sees that they stay so."""


def group_of(file: Path) -> str | None:
    """Return the group whose tests share one worker; None where any worker will do."""
    if file.parent.name not in IN_REAL_TIME:
        return None
    return file.stem if file.stem in ONLY_COMMANDS else file.parent.name
