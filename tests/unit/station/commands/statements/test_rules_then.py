"""Past weeks are judged by the rule as it stood then, and by one spread whatever the guard.

The ordinance is invented: a loaf at most 4 % short, as in the reference on average quantity.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import UTC, date
from typing import TYPE_CHECKING

import pytest
from audited_bench import COUNTRY, Bench

from weighstation.quantity import Circumstances
from weighstation.report.dossier import Evidence, Scope
from weighstation.report.dossier.open_points import open_points
from weighstation.report.dossier.pages import dossier_pages
from weighstation.report.dossier.record import dossier_record
from weighstation.report.giveaway import AsOf, RunRow, Span, statement
from weighstation.report.giveaway.page import statement_page
from weighstation.report.giveaway.parts import BENCH_PARTS, LABEL_PARTS
from weighstation.report.giveaway.record import statement_record
from weighstation.report.giveaway.shapes import distributions
from weighstation.specification import Guard, Limits, LossBasis, StageLosses
from weighstation.station.commands.baking.sheet import sheet_of
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.shop.quantity_rules import with_rule
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.statements.rows import rows_of
from weighstation.station.commands.statements.what_if import Asked, days_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.report.giveaway import Statement
    from weighstation.specification import Product

OURS = """name = "town-loaf"
title = "Loaf ordinance of an invented town"
edition = "2026"
source = "its gazette"
noted = 2026-11-27
advice = "No legal advice."

[deficiency]
sure = "read in the gazette"
bands = [{ to_g = 2000, percent = "4" }]

[packer]
sure = "read in the gazette"
t1_share = "0.02"

[mean]
sure = "read in the gazette"

[[plan]]
sure = "read in the gazette"
from = 10
to = 1000
sample = 10
t1 = 0
"""
STRICTER = OURS.replace('percent = "4"', 'percent = "0.5"')
SPAN = Span(date(2024, 3, 2), date(2024, 3, 8), UTC)
PROMISED = replace(
    COUNTRY,
    quantity_rule="ours.toml",
    losses=StageLosses(LossBasis.DOUGH, oven_pct=11),
)


@pytest.fixture
def home(tmp_path: Path) -> Home:
    (tmp_path / "ours.toml").write_text(OURS, "utf-8")
    return Home(tmp_path)


@pytest.fixture
def bench() -> Bench:
    return Bench(MemoryStore(journal_id="0f" * 16, station="bench-1"))


def divided(bench: Bench, run: str, product: Product, *, pieces: int = 40) -> None:
    bench.begin(run, product, person="AK")
    bench.pieces(pieces)
    bench.end()


def rows(bench: Bench, home: Home) -> tuple[RunRow, ...]:
    return rows_of(bench.store, home, SPAN, patience=Patience())


def stated(bench: Bench, home: Home) -> Statement:
    head = bench.store.head()
    return statement(rows(bench, home), span=SPAN, as_of=AsOf(head.seq, head.digest))


def shown(bench: Bench, home: Home) -> Evidence:
    return evidence_of(bench.store, home, Meant(span=SPAN), Scope("test", UTC), Patience())


def test_a_changed_rule_file_changes_no_past_week_and_is_said(bench: Bench, home: Home) -> None:
    divided(bench, "aaaa0001", with_rule(PROMISED, home))
    bench.loaves(10, 653)
    was, lot = stated(bench, home), shown(bench, home).batches[0].lot
    (home.folder / "ours.toml").write_text(STRICTER, "utf-8")
    now, evidence = stated(bench, home), shown(bench, home)
    said = (
        "ours.toml has changed since. The run is judged by what it said then, as the run's first"
        " line holds it."
    )

    assert () == was.remarks
    assert was.whole == now.whole
    assert (f"Country loaf: {said}",) == now.remarks
    assert now.remarks[0] in statement_page(now).cautions
    assert list(now.remarks) == statement_record(now)["remarks"]
    assert lot == evidence.batches[0].lot
    cover, _ = (page.page for page in dossier_pages(evidence))
    assert f"{said} Batch aaaa0001." in str(cover)
    assert not [row for row in open_points(evidence, ()) if row.label == "Rule not on record"]
    assert OURS == dossier_record(evidence)["batches"][0]["rule_text"]  # type: ignore[index]
    assert hashlib.sha256(OURS.encode()).hexdigest() in str(cover)


def test_the_stricter_rule_would_have_said_otherwise(bench: Bench, home: Home) -> None:
    """So that the test before this one can fail."""
    divided(bench, "aaaa0001", with_rule(PROMISED, home))
    was = stated(bench, home)
    (home.folder / "ours.toml").write_text(STRICTER, "utf-8")
    other = Bench(MemoryStore(journal_id="0f" * 16, station="bench-1"))
    divided(other, "aaaa0001", with_rule(PROMISED, home))

    assert was.whole.kept == stated(other, home).whole.kept
    assert was.whole.parts != stated(other, home).whole.parts


def test_a_rule_file_that_is_gone_refuses_nothing(bench: Bench, home: Home) -> None:
    divided(bench, "aaaa0001", with_rule(PROMISED, home))
    was = stated(bench, home)
    (home.folder / "ours.toml").unlink()
    now = stated(bench, home)

    assert was.whole == now.whole
    assert "ours.toml cannot be read (no such file or directory). The run is judged by" in str(
        now.remarks
    )
    assert "The run is judged by what it said then" in str(dossier_pages(shown(bench, home)))


def test_an_older_run_is_judged_by_the_file_as_it_is_and_says_so(bench: Bench, home: Home) -> None:
    """Lines of before the rule was kept hold no text of it, and they never change."""
    divided(bench, "aaaa0001", PROMISED)
    divided(bench, "bbbb0001", replace(COUNTRY, name="Rye"))
    found = stated(bench, home)
    opened = open_points(shown(bench, home), ())

    assert 40 == found.whole.labelled
    (remark,) = found.remarks
    assert (
        "ours.toml is not kept with the run, which is judged by what the file says now." in remark
    )
    assert [("1 batch", "aaaa0001")] == [
        (row.said, row.note) for row in opened if row.label == "Rule not on record"
    ]


def test_an_older_run_without_its_file_leaves_the_other_products_their_week(
    bench: Bench, home: Home
) -> None:
    divided(bench, "aaaa0001", PROMISED)
    divided(bench, "bbbb0001", replace(PROMISED, name="Rye", quantity_rule=None))
    (home.folder / "ours.toml").unlink()
    found = stated(bench, home)
    without = next(row for row in found.rows if row.product.name == "Country loaf")

    assert 80 == found.whole.kept.n
    assert 40 == found.whole.labelled
    assert without.basis is None
    assert without.remark.endswith("so its label is judged by no rule.")
    with_days = days_of(bench.store, home, [without], Asked(aim="735"))
    assert with_days.known is None


def test_a_declared_weight_outside_its_rule_is_said_and_refuses_nothing(
    bench: Bench, home: Home
) -> None:
    divided(bench, "aaaa0001", replace(with_rule(PROMISED, home), declared_mg=2_500_000))
    (row,) = rows(bench, home)

    assert row.basis is None
    assert row.remark


PRODUCTS = """currency = "EUR"

[[product]]
name = "Country loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
declared_g = 650
quantity_rule = "ours.toml"
"""


@pytest.mark.parametrize("named_now", ["ours.toml", "oiml-r87"])
def test_the_sheet_of_baked_loaves_takes_the_rule_that_was_kept(
    bench: Bench, home: Home, named_now: str
) -> None:
    """Where the shop has named another one since, it asks for that."""
    divided(bench, "aaaa0001", with_rule(PROMISED, home))
    bench.loaves(10, 653)
    (home.folder / "ours.toml").write_text(OURS.replace("town-loaf", "stricter"), "utf-8")
    (home.folder / "products.toml").write_text(PRODUCTS.replace("ours.toml", named_now), "utf-8")
    found = sheet_of(bench.store, home, "aaaa0001", Circumstances())

    assert found.rule.figure is not None
    assert {"ours.toml": "town-loaf"}.get(named_now, named_now) == found.rule.figure.name


def guarded(width_mg: int, line: int) -> tuple[Product, Guard]:
    limits = COUNTRY.limits
    drawn = Limits(limits.target_mg, limits.under_mg - width_mg, limits.over_mg - width_mg)
    product = replace(PROMISED, limits=drawn, is_guarded=True, quantity_rule=None)
    return product, Guard(width_mg, line)


def test_pieces_show_one_spread_whatever_the_guard(bench: Bench, home: Home) -> None:
    """Each check of the scale gives its own guard; 20 pieces alone are too few for a spread."""
    for day, width_mg in ((2, 600), (3, 800), (4, 1100)):
        bench.day(day)
        product, bench.guard = guarded(width_mg, 1)
        divided(bench, f"aaaa000{day}", product, pieces=20)
    found = stated(bench, home)
    (basis,) = {row.basis for row in found.rows}
    (distribution,) = distributions(found)

    assert basis is not None
    assert "60 kept pieces of 3 batches" in basis.said_by
    assert 60 == sum(each.kept + each.above + each.below for each in distribution.bins)
    assert COUNTRY.limits == distribution.limits
    assert all(row.is_scaled_as(found.rows[0]) for row in found.rows)
    assert 60 == days_of(bench.store, home, found.rows, Asked(aim="735")).pieces
    parts = sum(found.whole.part(part).mg for part in (*LABEL_PARTS, *BENCH_PARTS))
    assert found.whole.over_label_mg == parts
    assert found.whole.net_mg - 60 * basis.label_mg == parts


def test_pieces_of_another_scaling_weight_show_a_spread_of_their_own(
    bench: Bench, home: Home
) -> None:
    divided(bench, "aaaa0001", replace(PROMISED, quantity_rule=None))
    limits = replace(COUNTRY.limits, target_mg=746_000)
    divided(bench, "aaaa0002", replace(PROMISED, limits=limits, quantity_rule=None))

    first, second = (str(row.basis) for row in rows(bench, home))

    assert "40 kept pieces of 1 batch" in first
    assert "40 kept pieces of 1 batch" in second
