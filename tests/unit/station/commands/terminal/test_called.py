"""What a command says to type next can be typed as it stands."""

from __future__ import annotations

import os
import shlex
import sys
from typing import TYPE_CHECKING

from weighstation.station.commands.terminal.called import called

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def a_program(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "weighstation"
    path.write_text("#!/bin/sh\n")
    path.chmod(0o755)
    return path


def test_a_program_off_the_path_is_called_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_program(tmp_path / ".venv" / "bin")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PATH", os.defpath)

    assert ".venv/bin/weighstation" == called(".venv/bin/weighstation")
    assert "'/a b/weighstation'" == called("/a b/weighstation")


def test_a_program_on_the_path_is_called_by_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_program(tmp_path)
    monkeypatch.setenv("PATH", str(tmp_path))

    assert "weighstation" == called(str(path))


def test_a_module_is_called_by_its_interpreter() -> None:
    assert f"{shlex.quote(sys.executable)} -m weighstation" == called(
        "/lib/weighstation/__main__.py"
    )
