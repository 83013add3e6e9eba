"""Facts as bodies, and back."""

from __future__ import annotations

from decimal import Decimal

import pytest

from weighstation.errors import JournalError, WeighstationError
from weighstation.events import LiftedTurned, Piece, TookFor, Verdict, Voided
from weighstation.journal import (
    Body,
    Kind,
    LastCheck,
    PieceFacts,
    RunStarted,
    Why,
    body_text,
    codec,
    facts,
)
from weighstation.specification import (
    Guard,
    LiftedPolicy,
    Limits,
    LossBasis,
    Product,
    StageLosses,
    Way,
)

PIECE = Piece(
    number=7,
    t_s=31.9004,
    placed_s=27.0,
    first_mg=752_000,
    final_mg=743_000,
    touches=1,
    verdict=Verdict.KEEP,
)
FACTS = PieceFacts(
    number=7,
    first_mg=752_000,
    final_mg=743_000,
    touches=1,
    ms=4900,
    placed_ms=27_000,
    verdict=Verdict.KEEP,
    dough_age_ms=24_000,
)


def test_a_piece_is_recorded_in_integer_milliseconds_and_milligrams() -> None:
    assert FACTS == facts(PIECE, dough_t_s=3.0)


def test_a_dough_cut_before_the_run_gives_its_age() -> None:
    """A batch that goes on after a stop keeps the age of its dough."""
    assert 27_000 + 600_000 == facts(PIECE, dough_t_s=-600.0).dough_age_ms


def test_a_dough_is_never_younger_than_nothing() -> None:
    assert facts(PIECE, dough_t_s=28.0).dough_age_ms == 0


def test_a_kept_piece_comes_back_as_it_was() -> None:
    body = codec.piece_kept("r1", PIECE, dough_t_s=3.0)

    assert body["run"] == "r1"
    assert codec.Change(adds=(FACTS,)) == codec.change(Kind.PIECE_KEPT, body)


def test_a_struck_out_piece_takes_off_all_its_facts() -> None:
    body = codec.voided("r1", Voided(40.0, PIECE, "fell on the floor"), dough_t_s=3.0)

    assert body["reason"] == "fell on the floor"
    assert codec.Change(removes=(FACTS,)) == codec.change(Kind.VOIDED, body)


def test_a_turned_piece_holds_what_counts_and_what_does_no_longer() -> None:
    turned = LiftedTurned(50.0, 7, TookFor.CAME_BACK, removes=(PIECE,), adds=())
    body = codec.lifted_turned("r1", turned, dough_t_s=3.0)

    assert codec.Change(removes=(FACTS,)) == codec.change(Kind.LIFTED_TURNED, body)


def test_a_lifted_piece_counts_nothing_yet() -> None:
    body = codec.piece_lifted("r1", PIECE, dough_t_s=3.0)

    assert codec.Change() == codec.change(Kind.PIECE_LIFTED, body)


FULL = RunStarted(
    run="r2",
    product=Product(
        *("Rye 750", Limits(740_000, 8000, 12_000), 700_000, Decimal("1.25")),
        board_places=12,
        rest_min=(10.0, 12.5),
        dough_limit_min=17.5,
        dough="rye",
        losses=StageLosses(LossBasis.BREAD, handling_pct=1, oven_pct=12.5),
        quantity_rule="ours.toml",
        rule_text='name = "ours"\r\n# höchstens 4 %\n',
        sale_price_each=Decimal("3.40"),
    ),
    way=Way.BUILD_UP,
    lifted=LiftedPolicy.BACK,
    scale="serial:///dev/ttyUSB0",
    software="0.1.0",
    division_mg=500,
    currency="EUR",
    continues="r1",
    planned=40,
    dough_mg=30_000_000,
    clock_utc_ms=1_772_424_600_000,
    mixed_utc_ms=1_772_417_400_000,
    person="AB",
    began_utc_ms=1_772_410_000_000,
)
GUARDED = RunStarted(
    run="r3",
    product=Product("Rye 750", Limits(740_000, 5200, 5200), is_guarded=True),
    way=Way.SINGLE,
    lifted=LiftedPolicy.GUESS,
    scale="serial:///dev/ttyUSB0",
    software="0.1.0",
    last_check=LastCheck(7, 1_772_424_600_000, is_fit=True),
    guard=Guard(2800, 7),
)
SPARE = RunStarted(
    run="r1",
    product=Product("Rolls", Limits(62_000, 2000, 2000)),
    way=Way.SINGLE,
    lifted=LiftedPolicy.GUESS,
    scale="simulated://?seed=1",
    software="0.1.0",
)


@pytest.mark.parametrize("started", [FULL, GUARDED, SPARE])
def test_what_a_run_promised_comes_back_whole(started: RunStarted) -> None:
    assert started == codec.read_run_started(codec.run_started(started))


def test_what_is_not_known_is_left_out() -> None:
    """Nulls have no place on the record."""
    absent = {
        *("declared_mg", "dough_cost_per_kg", "currency"),
        *("division_mg", "continues", "planned", "dough_mg", "last_check", "guard"),
        *("board_places", "rest_least_ms", "rest_most_ms", "dough_limit_ms"),
        *("clock_utc_ms", "mixed_utc_ms"),
    }

    assert not absent & set(codec.run_started(SPARE))


@pytest.mark.parametrize(
    "body",
    [
        codec.noted(3, "the floor was wet"),
        codec.gap("r1", "scale lost", 5200),
        codec.run_ended("r1", Why.INTERRUPTED),
        codec.run_started(FULL),
    ],
)
def test_every_body_can_be_stored(body: Body) -> None:
    assert body_text(body)


@pytest.mark.parametrize(
    "broken",
    [
        {"number": "7"},
        {"number": True},
        {"verdict": "perhaps"},
        {"verdict": 1},
    ],
)
def test_a_broken_piece_is_refused(broken: Body) -> None:
    with pytest.raises(JournalError, match="A journal line"):
        codec.read_piece({**codec.piece_kept("r1", PIECE, dough_t_s=0.0), **broken})


def test_a_turned_piece_without_its_lists_is_refused() -> None:
    with pytest.raises(JournalError, match="lacks its list"):
        codec.change(Kind.LIFTED_TURNED, {"run": "r1", "number": 7, "took_for": "boarded"})


@pytest.mark.parametrize(
    "broken",
    [
        {"way": "sideways"},
        {"lifted": "perhaps"},
        {"scale": 7},
        {"target_mg": "740"},
        {"target_mg": -1},
        {"dough_cost_per_kg": "dear"},
        {"dough_cost_per_kg": 2},
        {"guard": 2},
        {"guard": {"width_mg": 2800}},
        {"board_places": "12"},
        {"rest_most_ms": "900000"},
        {"clock_utc_ms": "04:10"},
        {"dough": 3},
        {"losses": "12 %"},
        {"losses": {"basis": "flour"}},
        {"losses": {"basis": "bread", "oven_pct": "much"}},
        {"sale_price_each": "dear"},
        {"began_utc_ms": "04:10"},
    ],
)
def test_a_broken_promise_is_refused(broken: Body) -> None:
    with pytest.raises(WeighstationError):
        codec.read_run_started({**codec.run_started(FULL), **broken})


def test_a_turned_piece_taken_for_nothing_known_is_refused() -> None:
    turned = LiftedTurned(50.0, 7, TookFor.BOARDED, removes=(), adds=(PIECE,))
    body = {**codec.lifted_turned("r1", turned, dough_t_s=3.0), "took_for": "stolen"}

    with pytest.raises(JournalError, match="'took_for' that is not known"):
        codec.change(Kind.LIFTED_TURNED, body)
