"""``demo``: no scale, no answers, and it ends with the sheet."""

from __future__ import annotations

import json
import shlex
import subprocess
import time
from typing import TYPE_CHECKING

from station_process import weighstation

if TYPE_CHECKING:
    from pathlib import Path


def test_fast_demo_ends_with_the_sheet_within_five_seconds(tmp_path: Path) -> None:
    """One of five at most: a machine that is busy elsewhere is late for some."""
    for place in range(5):
        begun = time.monotonic()
        result = weighstation("demo", "--fast", home=tmp_path / str(place))
        took_s = time.monotonic() - begun
        if took_s < 5:
            break

    assert 0 == result.returncode, result.stderr
    assert "" == result.stderr
    assert took_s < 5
    for words in (
        *("Pieces", "Mean", "Out of band", "Grams of dough", "Percent", "Money"),
        *("First-cut bias", "First-cut spread", "Touches a piece", "Seconds a piece"),
        *("First cuts", "centre", "Try next:"),
    ):
        assert words in result.stdout


def test_journal_of_the_demo_holds_and_what_it_says_to_try_next_works(tmp_path: Path) -> None:
    result = weighstation("demo", "--fast", home=tmp_path)
    sheet = json.loads(weighstation("journal", "sheet", "--json", home=tmp_path).stdout)
    tries = [line.strip() for line in result.stdout.splitlines() if f"--home {tmp_path}" in line]
    verified = subprocess.run(shlex.split(tries[0]), capture_output=True, check=False)

    assert 2 == len(tries)
    assert " journal verify " in tries[0]
    assert 0 == verified.returncode, verified.stderr
    assert "Country loaf" == sheet["product"]
    words = ("divide", "Morning roll", "--port", "simulated://?seed=1&pieces=2&speed=max")
    assert 0 == weighstation(*words, "--events", home=tmp_path).returncode


def test_two_fast_demos_weigh_the_same_pieces(tmp_path: Path) -> None:
    sheets = []
    for name in ("one", "two"):
        weighstation("demo", "--fast", home=tmp_path / name)
        said = weighstation("journal", "sheet", "--json", home=tmp_path / name).stdout
        sheets.append(json.loads(said))

    for key in ("pieces", "mean_g", "giveaway_g", "first_sd_g", "touches_per_piece"):
        assert sheets[0][key] == sheets[1][key]


def test_products_of_a_home_are_left_as_they_are(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_text("# mine\n")
    weighstation("demo", "--fast", home=tmp_path)

    assert "# mine\n" == (tmp_path / "products.toml").read_text()


def test_invented_pieces_do_not_go_into_a_journal_that_is_there(tmp_path: Path) -> None:
    weighstation("demo", "--fast", home=tmp_path)
    before = (tmp_path / "journal.sqlite").read_bytes()
    again = weighstation("demo", "--fast", home=tmp_path)

    assert 2 == again.returncode
    assert again.stderr.startswith(f"There is a journal in {tmp_path} already")
    assert before == (tmp_path / "journal.sqlite").read_bytes()


def test_going_on_with_a_simulated_scale_says_that_no_real_weight_is_read(tmp_path: Path) -> None:
    band = ("--target", "740", "--under", "8", "--over", "8")
    url = "simulated://?seed=1&pieces=1&speed=max"
    named = weighstation("divide", *band, "--port", url, "--events", home=tmp_path)
    again = weighstation("divide", *band, "--events", "--fresh", home=tmp_path)

    assert "no real weight" not in named.stderr
    assert f"Going on with {url}: no real weight is read. Give a scale by --port." in again.stderr
