"""The dough goes down and another weight is offered: by events, and never switched."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from station_process import events_of, of_kind, weighstation

if TYPE_CHECKING:
    from pathlib import Path

PRODUCTS = """\
currency = "EUR"

[[product]]
name = "Country loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
"""
EIGHT = ("divide", "Country loaf", "--port", "simulated://?pieces=8&seed=1&speed=max")


def test_each_offer_is_what_is_left_over_the_pieces_left(tmp_path: Path) -> None:
    """T = R / (N - k), held in the band: common practice, no source; own arithmetic."""
    (tmp_path / "products.toml").write_text(PRODUCTS)
    words = (*EIGHT, "--dough", "5960", "--pieces", "8", "--events")
    events = [
        event
        for event in events_of(weighstation(*words, home=tmp_path))
        if event["event"] in ("piece", "offer")
    ]
    kept_g, number = 0.0, 0

    assert of_kind(events, "offer")
    for event in events:
        if event["event"] == "piece":
            kept_g, number = kept_g + event["grams"], event["number"]
            continue
        wanted_g = (5960 - kept_g) / (8 - number)
        assert (5960 - kept_g, 8 - number) == (event["dough_left_g"], event["to_come"])
        assert abs(event["target_g"] - min(748, max(732, wanted_g))) <= 0.5
    times = [event["t"] for event in events]
    assert sorted(times) == times


def test_the_run_keeps_the_target_and_the_band_that_it_began_with(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_text(PRODUCTS)
    ended = weighstation(*EIGHT, "--dough", "5960", "--pieces", "8", "--plain", home=tmp_path)
    shown = weighstation("journal", "show", "--json", "--last", "1000", home=tmp_path).stdout
    kinds = [json.loads(line)["kind"] for line in shown.splitlines()]

    assert "Offer: aim 74" in ended.stdout
    assert "Scaling weight      740 g" in ended.stdout
    assert 1 == kinds.count("run_started")


def test_without_dough_or_pieces_nothing_is_offered(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_text(PRODUCTS)
    for words in (("--dough", "5960"), ("--pieces", "8")):
        events = events_of(weighstation(*EIGHT, *words, "--events", "--fresh", home=tmp_path))

        assert [] == of_kind(events, "offer")
