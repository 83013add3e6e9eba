"""Files that a statement is written to: whole, or not there."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from weighstation.errors import SpecificationError
from weighstation.station.commands.statements import outputs
from weighstation.station.commands.statements.outputs import forms_of
from weighstation.station.commands.terminal.files import write_whole


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_end_of_a_name_says_the_form() -> None:
    paths = [Path(name) for name in ("a.HTML", "b.csv", "c.xlsx", "d.json", "e.PDF")]

    assert (".html", ".csv", ".xlsx", ".json", ".pdf") == forms_of(paths)


@pytest.mark.parametrize("name", ["week.doc", "week", ".html", "week.htm"])
def test_another_form_is_refused_with_those_that_there_are(name: str) -> None:
    with pytest.raises(SpecificationError) as caught:
        forms_of([Path(name)])

    assert f"A statement cannot be written to '{name}'." in caught.value.sentence
    assert ".html, .pdf, .csv, .xlsx or .json" in caught.value.sentence


def test_one_file_is_not_written_twice() -> None:
    with pytest.raises(SpecificationError, match="Two of --out are one file"):
        forms_of([Path("a.csv"), Path("./a.csv")])


@pytest.mark.parametrize("form", ["xlsx", "pdf"])
def test_without_the_extra_it_says_how_to_install_it(
    monkeypatch: pytest.MonkeyPatch, form: str
) -> None:
    monkeypatch.setattr(outputs, "find_spec", lambda _name: None)
    with pytest.raises(SpecificationError) as caught:
        forms_of([Path(f"week.{form}")])

    assert f"-m pip install 'weighstation[{form}]'" in caught.value.sentence
    assert 2 == caught.value.exit_code
    assert (".csv",) == forms_of([Path("week.csv")])


def test_files_are_written_whole_over_what_was_there(tmp_path: Path) -> None:
    one, two = tmp_path / "one.csv", tmp_path / "two.json"
    one.write_bytes(b"old and longer")
    write_whole({one: b"new", two: b"{}"})

    assert (b"new", b"{}") == (one.read_bytes(), two.read_bytes())
    assert ["one.csv", "two.json"] == names_in(tmp_path)


def test_where_one_cannot_be_written_none_is_changed(tmp_path: Path) -> None:
    one = tmp_path / "one.csv"
    one.write_bytes(b"old")
    with pytest.raises(SpecificationError, match="no such file or directory"):
        write_whole({one: b"new", tmp_path / "missing" / "two.csv": b"new"})

    assert b"old" == one.read_bytes()
    assert ["one.csv"] == names_in(tmp_path)


def test_a_full_disk_is_told_apart_and_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_fd: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space left") as caught:
        write_whole({tmp_path / "one.csv": b"new"})

    assert not isinstance(caught.value, SpecificationError)
    assert [] == names_in(tmp_path)


def test_a_folder_in_its_place_is_refused(tmp_path: Path) -> None:
    (tmp_path / "one.csv").mkdir()
    with pytest.raises(SpecificationError, match="is a directory"):
        write_whole({tmp_path / "one.csv": b"new"})

    assert ["one.csv"] == names_in(tmp_path)
