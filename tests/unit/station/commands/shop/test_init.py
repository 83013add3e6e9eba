"""A products file is written whole, or not at all, and never over another."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import Self

import pytest

from weighstation.errors import JournalFullError, SpecificationError
from weighstation.station.commands.shop.first_products import FIRST_PRODUCTS
from weighstation.station.commands.shop.init import run_init


def test_it_says_where_it_wrote_and_what_to_type_with_that_home(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    home = tmp_path / "a bench"

    assert 0 == run_init(home)
    said = capsys.readouterr().out
    assert said.startswith(f"{home / 'products.toml'} is written")
    assert f" scales --home '{home}'\n" in said
    assert f" divide \"Tin loaf\" --port PORT --home '{home}'\n" in said
    assert FIRST_PRODUCTS == (home / "products.toml").read_text(encoding="utf-8")


def test_a_home_that_nobody_gave_is_not_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("WEIGHSTATION_HOME", str(tmp_path))
    run_init(None)

    assert "--home" not in capsys.readouterr().out
    assert (tmp_path / "products.toml").exists()


def test_a_products_file_that_is_there_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_text("# mine\n")

    with pytest.raises(SpecificationError, match="already, and it is left as it is"):
        run_init(tmp_path)
    assert "# mine\n" == (tmp_path / "products.toml").read_text()


def test_a_link_that_leads_nowhere_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "products.toml").symlink_to(tmp_path / "elsewhere")

    with pytest.raises(SpecificationError, match="already"):
        run_init(tmp_path)
    assert not (tmp_path / "elsewhere").exists()


def test_of_a_full_disk_nothing_is_left_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Full:
        def __init__(self, path: Path) -> None:
            self._file = Path.open(path, "w")

        def __enter__(self) -> Self:
            return self

        def __exit__(self, *_: object) -> None:
            self._file.close()

        def write(self, _: str) -> int:
            raise OSError(errno.ENOSPC, "No space left on device")

    opened = Path.open

    def full(path: Path, mode: str = "r", **how: str) -> object:
        return Full(path) if mode == "x" else opened(path, mode, **how)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", full)
    with pytest.raises(JournalFullError, match=r"no space left on device"):
        run_init(tmp_path)

    assert [] == list(tmp_path.iterdir())
