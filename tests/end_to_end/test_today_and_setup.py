"""``today`` and ``setup`` on a terminal and as JSON, over a bench whose lines are known."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from audited_bench import FIRST_DAY, audited_home
from station_process import weighstation
from weeks_of_a_shop import weeks

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return audited_home(tmp_path_factory.mktemp("audited") / "home")


def test_a_day_is_told_as_the_sheet_of_its_batch_has_it(home: Path) -> None:
    """Beside ``journal sheet`` and ``chart`` of the same batch."""
    day = json.loads(weighstation("today", "--day", FIRST_DAY, "--json", home=home).stdout)
    (batch,) = day["batches"]
    run = ("--run", batch["run"])
    sheet = json.loads(weighstation("journal", "sheet", *run, "--json", home=home).stdout)
    chart = json.loads(weighstation("chart", *run, "--json", home=home).stdout)

    assert "done" == batch["state"]
    assert batch["run"] == day["charted"]
    for key in ("product", "pieces", "out_of_band", "giveaway_g", "scaling_weight_g"):
        assert sheet[key] == batch[key]
    assert sheet["mean_g"] == pytest.approx(batch["mean_g"])
    assert sheet["as_of"] == day["as_of"]
    assert chart["tracks"] == day["chart"]["tracks"]
    assert 1 == batch["signals"]


def test_a_day_is_told_on_one_screen(home: Path) -> None:
    result = weighstation("today", "--day", FIRST_DAY, home=home)

    assert (0, "") == (result.returncode, result.stderr)
    assert f"Divided on {FIRST_DAY}" in result.stdout
    assert "First cuts run 4 g heavy." in result.stdout
    assert "second mix made with 1 % less" in result.stdout
    assert "No batch is running. 1 batch, 40 pieces." in result.stdout
    assert "AK" not in result.stdout  # the shop did not choose to tell people apart
    assert 80 >= max(map(len, result.stdout.splitlines()))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--day", "2999-01-01"), "lies in the future"),
        (("--day", "monday"), "is no day"),
        (("--day", FIRST_DAY, "--run", "nobody"), "There is no run 'nobody'"),
    ],
)
def test_a_day_that_cannot_be_meant_is_refused(
    home: Path, words: tuple[str, ...], said: str
) -> None:
    result = weighstation("today", *words, home=home)

    assert 2 == result.returncode
    assert said in result.stderr
    assert 1 == len(result.stderr.splitlines())


def test_a_day_without_a_batch_says_so(home: Path) -> None:
    result = weighstation("today", "--day", "2024-01-01", home=home)

    assert 0 == result.returncode
    assert "Nothing was divided on this day." in result.stdout


def test_set_up_says_what_there_is_and_what_to_type(tmp_path: Path) -> None:
    home = weeks(tmp_path / "my bench", weeks=1)
    result = weighstation("setup", home=home)
    told = json.loads(weighstation("setup", "--json", home=home).stdout)

    assert (0, "") == (result.returncode, result.stderr)
    assert "3 products, and the file has no fault." in result.stdout
    typed = f"weighstation learn PORT --home '{home}'"
    assert "".join(typed.split()) in "".join(result.stdout.split())  # long lines are broken
    assert ["Tin loaf", "Hearth loaf", "Sesame roll"] == told["products"]
    assert 0 == told["faults"]


def test_set_up_of_an_empty_folder_says_how_to_begin(tmp_path: Path) -> None:
    result = weighstation("setup", home=tmp_path / "new")

    assert 1 == result.returncode
    assert "There is no products file yet: type 'weighstation init" in " ".join(
        result.stdout.split()
    )


def test_set_up_counts_the_faults_of_the_file(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_text('currency = "EUR"\n[[product]]\nname = "Bap"\n')
    result = weighstation("setup", home=tmp_path)

    assert 1 == result.returncode
    assert 3 == result.stdout.count("FAULT: ")
    assert "The products file has 3 faults" in result.stdout


def test_set_up_refuses_a_file_of_products_that_is_no_text(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_bytes(b"\xff\xfe\x00")
    result = weighstation("setup", home=tmp_path)

    assert 2 == result.returncode
    assert "It must be a text file in UTF-8" in result.stderr
