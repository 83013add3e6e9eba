"""``journal import``: a file of hand tallies, and what sheet, chart and bench make of it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from station_process import BAND, weighstation

if TYPE_CHECKING:
    import subprocess
    from pathlib import Path

PRODUCTS = """\
currency = "EUR"

[[product]]
name = "Tin loaf"
scaling_weight_g = 920
under_g = 5
over_g = 10
dough_limit_min = 20
"""
HEADER = "time;product;grams;first_grams;person\n"
ROWS = (
    "2025-11-03T05:10:00+01:00;Tin loaf;921,5;;AB\n"
    "2025-11-03T05:10:20+01:00;Tin loaf;931;;AB\n"
    "2025-11-03T05:10:40+01:00;Tin loaf;919;;AB\n"
)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A home with a product and no journal yet."""
    folder = tmp_path / "home"
    folder.mkdir()
    (folder / "products.toml").write_text(PRODUCTS)
    return folder


def enter(home: Path, text: str, *words: str) -> subprocess.CompletedProcess[str]:
    file = home.parent / "week.csv"
    file.write_text(text)
    return weighstation("journal", "import", str(file), *words, home=home)


def answer(home: Path, *words: str) -> dict[str, Any]:
    said: dict[str, Any] = json.loads(weighstation(*words, "--json", home=home).stdout)
    return said


def test_a_file_is_entered_and_the_journal_holds(home: Path) -> None:
    entered = enter(home, HEADER + ROWS)

    assert (
        "  Tin loaf: 3 pieces, 2025-11-03, mean 923.8 g, 1 out of band\n"
        "week.csv: 3 pieces are entered in 1 run, lines 1 to 5.\n"
    ) == entered.stdout
    assert (0, "") == (entered.returncode, entered.stderr)
    assert answer(home, "journal", "verify")["holds"]
    assert "piece 1: 921.5 g, keep, weighed 2025-11-03 05:10:00 +0100" in (
        weighstation("journal", "show", home=home).stdout
    )


def test_the_sheet_says_where_the_weights_are_from(home: Path) -> None:
    """Mean of 921.5, 931 and 919 g worked out by hand: 923.833 g."""
    enter(home, HEADER + ROWS)
    sheet = answer(home, "journal", "sheet")
    told = weighstation("journal", "sheet", home=home).stdout

    assert "entered from the file week.csv" in told
    assert "from a file, after the event" in told
    assert "First cuts          —               not said in the file" in told
    assert "none on record" not in told
    assert pytest.approx(923.8333, abs=1e-4) == sheet["mean_g"]
    assert (3, None, None, None) == (
        sheet["pieces"],
        sheet["first_bias_g"],
        sheet["touches_per_piece"],
        sheet["seconds_per_piece"],
    )
    assert "week.csv" == sheet["scales"][0]["imported_from"]
    assert ("2025-11-03T04:10:00.000+00:00", "2025-11-03T04:10:40.000+00:00") == (
        sheet["started"],
        sheet["last"],
    )


def test_a_chart_of_first_cuts_that_nobody_noted_is_refused_and_kept_pieces_are_drawn(
    home: Path,
) -> None:
    enter(home, HEADER + ROWS)
    first = weighstation("chart", home=home)
    kept = weighstation("chart", "--kept", home=home)

    assert (2, "") == (first.returncode, first.stdout)
    assert "first cuts of this batch are not known" in first.stderr
    assert 0 == kept.returncode
    assert "no scale was read by this station" in " ".join(kept.stdout.split())


def test_a_dry_run_writes_nothing_and_makes_no_journal(home: Path) -> None:
    told = enter(home, HEADER + ROWS, "--dry-run")

    assert (
        "week.csv: 3 pieces would be entered in 1 run. Nothing is written; leave out --dry-run to"
        " enter them.\n"
    ) in told.stdout
    assert ["products.toml"] == [path.name for path in home.iterdir()]


def test_the_same_file_again_adds_nothing_and_a_longer_one_what_is_new(home: Path) -> None:
    enter(home, HEADER + ROWS)
    again = enter(home, HEADER + ROWS)
    more = enter(home, HEADER + ROWS + ROWS.splitlines(keepends=True)[2])
    sheet = answer(home, "journal", "sheet")

    assert "week.csv: all 3 rows are on record already, and nothing is added.\n" == again.stdout
    assert "1 piece is entered in 1 run, lines 6 to 8; 3 rows are on record already." in more.stdout
    assert ([3, 1], 4) == ([run["pieces"] for run in sheet["runs"]], sheet["pieces"])


def test_a_fault_in_the_last_line_enters_nothing_of_the_others(home: Path) -> None:
    refused = enter(home, HEADER + ROWS + "2025-11-03T05:11:00+01:00;Tin lofa;921;;AB\n")

    assert (2, "") == (refused.returncode, refused.stdout)
    assert (
        "week.csv has 1 fault, and nothing of it is entered:\n"
        "line 5: there is no product 'Tin lofa' in products.toml (did you mean 'Tin loaf'?): mend"
        " the name, or add the product there.\n"
        "Mend the file and give it again.\n"
    ) == refused.stderr
    assert ["products.toml"] == [path.name for path in home.iterdir()]


def test_what_was_done_is_told_to_a_program(home: Path) -> None:
    said = json.loads(enter(home, HEADER + ROWS, "--json").stdout)

    assert (3, 0, 3, [1, 5], False) == tuple(
        said[key] for key in ("rows", "known", "entered", "lines", "dry_run")
    )
    assert [("Tin loaf", "AB", 3, "2025-11-03T05:10:00+01:00")] == [
        (run["product"], run["person"], run["pieces"], run["began"]) for run in said["runs"]
    ]


def test_a_piece_without_a_first_cut_can_be_struck_out(home: Path) -> None:
    enter(home, HEADER + ROWS)
    gone = weighstation("journal", "void", "2", "--reason", "misread", home=home)

    assert 0 == gone.returncode
    assert (2, 920.25) == tuple(answer(home, "journal", "sheet")[k] for k in ("pieces", "mean_g"))
    assert answer(home, "journal", "verify")["holds"]


def test_first_cuts_that_were_noted_are_charted(home: Path) -> None:
    rows = [
        f"2025-11-03T05:1{n}:00+01:00;Tin loaf;921;{first};AB\n"
        for n, first in enumerate((930, 915, 921, 926))
    ]
    enter(home, HEADER + "".join(rows) + ROWS)
    chart = weighstation("chart", home=home)
    said = " ".join(chart.stdout.split())

    assert 0 == chart.returncode
    assert "The first cut is known of 4 of 7 pieces." in said


def test_the_bench_goes_on_with_its_own_scale_after_a_file_was_entered(home: Path) -> None:
    """A file is no scale, and no batch that somebody was called away from."""
    port = "simulated://?pieces=2&seed=1&speed=max"
    weighstation("divide", "--port", port, *BAND, "--events", home=home)
    enter(home, HEADER + ROWS)
    again = weighstation("divide", "--events", home=home)

    assert 0 == again.returncode, again.stderr
    assert f"Going on with {port}" in again.stderr
    assert "was interrupted" not in again.stderr
    assert answer(home, "journal", "verify")["holds"]


def test_a_statement_tells_people_apart_only_where_the_shop_chose_to(home: Path) -> None:
    enter(home, HEADER + ROWS + ROWS.replace("AB", "CD"))
    asked = ("giveaway", "--from", "3.11.2025", "--to", "2025-11-03")
    before = weighstation(*asked, home=home)
    (home / "products.toml").write_text(f"show_people = true\n{PRODUCTS}")
    after = weighstation(*asked, home=home)

    assert (0, 0) == (before.returncode, after.returncode)
    assert "Pieces              6" in before.stdout
    assert "By person" not in before.stdout
    assert "By person" in after.stdout


@pytest.mark.parametrize("name", ["nothing.csv", "."])
def test_a_file_that_cannot_be_read_is_told_in_one_sentence(home: Path, name: str) -> None:
    refused = weighstation("journal", "import", str(home.parent / name), home=home)

    assert (2, "") == (refused.returncode, refused.stdout)
    assert refused.stderr.endswith("Give the name of a CSV file.\n") or (
        "cannot be read (is a directory)" in refused.stderr
    )
