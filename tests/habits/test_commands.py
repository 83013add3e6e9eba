"""Every command has a help with a real example, and is in the reference as it is."""

from __future__ import annotations

import shlex
import subprocess
import sys

import pytest
import typer
from commands_page import PAGE, commands, help_of, page

from weighstation.cli import app

WORDS = [words for words in commands() if words not in ((), ("journal",), ("plan",))]


@pytest.mark.parametrize("words", WORDS, ids=" ".join)
def test_help_shows_an_example_that_the_command_understands(words: tuple[str, ...]) -> None:
    """The example is parsed by the command itself: no word of it is unknown to it."""
    lines = help_of(words).partition("Example:\n")[2].splitlines()

    assert lines
    for line in lines:
        typed = shlex.split(line)
        command = typer.main.get_command(app)
        for word in words:
            command = command.commands[word]  # type: ignore[attr-defined]
        assert ["weighstation", *words] == typed[: len(words) + 1]
        command.make_context("weighstation", typed[len(words) + 1 :])


@pytest.mark.parametrize("words", [(), ("journal",), ("plan",)], ids=" ".join)
def test_a_list_of_commands_breaks_no_sentence_off(words: tuple[str, ...]) -> None:
    listed = help_of(words).partition("Commands:\n")[2].partition("\n\n")[0].splitlines()

    assert listed
    assert [] == [line for line in listed if line.endswith("...")]


def test_reference_is_what_the_commands_say() -> None:
    """Mend it with: python tests/habits/commands_page.py."""
    assert page() == PAGE.read_text(encoding="utf-8")


def test_bad_usage_leaves_with_2() -> None:
    for words in (["dived"], ["replay"], ["divide", "--pieces", "0"], ["journal", "mend"]):
        result = subprocess.run(
            [sys.executable, "-m", "weighstation", *words],
            check=False,
            capture_output=True,
            text=True,
        )

        assert 2 == result.returncode
        assert "Traceback" not in result.stderr
