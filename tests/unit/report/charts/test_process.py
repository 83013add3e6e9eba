"""What the first cuts of a batch say, beside the figures of a reference library."""

from __future__ import annotations

import statistics
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.events import Verdict
from weighstation.journal import PieceFacts
from weighstation.report.charts.process import findings
from weighstation.specification import Limits, Product

if TYPE_CHECKING:
    from weighstation.report import BatchFigures

WEIGHTS_G = (741, 738, 746, 744, 739, 751, 742, 747, 743, 749, 752, 745)


def batch(figures: BatchFigures, weights_g: tuple[int, ...], every_s: int = 30) -> BatchFigures:
    pieces = tuple(
        PieceFacts(
            number=number,
            first_mg=weight_g * 1000,
            final_mg=weight_g * 1000,
            touches=0,
            ms=3000,
            placed_ms=number * every_s * 1000,
            verdict=Verdict.KEEP,
            dough_age_ms=number * every_s * 1000,
        )
        for number, weight_g in enumerate(weights_g, start=1)
    )
    product = Product("Farmhouse white", Limits(740_000, 8_000, 8_000), None, Decimal(1))
    return replace(figures, pieces=pieces, product=product)


def test_capability_is_of_first_cuts_against_the_band(figures: BatchFigures) -> None:
    found = {each.name: each for each in findings(batch(figures, WEIGHTS_G), is_steady=True)}
    mean, sd = statistics.fmean(WEIGHTS_G), statistics.stdev(WEIGHTS_G)

    assert (748 - mean) / (3 * sd) == pytest.approx(found["capability"].figures["cpk"])
    assert 3 == found["capability"].figures["outside"]
    assert "3 of 12 first cuts did, and wanted a touch." in found["capability"].text
    assert "signals" not in found["capability"].text


def test_capability_of_an_unsteady_chart_foretells_nothing(figures: BatchFigures) -> None:
    capability, *_ = findings(batch(figures, WEIGHTS_G), is_steady=False)

    assert capability.text.endswith("so this describes the batch and foretells nothing.")


def test_drift_is_the_slope_against_the_age_of_the_dough(figures: BatchFigures) -> None:
    found = {each.name: each for each in findings(batch(figures, WEIGHTS_G), is_steady=True)}
    ages_min = [number / 2 for number in range(1, 13)]
    slope = stats.linregress(ages_min, WEIGHTS_G).slope

    assert 1000 * slope / 740 == pytest.approx(found["drift"].figures["pct_per_10_min"])


def test_pieces_of_one_moment_have_no_drift(figures: BatchFigures) -> None:
    names = [each.name for each in findings(batch(figures, WEIGHTS_G, 0), is_steady=True)]

    assert ["capability", "autocorrelation", "normality", "outlier"] == names


def test_only_what_a_person_should_know_is_told(figures: BatchFigures) -> None:
    calm = findings(batch(figures, WEIGHTS_G), is_steady=True)
    torn = findings(batch(figures, (*WEIGHTS_G, 690)), is_steady=True)
    told = {each.name: each.text for each in torn if each.is_told}

    assert ["capability", "drift"] == [each.name for each in calm if each.is_told]
    assert told["outlier"].startswith("The first cut of piece 13, 690 g, lies apart")
    assert "normality" in told


def test_few_pieces_say_nothing(figures: BatchFigures) -> None:
    assert () == findings(batch(figures, WEIGHTS_G[:7]), is_steady=True)
