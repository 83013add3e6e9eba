"""What the pictures of a statement show, by hand, and that they are the same bytes each time."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import UTC, date
from fractions import Fraction

import numpy as np
import pytest

from report.giveaway.giveaway_rows import PRODUCT, TARGET_MG, row
from weighstation.report.giveaway import AsOf, RunRow, Span, Statement, statement
from weighstation.report.giveaway.figures import statement_figures
from weighstation.report.giveaway.ranges import giveaway_interval_mg
from weighstation.report.giveaway.shapes import Bin, distributions, trends, waterfall
from weighstation.report.page.local import Local
from weighstation.specification import Limits

WEEK_MS = 7 * 86_400_000
MONDAY_MS = 1_772_424_600_000  # 2 March 2026, 04:10 UTC
SVG = "{http://www.w3.org/2000/svg}"


def found(*rows: RunRow) -> Statement:
    return statement(
        rows, span=Span(date(2026, 3, 2), date(2026, 3, 29), UTC), as_of=AsOf(9, "ab" * 32)
    )


def drawn(of: Statement, local: Local | None = None) -> list[str]:
    return [each.svg for each in statement_figures(of, local or Local(), lambda _text: None)]


def test_a_distribution_is_the_histogram_of_the_pieces() -> None:
    """NumPy's histogram of the same weights, bin for bin."""
    errors = [1000 * (number % 17 - 6) for number in range(90)]
    (shape,) = distributions(found(row(errors[:50]), row(errors[50:])))
    edges = np.arange(-6.5, 11.5)
    counts, _ = np.histogram(np.array(errors) / 1000, edges)

    assert 1000 == shape.width_mg
    assert [
        (TARGET_MG + 1000 * step, n) for step, n in zip(range(-6, 11), counts, strict=True)
    ] == [(each.centre_mg, each.kept + each.above + each.below) for each in shape.bins]
    assert {9, 10} == {(b.centre_mg - TARGET_MG) // 1000 for b in shape.bins if b.above}
    assert TARGET_MG + Fraction(sum(errors), 90) == shape.mean_mg


def test_many_divisions_share_an_odd_bin_and_far_pieces_are_counted_and_not_drawn() -> None:
    """61 divisions from -30 to 30 g: bins of three, one on the aim; +60 g is beyond 4 x 8 g."""
    (shape,) = distributions(found(row([1000 * g for g in range(-30, 31)] + [60_000])))

    assert 3000 == shape.width_mg
    assert Bin(TARGET_MG, 3, 0, 0) in shape.bins
    assert 62 == sum(each.kept + each.above + each.below for each in shape.bins)
    assert 1 == shape.beyond


def test_another_scaling_weight_is_left_out_and_said() -> None:
    other = replace(PRODUCT, limits=Limits(TARGET_MG, 4000, 4000))
    (shape,) = distributions(found(row([0] * 5, product=other), row([1000] * 30)))

    assert (5, 30) == (shape.left_out, sum(each.kept for each in shape.bins))


def test_a_few_pieces_have_no_distribution() -> None:
    assert () == distributions(found(row([0] * 29)))


def test_the_waterfall_ends_at_the_mean_above_the_label() -> None:
    """By hand: label 731 g; mean of 741, 743 and 720 g is 734 2/3 g."""
    shape = waterfall(found(row([1000, 3000, -20_000])))

    assert shape is not None
    assert Fraction(2_204_000, 3) - 731_000 == shape.total_mg
    assert [2000, 3000, 4000] == [mg for _, mg in shape.steps[:3]]


def test_without_a_label_it_begins_at_the_scaling_weight() -> None:
    shape = waterfall(found(row([1000, 3000], basis=None)))

    assert shape is not None
    assert (False, Fraction(2000)) == (shape.is_from_label, shape.total_mg)
    assert waterfall(found(row([0], basis=None))) is None


@pytest.mark.parametrize(("grams", "unit", "of_all"), [(7, "g", "14.0 g"), (6000, "kg", "12.0 kg")])
def test_pieces_of_several_sizes_are_told_all_together(grams: int, unit: str, of_all: str) -> None:
    """A loaf and a roll, so much heavy each: no mean is made of them."""
    roll = replace(PRODUCT, name="Roll", declared_mg=60_000)
    mixed = found(row([1000 * grams], basis=None), row([1000 * grams], product=roll, basis=None))
    shape = waterfall(mixed)
    (figure,) = statement_figures(mixed, Local(), lambda _text: None)

    assert shape is not None
    assert (False, unit, Fraction(2000 * grams)) == (shape.is_a_piece, shape.unit, shape.total_mg)
    assert "From the scaling weight to what left the bench: 2 pieces." == figure.caption
    assert figure.table is not None
    assert ("together", f"+{of_all}") == figure.table.rows[-1]
    assert all(words in figure.svg for words in ("all that left", f"asks for, {unit}<"))


def weeks() -> Statement:
    return found(
        row([1000, 3000], began_utc_ms=MONDAY_MS),
        row([2000, 4000], began_utc_ms=MONDAY_MS + 86_400_000),
        row([1000] * 30, began_utc_ms=MONDAY_MS + 2 * WEEK_MS),
    )


def test_a_week_has_its_mean_and_what_its_runs_leave_open() -> None:
    """By hand: means 2 and 3 g of two pieces each, so 2.5 g and SE 0.5 g, t = 12.706 at 1 df."""
    first, third = trends(weeks())["Country loaf"]

    assert ("2026-W10", 4, Fraction(2500)) == (first.name, first.pieces, first.mean_mg)
    assert first.interval_mg is not None
    low, high = first.interval_mg
    assert float(low) == pytest.approx(2500 - 12.7062 * 500, abs=1)
    assert float(high) == pytest.approx(2500 + 12.7062 * 500, abs=1)
    assert (date(2026, 3, 16), None) == (third.monday, third.interval_mg)


def test_one_week_has_no_trend_and_one_run_no_interval() -> None:
    assert {} == trends(found(row([1000] * 40)))
    assert giveaway_interval_mg([row([1000, 2000])]) is None


def test_a_picture_is_drawn_for_what_a_number_would_not_say() -> None:
    assert 1 == len(drawn(found(row([1000]))))
    assert 0 == len(drawn(found(row([0], basis=None))))
    assert 3 == len(drawn(weeks()))


def test_pictures_are_the_same_bytes_each_time_and_share_no_name() -> None:
    once, again = drawn(weeks()), drawn(weeks())
    names = [each.get("id") for svg in once for each in ET.fromstring(svg).iter() if each.get("id")]

    assert once == again
    assert len(set(names)) == len(names)


def test_a_picture_has_text_as_text_a_title_and_a_description() -> None:
    odd = replace(PRODUCT, name="$\\frac{1}{2}$ <b>Brötchen 面包</b>\x1b[2J")
    for svg in drawn(found(*(replace(each, product=odd) for each in weeks().rows))):
        root = ET.fromstring(svg)
        title, said = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert title is not None
        assert said is not None
        assert f"{title.get('id')} {said.get('id')}" == root.get("aria-labelledby")
        assert [] == list(root.iter(f"{SVG}b"))
        assert 5 < len([each.text for each in root.iter(f"{SVG}text") if each.text])
    assert any("Brötchen 面包" in (text.text or "") for text in root.iter(f"{SVG}text"))


def test_numbers_of_a_picture_have_the_shop_s_sign() -> None:
    texts = [each.text or "" for each in ET.fromstring(drawn(weeks(), Local(","))[0]).iter()]

    assert any("+3,0" in text for text in texts)
    assert not any("3.0" in text for text in texts)


def test_a_caption_says_what_is_not_drawn() -> None:
    """A piece at +60 g, beyond 4 x 8 g, five of another band, and a product without a label."""
    other = replace(PRODUCT, limits=Limits(TARGET_MG, 4000, 4000))
    bare = replace(PRODUCT, name="Roll")
    shop = found(
        row([0] * 5, product=other),
        row([1000] * 30 + [60_000]),
        row([1000] * 30, product=bare, basis=None),
    )
    captions = [each.caption for each in statement_figures(shop, Local(), lambda _text: None)]
    told = " ".join(captions)

    assert "36 of 66 pieces; the others have no declared weight" in told
    assert "1 piece further off than what is drawn." in told
    assert "5 pieces of another scaling weight, band or division left out." in told
