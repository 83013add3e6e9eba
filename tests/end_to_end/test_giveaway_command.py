"""``weighstation giveaway`` on journals that ``divide`` wrote, beside sums over the raw lines."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import pytest
from planned_shop import FORMULA_168, losses, product, refused, shop
from station_process import weighstation

if TYPE_CHECKING:
    from pathlib import Path

TODAY = date.today()  # noqa: DTZ011 - as the machine's days are


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two products divided today, and a piece struck out afterwards."""
    said = ("declared_g = 800", "sale_price_each = 3.00")
    folder = shop(
        tmp_path_factory.mktemp("owner") / "bench",
        product("Tin loaf", 920, *said, losses(oven=12), FORMULA_168),
        product("Plain loaf", 740, "dough_cost_per_kg = 1.10"),
    )
    for name, seed in (("Tin loaf", 1), ("Plain loaf", 2), ("Tin loaf", 3)):
        port = f"simulated://?seed={seed}&pieces=24&speed=max"
        result = weighstation("divide", name, "--port", port, home=folder)
        assert result.returncode == 0, result.stderr
    assert weighstation("journal", "void", "5", home=folder).returncode == 0
    return folder


def told(home: Path, *words: str) -> dict[str, Any]:
    result = weighstation("giveaway", *words, "--json", home=home)
    assert result.returncode == 0, result.stderr
    record: dict[str, Any] = json.loads(result.stdout)
    return record


def raw(home: Path) -> list[tuple[str, int, int]]:
    """Return product, net and scaling weight of every piece that counts, from the lines alone."""
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        lines = [
            (kind, json.loads(body))
            for kind, body in connection.execute("SELECT kind, body FROM entry ORDER BY seq")
        ]
    runs = {body["run"]: body for kind, body in lines if kind == "run_started"}
    pieces: dict[tuple[str, int], int] = {}
    for kind, body in lines:
        if kind == "piece_kept":
            pieces[body["run"], body["number"]] = body["final_mg"]
        elif kind == "voided":
            del pieces[body["run"], body["number"]]
        assert kind != "lifted_turned"
    return [(runs[r]["product"], mg, runs[r]["target_mg"]) for (r, _), mg in pieces.items()]


def test_it_is_the_sum_of_the_raw_lines(home: Path) -> None:
    pieces, record = raw(home), told(home)
    d_mg = [mg - target_mg for _, mg, target_mg in pieces]

    assert len(pieces) == record["pieces"] == 71
    assert sum(d_mg) == round(1000 * record["giveaway_g"])
    assert sum(d for d in d_mg if d > 0) == round(1000 * record["over_sum_g"])
    assert sum(mg for _, mg, _ in pieces) == round(1000 * record["dough_g"])
    by_name = {each["name"]: each["giveaway_g"] for each in record["products"]}
    for name, giveaway_g in by_name.items():
        assert sum(mg - t for p, mg, t in pieces if p == name) == round(1000 * giveaway_g)
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        last = connection.execute("SELECT seq, digest FROM entry ORDER BY seq DESC LIMIT 1")
        assert last.fetchone() == (record["as_of"]["line"], record["as_of"]["head"])


def test_money_is_at_the_cost_of_dough_and_at_the_selling_price(home: Path) -> None:
    """Formula 168: 0.3406 a kg (by hand); 800 g declared of 909.09 g dough, sold for 3.00."""
    record = told(home, "--product", "Tin loaf")
    giveaway_g = record["giveaway_g"]

    assert float(record["money"]) == pytest.approx(giveaway_g / 1000 * 0.3406, abs=2e-4)
    each = giveaway_g * 800 / 909.091 / 800 * 3.00
    assert float(record["money_at_price"]) == pytest.approx(each, abs=2e-4)
    over = record["over_label"]
    assert over["giveaway_g"] == pytest.approx(
        record["dough_g"] - record["pieces"] * 909.091, abs=1e-6
    )


def test_a_person_reads_it_with_its_line_and_its_caution(home: Path) -> None:
    result = weighstation("giveaway", home=home)

    assert result.returncode == 0
    for text in ("Give-away, ", "What would save most:", "as of line ", "no legal proof"):
        assert text in " ".join(result.stdout.split())
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_a_reader_that_has_gone_is_no_bad_news(home: Path) -> None:
    """A pipe whose other end is closed: 1 would say that the answer is bad news."""
    reads, writes = os.pipe()
    os.close(reads)
    with open(writes, "wb") as pipe:  # noqa: PTH123 - a number and no path
        command = [sys.executable, "-m", "weighstation", "giveaway", "--home", str(home)]
        result = subprocess.run(command, stdout=pipe, stderr=subprocess.PIPE, check=False)

    assert (0, b"") == (result.returncode, result.stderr)


def test_yesterday_is_empty_and_says_so(home: Path) -> None:
    day = (TODAY - timedelta(days=1)).isoformat()
    said = refused(weighstation("giveaway", "--from", day, "--to", day, home=home))

    assert f"No piece was counted from {day} to {day}." in said


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--product", "Tin laof"), "There is no product 'Tin laof' (did you mean 'Tin loaf'?)."),
        (("--from", "2031-01-01"), "lies in the future"),
        (("--from", "2026-03-09", "--to", "2026-03-02"), "before it begins"),
        (("--from", "last week"), "'last week' is no day"),
    ],
)
def test_bad_words_get_one_sentence(home: Path, words: tuple[str, ...], sentence: str) -> None:
    until = () if "--to" in words or "--product" in words else ("--to", "2031-01-02")

    assert sentence in refused(weighstation("giveaway", *words, *until, home=home))


def test_a_last_day_in_the_future_is_named_and_not_the_week_before_it(home: Path) -> None:
    said = refused(weighstation("giveaway", "--to", "2999-12-31", home=home))

    assert "2999-12-31 lies in the future" in said
    assert "with --to" in said


@pytest.mark.parametrize("command", ["giveaway", "dossier"])
@pytest.mark.parametrize("words", [("--to", "0001-01-01"), ("--to", "9999-12-31")])
def test_days_at_the_ends_of_the_calendar_get_a_sentence(
    home: Path, command: str, words: tuple[str, ...]
) -> None:
    assert "no day of a journal" in refused(weighstation(command, *words, home=home))


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--wage", "24"), "Nothing is asked that would change these days."),
        (("--wage", "24"), "--wage says what the time costs."),
        (("--dough-cost", "dear"), "--dough-cost 'dear' is no number."),
        (("--spread-times", "1"), "Nothing is asked that would change these days."),
        (("--aim", "lawfull"), "like 740 or 740,5, or 'lawful'."),
        (("--aim", "9200"), "--aim 9200 is far from the scaling weight of 920 g."),
        (("--aim", "0.92"), "Give it in grams."),
    ],
)
def test_a_what_if_that_says_nothing_or_slips_gets_one_sentence(
    home: Path, words: tuple[str, ...], sentence: str
) -> None:
    for form in ((), ("--json",)):
        result = weighstation("giveaway", "--product", "Tin loaf", *words, *form, home=home)

        assert sentence in refused(result)


def test_bands_of_a_product_without_a_label_are_refused_and_not_an_empty_table(
    tmp_path: Path,
) -> None:
    bare = shop(tmp_path / "bare", product("Plain loaf", 740))
    port = "simulated://?seed=4&pieces=36&speed=max"
    assert weighstation("divide", "Plain loaf", "--port", port, home=bare).returncode == 0
    result = weighstation("giveaway", "--product", "Plain loaf", "--bands", home=bare)

    assert "Nothing says what the lawful scaling weight is." in refused(result)


def test_a_new_price_in_the_week_leaves_one_spread_and_one_lawful_weight(tmp_path: Path) -> None:
    """What dough costs is nothing that a label asks by: 20 and 20 pieces are 40 of 2 batches."""
    for price, seed in (("0.50", 1), ("0.60", 2)):
        said = ("declared_g = 800", f"dough_cost_per_kg = {price}", losses(oven=12))
        dear = shop(tmp_path / "dear", product("Tin loaf", 920, *said))
        port = f"simulated://?seed={seed}&pieces=20&speed=max"
        assert weighstation("divide", "Tin loaf", "--port", port, home=dear).returncode == 0
    (basis,) = told(dear)["bases"]

    assert "40 kept pieces of 2 batches" in basis["text"]


def test_capitals_do_not_matter(home: Path) -> None:
    typed = told(home, "--product", "tin LOAF", "--aim", "Lawful")

    assert told(home, "--product", "Tin loaf", "--aim", "lawful") == typed


def test_without_a_journal_it_says_how_one_is_begun(tmp_path: Path) -> None:
    assert "There is no journal" in refused(weighstation("giveaway", home=tmp_path / "none"))


@pytest.mark.parametrize("words", [(), ("--json",)])
def test_it_imports_no_pandas_and_no_matplotlib(home: Path, words: tuple[str, ...]) -> None:
    """The terminal form is asked for at the bench's own machine."""
    code = (
        "import sys\nfrom weighstation.__main__ import main\n"
        f"sys.argv = ['weighstation', 'giveaway', '--home', {str(home)!r}, *{words!r}]\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "sys.stderr.write(','.join(m for m in ('pandas', 'matplotlib', 'numpy', 'scipy')"
        " if m in sys.modules))\n"
    )
    result = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )

    assert "" == result.stderr


def test_a_products_file_with_faults_is_left_aside_and_it_is_said(
    home: Path, tmp_path: Path
) -> None:
    broken = tmp_path / "broken"
    shutil.copytree(home, broken)
    (broken / "products.toml").write_text("currency = [", encoding="utf-8")
    result = weighstation("giveaway", home=broken)

    assert 0 == result.returncode
    assert "products.toml is not valid TOML" in result.stderr
    assert result.stderr.strip().endswith("and nobody is told apart in it.")
    assert "products.toml" not in weighstation("giveaway", home=home).stderr
