"""Control charts of a journal, as an office would ask for them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from station_process import RECORDINGS, weighstation

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a home with one product divided twice and another once."""
    folder = tmp_path_factory.mktemp("bench")
    band = "scaling_weight_g = 740\nunder_g = 8\nover_g = 8\n"
    names = ("Country loaf", "Rye")
    products = [f'[[product]]\nname = "{name}"\n{band}' for name in names]
    (folder / "products.toml").write_text("\n".join(['currency = "EUR"', *products]))
    port = f"replay://{RECORDINGS / 'single.jsonl'}?speed=40"
    for name in ("Country loaf", "Rye", "Country loaf"):
        result = weighstation("divide", name, "--port", port, "--plain", "--fresh", home=folder)
        assert 0 == result.returncode, result.stderr
    return folder


def test_the_newest_batch_is_charted_in_the_terminal(home: Path) -> None:
    result = weighstation("chart", home=home)

    assert 0 == result.returncode, result.stderr
    assert result.stdout.startswith("Country loaf: first cuts of the batch of ")
    assert "moving range, g" in result.stdout
    assert "Signals: " in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_the_record_says_what_the_sheet_says(home: Path) -> None:
    chart = json.loads(weighstation("chart", "--json", home=home).stdout)
    sheet = json.loads(weighstation("journal", "sheet", "--json", home=home).stdout)
    cuts = chart["tracks"][0]

    assert sheet["pieces"] == len(cuts["points_g"])
    assert sheet["first_bias_g"] == pytest.approx(cuts["centre_g"][0] - 740)
    assert chart["as_of"].startswith(f"as of line {sheet['as_of']['line']}, head ")


def test_a_product_is_charted_batch_by_batch_and_a_single_batch_is_said(home: Path) -> None:
    named = weighstation("chart", "Country loaf", home=home)
    week = weighstation("chart", "--week", "--json", home=home)
    alone = weighstation("chart", "Rye", home=home)

    assert named.stdout.startswith("Country loaf: 2 batches")
    assert "spread within" in named.stdout
    assert 1 == len(week.stdout.splitlines())
    assert "Rye: one batch only" in week.stderr
    assert (2, "") == (alone.returncode, alone.stdout)
    assert "at least 2 batches" in alone.stderr


@pytest.mark.parametrize("name", ["chart.svg", "chart.png"])
def test_a_picture_is_written(home: Path, tmp_path: Path, name: str) -> None:
    out = tmp_path / name
    result = weighstation("chart", "--rules", "nelson", "--out", str(out), home=home)

    assert 0 == result.returncode, result.stderr
    assert out.read_bytes()[:4] in (b"<?xm", b"\x89PNG")


def test_a_picture_is_no_occasion_for_news_of_a_library(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where its caches cannot be kept, the drawing library says so in three lines."""
    monkeypatch.setenv("MPLCONFIGDIR", "/dev/null/nowhere")
    result = weighstation("chart", "--out", str(tmp_path / "chart.png"), home=home)

    assert (0, "") == (result.returncode, result.stderr)


def test_kept_pieces_are_shown_beside_the_band(home: Path) -> None:
    result = weighstation("chart", "--kept", home=home)

    assert "Out of band: " in result.stdout
    assert "Signals" not in result.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--rules", "magic"), "no run rule 'magic'. Sets of them are western-electric and nelson"),
        (("--out", "chart.svg", "--json"), "--out draws a picture and --json prints"),
        (("--out", "chart.pdf"), ".svg or .png"),
        (("--from", "yesterday"), "is no day"),
        (("--from", "2026-03-09", "--to", "2026-03-02"), "before it begins"),
        (("--week", "--to", "2026-03-02"), "not both"),
        (("--kept", "--kind", "ewma"), "sorted by the band"),
        (("Rye", "--run", "r1"), "for one batch"),
        (("--run", "zz"), "no run 'zz'"),
        (("Rhy",), "no batch of 'Rhy' in the journal. It holds batches of Country loaf, Rye."),
        (("--from", "1999-01-01", "--to", "1999-01-02"), "in that span"),
        (("--from", "1.1.1999", "--to", "31/01/1999"), "in that span"),
        (("--from", "03/04/2026"), "Write 2026-04-03 or 2026-03-04, year first"),
        (("--out", "/nowhere/at/all.svg"), "cannot be written"),
    ],
)
def test_what_cannot_be_charted_is_said_in_one_sentence(
    home: Path, words: tuple[str, ...], said: str
) -> None:
    result = weighstation("chart", *words, home=home)

    assert (2, "") == (result.returncode, result.stdout)
    assert said in result.stderr
    assert 1 == len(result.stderr.splitlines())


def test_a_home_without_a_batch_is_said(tmp_path: Path) -> None:
    result = weighstation("chart", home=tmp_path)

    assert 2 == result.returncode
    assert "Traceback" not in result.stderr
