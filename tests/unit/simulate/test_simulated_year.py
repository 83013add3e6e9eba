"""A simulated year: one seed gives the same facts, a cause taken out changes only itself."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime
from functools import cache
from itertools import pairwise, zip_longest
from random import Random

import numpy as np
import pytest
from statsmodels.tsa.stattools import acf  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.events import Verdict
from weighstation.simulate.year import (
    BakeryPerson,
    LoafBaked,
    PieceStruckOut,
    PieceWeighed,
    RunBegan,
    RunClosed,
    ScaleTried,
    WeightTyped,
    Year,
    YearCauses,
    YearFact,
    invented_bakery,
)
from weighstation.simulate.year.cuts import Dividing, divide
from weighstation.specification import Limits

SMALL = replace(invented_bakery(), pieces=4, struck_out=0.03, struck_out_late=0.03)
NONE = YearCauses(*[False] * len(YearCauses.__dataclass_fields__))


def year(causes: YearCauses | None = None, seed: int = 3) -> Year:
    return Year(SMALL, causes, seed=seed)


@cache
def facts(causes: YearCauses | None = None, seed: int = 3) -> tuple[YearFact, ...]:
    return tuple(year(causes, seed).facts())


def day_of(t_utc_ms: int) -> date:
    return datetime.fromtimestamp(t_utc_ms / 1000, tz=UTC).date()


def pieces_of(found: tuple[YearFact, ...]) -> dict[tuple[str, int], PieceWeighed]:
    return {(fact.run, fact.piece.number): fact for fact in found if isinstance(fact, PieceWeighed)}


def runs_of(found: tuple[YearFact, ...]) -> dict[str, RunBegan]:
    return {fact.run: fact for fact in found if isinstance(fact, RunBegan)}


def test_the_same_seed_gives_the_same_facts_and_another_seed_others() -> None:
    assert facts() == tuple(year().facts())
    assert facts() != facts(seed=4)


def test_facts_are_in_time_order_and_inside_their_run() -> None:
    open_runs: dict[str, Counter[type]] = {}
    for fact in facts():
        if isinstance(fact, RunBegan):
            assert fact.run not in open_runs
            open_runs[fact.run] = Counter()
        elif isinstance(fact, PieceWeighed) or (
            isinstance(fact, PieceStruckOut) and fact.run in open_runs
        ):
            open_runs[fact.run][type(fact)] += 1
        elif isinstance(fact, RunClosed):
            counted = open_runs.pop(fact.run)

            assert (fact.weighed, fact.struck_out) == (
                counted[PieceWeighed],
                counted[PieceStruckOut],
            )

    assert {} == open_runs
    assert all(one.t_utc_ms <= two.t_utc_ms for one, two in pairwise(facts()))


def test_a_piece_is_as_a_bench_would_have_it() -> None:
    """Whole divisions; a piece in band is kept, one out of band was left or tried four times."""
    runs = runs_of(facts())
    left = Counter[bool]()
    for fact in pieces_of(facts()).values():
        piece, run = fact.piece, runs[fact.run]
        limits = run.product.limits
        off_mg = piece.final_mg - limits.target_mg
        in_band = -limits.under_mg <= off_mg <= limits.over_mg

        assert 0 == (piece.first_mg or 0) % run.division_mg == piece.final_mg % run.division_mg
        assert in_band == (piece.verdict is Verdict.KEEP)
        assert in_band or piece.touches in (0, SMALL.most_touches)
        assert piece.touches or piece.first_mg == piece.final_mg
        assert fact.t_utc_ms == run.t_utc_ms + piece.off_ms
        left[in_band] += 1

    assert 0.001 < left[False] / left.total() < 0.05


def test_the_totals_are_those_of_a_bakery() -> None:
    count = Counter(type(fact) for fact in facts())
    counted = count[PieceWeighed] + count[WeightTyped]
    truth = year().truth

    assert 313 == len(truth.open_days)
    # 12 people and products, six days whose shares add up to 6.15
    assert math.isclose(counted, 12 * 52 * 6.15 * SMALL.pieces, rel_tol=0.05)
    assert 3 * 313 * 3 <= count[LoafBaked] <= 3 * 313 * 6
    assert 2 * 105 - 1 <= count[ScaleTried] <= 2 * 106 + 1
    assert math.isclose(count[PieceStruckOut], 0.06 * counted, rel_tol=0.15)


def test_a_piece_is_struck_out_at_once_or_days_later() -> None:
    pieces = pieces_of(facts())
    late = Counter[bool]()
    for void in (fact for fact in facts() if isinstance(fact, PieceStruckOut)):
        counted = pieces[void.run, void.piece.number]
        after_ms = void.t_utc_ms - counted.t_utc_ms

        assert counted.piece == void.piece
        assert after_ms == 1000 or 1 <= after_ms / 86_400_000 <= 10
        late[after_ms > 1000] += 1

    assert math.isclose(late[True], late[False], rel_tol=0.3)


def test_first_cuts_hang_together_and_spread_as_they_are_told_to() -> None:
    """One long dough; the lag-1 figure is that of a reference library."""
    person = BakeryPerson("Anyone", bias=0.004, spread=0.02)
    run = Dividing(
        person,
        Limits(920_000, 5000, 10_000),
        division_mg=1000,
        offset_mg=0,
        shift=0.0,
        ageing_per_min=0.0,
        agreement=0.2,
        most_touches=4,
        boarded_anyway=0.0,
    )
    divided = list(divide(run, pieces=20_000, rng=Random(1)))
    cuts = [(piece.first_mg or 0) / 920_000 for piece, _ in divided]

    assert math.isclose(0.2, acf(cuts, nlags=1)[1], abs_tol=0.03)
    assert math.isclose(0.020, float(np.std(cuts)), rel_tol=0.02)
    assert math.isclose(1.004, float(np.mean(cuts)), abs_tol=0.001)
    assert max(abs(piece.final_mg - true_mg) for piece, true_mg in divided) <= 500


def test_taking_out_the_drift_changes_that_person_in_those_weeks_alone() -> None:
    drifted = year().truth.drifted
    assert drifted is not None
    steady = facts(YearCauses().without("hand_drifts"))
    runs = runs_of(facts())
    moved, found = [], pieces_of(facts())
    for key, fact in pieces_of(steady).items():
        if fact.piece.first_mg != found[key].piece.first_mg:
            moved.append((found[key].piece.first_mg or 0) - (fact.piece.first_mg or 0))

            assert drifted.person == runs[fact.run].person
            assert drifted.since <= day_of(fact.t_utc_ms) < drifted.until

    assert len(moved) > 200
    assert min(moved) >= 0


def test_taking_out_the_scale_changes_its_days_alone_and_a_check_finds_it() -> None:
    off = year().truth.scale_off
    assert off is not None
    good = facts(YearCauses().without("scale_goes_off"))
    runs, found = runs_of(facts()), pieces_of(facts())
    changed = [fact for key, fact in pieces_of(good).items() if fact.piece != found[key].piece]
    tried = [fact for fact in facts() if isinstance(fact, ScaleTried)]
    unfit = [fact for fact in tried if not fact.is_fit]

    assert changed
    assert {off.scale} == {runs[fact.run].scale for fact in changed}
    assert all(off.since <= day_of(fact.t_utc_ms) < off.found for fact in changed)
    assert [(off.scale, off.found)] == [(fact.scale, day_of(fact.t_utc_ms)) for fact in unfit]
    assert all(fact.is_fit for fact in good if isinstance(fact, ScaleTried))
    assert off.last_good < off.since < off.found


def test_typed_weights_are_round_and_stand_for_pieces_that_nobody_weighed() -> None:
    typed = year().truth.typed
    assert typed is not None
    lines = [fact for fact in facts() if isinstance(fact, WeightTyped)]
    honest = facts(YearCauses().without("weights_are_typed"))
    missing = set(pieces_of(honest)) - set(pieces_of(facts()))

    assert {typed.person} == {line.person for line in lines}
    assert set(typed.days) == {day_of(line.said_utc_ms) for line in lines}
    assert len(missing) == len(lines) > 30
    assert {0} == {line.net_mg % 5000 for line in lines if line.product.name != "Sesame roll"}
    assert all(line.t_utc_ms - line.said_utc_ms > 6 * 3_600_000 for line in lines)
    assert not any(isinstance(fact, WeightTyped) for fact in honest)


@pytest.mark.parametrize("name", list(YearCauses.__dataclass_fields__))
def test_every_switch_does_something_alone(name: str) -> None:
    one = replace(NONE, **{name: True})

    assert any(a != b for a, b in zip_longest(facts(NONE), year(one).facts()))


def test_without_causes_a_first_cut_differs_by_chance_alone() -> None:
    """Every person alike: their means differ by no more than five standard errors."""
    runs = runs_of(facts(NONE))
    cuts: dict[str, list[float]] = {}
    for fact in pieces_of(facts(NONE)).values():
        run = runs[fact.run]
        cuts.setdefault(run.person, []).append(
            (fact.piece.first_mg or 0) / run.product.limits.target_mg
        )
    means = {person: float(np.mean(shares)) for person, shares in cuts.items()}
    error = SMALL.everyone.spread * math.sqrt(2 / 3500)

    assert 4 == len(means)
    assert max(means.values()) - min(means.values()) < 5 * error


def test_baked_loaves_lose_what_the_oven_takes() -> None:
    lost: dict[str, list[float]] = {}
    pieces = pieces_of(facts())
    for fact in facts():
        if isinstance(fact, LoafBaked):
            dough_mg = pieces[fact.run, fact.piece].piece.final_mg
            lost.setdefault(fact.product.name, []).append(1 - fact.baked_mg / dough_mg)
    for one in SMALL.products:
        found = lost[one.product.name]
        # rounding to a gram adds 0.4 % at a roll of 70 g, both times
        rounding = 1000 / one.product.limits.target_mg / math.sqrt(6)
        wanted = math.sqrt(one.lot_spread**2 + one.loaf_spread**2 + rounding**2)

        assert math.isclose(one.oven_loss, float(np.mean(found)), abs_tol=0.001)
        assert math.isclose(wanted, float(np.std(found)), rel_tol=0.1)


def test_taking_out_the_lots_leaves_loaves_and_dough_as_they_were() -> None:
    """Each lot moves by one share of its dough; a gram of rounding on either side is borne."""
    alike = facts(YearCauses().without("lots_differ"))
    pieces = pieces_of(facts())
    moved: dict[str, list[float]] = {}
    for one, two in zip(facts(), alike, strict=True):
        if isinstance(one, LoafBaked) and isinstance(two, LoafBaked):
            dough_mg = pieces[one.run, one.piece].piece.final_mg
            if one.product.name != "Sesame roll":
                moved.setdefault(one.run, []).append((one.baked_mg - two.baked_mg) / dough_mg)
        else:
            assert one == two

    assert all(max(lot) - min(lot) < 2.2 / 915 for lot in moved.values())
    assert 0.0035 < float(np.std([lot[0] for lot in moved.values()])) < 0.0045


def test_a_bakery_in_which_nothing_can_happen_is_refused() -> None:
    with pytest.raises(SpecificationError, match="a person for each"):
        replace(SMALL, people=SMALL.people[:1])
    with pytest.raises(SpecificationError, match="seven weekdays"):
        replace(SMALL, weekdays=(1.0,) * 6)


def test_a_scale_checked_on_every_open_day_never_goes_off() -> None:
    daily = replace(SMALL, check_weekdays=(0, 1, 2, 3, 4, 5))

    assert Year(daily).truth.scale_off is None
