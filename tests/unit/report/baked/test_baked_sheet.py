"""The sheet of baked loaves says each figure, or why there is none, and proves nothing."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from report.baked.baked_loaves import SAID, batch_of, figures_of, marked
from rich.console import Console

from weighstation.report.baked.sheet import CAUTIONS, baked_sheet
from weighstation.report.page.text import print_page

if TYPE_CHECKING:
    from weighstation.quantity import Circumstances
    from weighstation.report.baked.figures import BakedFigures

RAW = (910.0, 905.0, 912.0, 908.0, 907.0)
BAKED = (806.0, 799.0, 803.0, 804.0, 802.0)


def printed(figures: BakedFigures) -> list[str]:
    stream = io.StringIO()
    print_page(baked_sheet(figures), Console(file=stream, width=80, color_system=None))
    return stream.getvalue().splitlines()


def text(figures: BakedFigures) -> str:
    return " ".join(" ".join(printed(figures)).split())


def test_it_fits_80_columns_and_says_what_it_is_as_of() -> None:
    lines = [line.rstrip() for line in printed(figures_of(marked(RAW, BAKED, minutes=60)))]

    assert max(map(len, lines)) <= 80
    assert "Baked loaves: Country loaf" == lines[0]
    assert "as of line 30, head abababababababab" in lines


@pytest.mark.parametrize(
    ("baked", "said", "last"),
    [
        (BAKED, SAID, "Batch r1 is accepted by eu-76-211."),
        ([790.0] * 5, SAID, "Batch r1 is rejected by eu-76-211."),
        (BAKED, None, "Batch r1 by eu-76-211: the numbers pass, a hint and no verdict."),
        (
            [790.0] * 5,
            None,
            "Batch r1 by eu-76-211: the numbers do NOT pass, a hint and no verdict.",
        ),
    ],
)
def test_it_ends_with_what_the_rule_says_and_what_to_type(
    baked: list[float], said: Circumstances | None, last: str
) -> None:
    lines = printed(figures_of(marked(RAW, baked, minutes=60), said=said))

    assert [last, 'weighstation plan target "Country loaf"'] == lines[-2:]


def test_a_batch_that_fails_is_the_last_that_is_told() -> None:
    batches = [
        marked(RAW, [grams - off for grams in BAKED], name=name, minutes=60)
        for name, off in (("r1", 12), ("r2", 0), ("r3", 0))
    ]

    assert baked_sheet(figures_of(*batches, said=SAID)).conclusion == (
        "Batch r3 is accepted by eu-76-211. Batch r1 is rejected by eu-76-211."
    )


def test_too_few_loaves_ask_for_no_scaling_weight() -> None:
    assert "" == baked_sheet(figures_of(marked(RAW[:2], BAKED[:2]))).next_step


def test_it_tells_loaves_mean_spread_and_the_hour() -> None:
    said = text(figures_of(marked(RAW, BAKED, minutes=60)))

    assert "Batch r1, divided 2026-03-02 04:10" in said
    assert "Loaves 5 of 5 weighed 2026-03-02 06:10 to 06:11; 5 marked" in said
    assert "Since the oven 60 to 60 min" in said
    assert "Mean 802.8 g (+2.8) declared 800 g; as weighed" in said
    assert "Spread 2.6 g standard deviation" in said
    assert "At one hour as weighed" in said


def test_hot_loaves_are_scaled_where_the_cooling_is_known_and_refused_otherwise() -> None:
    hot = marked(RAW, BAKED, minutes=15)
    known, unknown = text(figures_of(hot, cooling=0.016)), text(figures_of(hot))

    assert "At one hour 793.1 g (\u22126.9) worked out with 1.6 % lost in the first hour" in known
    assert "At one hour \u2014 These loaves were 15 minutes out of the oven" in unknown


def test_a_loss_and_no_line_before_it_stands() -> None:
    said = text(figures_of(marked(RAW, BAKED)))

    assert "Loss 11.6 % of the dough; 95 % interval" in said
    assert "Learned from 5 marked loaves" in said
    assert "Line none yet its slope is known to" in said
    assert "0.10 is asked for" in said
    assert "dough =" not in said


def test_the_line_once_it_stands_and_the_range_that_it_holds_for() -> None:
    raw = (650.0, 700.0, 750.0, 900.0, 1000.0)
    baked = (569.0, 616.0, 662.0, 805.0, 898.0)
    said = text(figures_of(marked(raw, baked)))
    outside = text(figures_of(marked(raw, baked, declared_g=400)))

    assert "Line dough = 4" in said
    assert "from 650 to 1000 g of dough" in said
    assert "Scaling weight 895.6 g of dough for 800 g; between" in said
    assert "Scaling weight \u2014" in outside
    assert "lie outside the 650 to 1000 g" in outside


def test_too_few_are_said_to_be_too_few() -> None:
    said = text(figures_of(marked(RAW[:2], BAKED[:2])))

    assert "2 marked loaves too few yet to beat the percentages of the trade" in said
    assert "Line none yet it takes marked loaves" in said


def test_the_parts_of_the_spread_and_which_to_even_out_first() -> None:
    said = text(figures_of(marked(RAW, BAKED)))

    assert "Where the spread comes from Baked 2.6 g 1.6 to 7.4 g Scaling" in said
    assert "even out the oven first" in said or "scale more evenly first" in said


@pytest.mark.parametrize(
    ("baked", "said"),
    [
        (BAKED, "accepted by eu-76-211; the numbers pass"),
        ([790.0] * 5, "rejected by eu-76-211; the numbers do NOT pass"),
    ],
)
def test_the_verdict_of_the_rule(baked: list[float], said: str) -> None:
    shown = text(figures_of(marked(RAW, baked, minutes=60), said=SAID))

    assert f"Verdict {said}" in shown


def test_what_is_missing_is_said_sentence_by_sentence() -> None:
    said = text(figures_of(batch_of([909.0] * 48, BAKED)))

    assert "Verdict indicative by eu-76-211" in said
    assert "Why 48 of a lot of 48 are to be weighed, and 5 were." in said
    assert "The tare was not said to be known." in said


def test_without_a_declared_weight_it_says_what_to_write() -> None:
    said = text(figures_of(marked(RAW, BAKED, declared_g=None)))

    assert "Mean 802.8 g no declared weight; as weighed" in said
    assert "write declared_g into products.toml" in said


def test_doubtful_and_struck_out_loaves_are_named() -> None:
    batch = replace(
        marked(RAW, BAKED), doubtful=frozenset({1, 2, 5}), struck_out=((6, "struck out"),)
    )
    said = text(figures_of(batch))

    assert "Doubtful 3 loaf 1-2, 5: a check found the scale not fit; they teach nothing" in said
    assert "Struck out 1 loaf 6 (struck out)" in said


def test_a_loaf_that_lies_apart_is_a_question_and_counts() -> None:
    raw = [905.0 + place for place in range(10)]
    baked = [800.0 + place + (place % 3) for place in range(9)] + [740.0]
    said = text(figures_of(marked(raw, baked)))

    assert "Apart 914 g raw, 740 g baked:" in said
    assert "it counts all the same" in said


def test_several_batches_tell_how_their_means_wander() -> None:
    said = text(figures_of(marked(RAW, BAKED), marked(RAW, [g - 9 for g in BAKED], name="r2")))

    assert "Batch r1," in said
    assert "Batch r2," in said
    assert "From batch to batch Loaves of a batch vary by 2.6 g" in said


def test_it_warns_of_heat_and_claims_no_proof() -> None:
    said = text(figures_of(marked(RAW, BAKED), said=SAID))

    assert "Hot loaves, trays and oven doors burn" in said
    assert "no legal proof" in said
    assert "your local rules and authority say" in said


def test_loaves_that_were_out_of_the_oven_before_they_were_cut_are_named() -> None:
    """The batch was begun two hours before its loaves were weighed."""
    late, early = (marked([909, 911], [800, 802], minutes=each) for each in (90, [90, 150]))
    said = baked_sheet(figures_of(early)).cautions

    assert (1, (2,)) == (len(said) - len(CAUTIONS), early.out_before_cut)
    assert said[0].startswith("Batch r1: 1 of 2 loaves are said to have left the oven before")
    assert CAUTIONS == baked_sheet(figures_of(late)).cautions
