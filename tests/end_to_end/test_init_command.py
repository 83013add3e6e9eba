"""``init``: what it writes can be divided at once, and what it says can be typed."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING

import typer
from station_process import events_of, of_kind, weighstation

from weighstation.cli import app

if TYPE_CHECKING:
    from pathlib import Path


def test_its_first_product_can_be_divided_at_once(tmp_path: Path) -> None:
    written = weighstation("init", home=tmp_path)
    port = "simulated://?seed=1&pieces=2&speed=max"
    divided = weighstation("divide", "Tin loaf", "--port", port, "--events", home=tmp_path)

    assert 0 == written.returncode, written.stderr
    assert 2 == len(of_kind(events_of(divided), "piece"))


def test_what_it_says_to_type_is_understood(tmp_path: Path) -> None:
    said = weighstation("init", home=tmp_path).stdout
    typed = [shlex.split(line) for line in said.splitlines() if line.startswith("  ")]
    commands = typer.main.get_command(app).commands  # type: ignore[attr-defined]
    asked = []
    for words in typed:
        place = next(i for i, word in enumerate(words) if word in commands)
        context = commands[words[place]].make_context(words[place], words[place + 1 :])
        asked.append((words[place], context.params["home"]))
    home = str(tmp_path)

    assert [("scales", home), ("learn", home), ("divide", home), ("demo", None)] == asked


def test_a_second_time_it_is_one_sentence_and_bad_input(tmp_path: Path) -> None:
    weighstation("init", home=tmp_path)
    again = weighstation("init", home=tmp_path)

    assert 2 == again.returncode
    assert "" == again.stdout
    assert again.stderr == (
        f"There is a products file {tmp_path / 'products.toml'} already, and it is left as it is."
        " Change that one, or give another folder with --home DIR.\n"
    )


def test_a_home_that_cannot_be_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    refused = weighstation("init", home=tmp_path / "file" / "home")

    assert 4 == refused.returncode
    assert "cannot be written to" in refused.stderr
