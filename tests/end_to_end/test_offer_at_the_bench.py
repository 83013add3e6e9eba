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
    paced = [word.replace("speed=max", "speed=20") for word in EIGHT]  # time for a line in between
    ended = weighstation(*paced, "--dough", "5960", "--pieces", "8", "--plain", home=tmp_path)
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


def declared(folder: Path, *lines: str) -> Path:
    """Return a home whose product loses 12 % in the oven, and says this too."""
    losses = '[product.losses]\nbasis = "dough"\noven_pct = 12\n'
    (folder / "products.toml").write_text("\n".join((PRODUCTS, *lines, losses)))
    return folder


def test_no_offer_goes_below_what_the_declared_weight_asks_for(tmp_path: Path) -> None:
    """645 g at 12 % take 733.0 g, above the 732 g where the band ends (own arithmetic)."""
    home = declared(tmp_path, "declared_g = 645")
    words = (*EIGHT, "--dough", "5700", "--pieces", "8", "--events")
    offers = of_kind(events_of(weighstation(*words, home=home)), "offer")

    assert 733.0 == min(offer["target_g"] for offer in offers)
    assert all(offer["instead"] is None or offer["instead"]["target_g"] >= 733 for offer in offers)


def test_a_target_that_is_too_light_is_said_and_nothing_is_offered(tmp_path: Path) -> None:
    """660 g at 12 % take 750 g (own arithmetic)."""
    home = declared(tmp_path, "declared_g = 660")
    words = (*EIGHT, "--dough", "5960", "--pieces", "8", "--events")
    result = weighstation(*words, home=home)

    assert [] == of_kind(events_of(result), "offer")
    assert (
        "740 g is lighter than the 750.0 g that 660 g declared asks for:"
        " see 'weighstation plan target'.\n" == result.stderr
    )


def test_a_rule_that_cannot_be_read_stops_no_batch(tmp_path: Path) -> None:
    home = declared(tmp_path, "declared_g = 645", 'quantity_rule = "ours.toml"')
    words = (*EIGHT, "--dough", "5960", "--pieces", "8", "--events")
    result = weighstation(*words, home=home)

    assert [] == of_kind(events_of(result), "offer")
    assert result.stderr.startswith("No other weight is offered. The rule file ")
