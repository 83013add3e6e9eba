"""Double and destructive plans decide as the tables of 76/211/EEC annex II do."""

from __future__ import annotations

import math

import pytest

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import binomial_cdf
from weighstation.quantity import (
    Circumstances,
    LotJudgement,
    LotVerdict,
    judge_lot,
    mean_factor,
    published_rule,
)

ALL_SAID = Circumstances(True, True, True, True)
FINE_G, SHORT_G, FAR_SHORT_G = 806.0, 784.9, 769.9

# Annex II 2.2.1, read in the copy of legislation.gov.uk: lots from and to, first sample, accepted
# and rejected at, second sample, both together, accepted and rejected at.
DOUBLE = [
    (100, 500, 30, 1, 3, 30, 60, 4, 5),
    (501, 3200, 50, 2, 5, 50, 100, 6, 7),
    (3201, 10_000, 80, 3, 7, 80, 160, 8, 9),
]


def judged(
    first: tuple[int, int], second: tuple[int, int] = (0, 0), *, lot: int, plan: str = "double"
) -> LotJudgement:
    """Return the judgement of samples given by their short pieces and their sizes."""
    weights = [
        weight_g
        for short, size in (first, second)
        for weight_g in [SHORT_G] * short + [FINE_G] * (size - short)
    ]
    return judge_lot(
        weights,
        nominal_g=800,
        rule="eu-76-211",
        lot_size=lot,
        plan=plan,
        circumstances=ALL_SAID,
    )


@pytest.mark.parametrize("row", DOUBLE, ids=lambda row: f"{row[0]}-{row[1]}")
def test_published_double_plan_is_the_one_in_the_file(row: tuple[int, ...]) -> None:
    first, last, n, accepted, rejected, second_n, both, both_accepted, both_rejected = row
    for lot in (first, last):
        plan = published_rule("eu-76-211").plan_for(lot, kind="double")

        assert plan.second is not None
        assert (n, accepted, rejected) == (plan.sample, plan.t1, plan.second.below)
        assert (second_n, both) == (plan.second.sample, n + plan.second.sample)
        assert (both_accepted, both_rejected) == (plan.second.t1, plan.second.t1 + 1)


@pytest.mark.parametrize("row", DOUBLE, ids=lambda row: f"{row[0]}-{row[1]}")
def test_first_sample_passes_fails_or_asks_for_the_second(row: tuple[int, ...]) -> None:
    """Every number of short pieces in the first sample, to two beyond what rejects."""
    lot, _, n, accepted, rejected, second_n, *_ = row
    for short in range(rejected + 3):
        found = judged((short, n), lot=lot)
        expected: tuple[LotVerdict, bool | None, int]
        if short <= accepted:
            expected = (LotVerdict.ACCEPTED, True, 0)
        elif short >= rejected:
            expected = (LotVerdict.REJECTED, False, 0)
        else:
            expected = (LotVerdict.UNDECIDED, None, second_n)

        assert expected == (found.verdict, found.passes, found.second_sample)
        assert (n, short, accepted) == (found.weighed, found.count_t1, found.allowed_t1)


@pytest.mark.parametrize("row", DOUBLE, ids=lambda row: f"{row[0]}-{row[1]}")
def test_both_samples_together_decide(row: tuple[int, ...]) -> None:
    """Every split of short pieces for which the first sample asks for the second."""
    lot, _, n, accepted, rejected, second_n, both, both_accepted, both_rejected = row
    for in_first in range(accepted + 1, rejected):
        for in_second in range(both_rejected - in_first + 2):
            found = judged((in_first, n), (in_second, second_n), lot=lot)
            passes = in_first + in_second <= both_accepted

            assert passes is found.passes
            assert (both, in_first + in_second) == (found.weighed, found.count_t1)
            assert found.second_sample == 0
            assert both_accepted == found.allowed_t1


def test_a_second_sample_is_asked_for_in_words() -> None:
    found = judged((2, 30), lot=300)
    hint = judge_lot(
        [SHORT_G] * 2 + [FINE_G] * 28,
        nominal_g=800,
        rule="eu-76-211",
        lot_size=300,
        plan="double",
    )

    assert " ".join(found.reasons) == (
        "2 of 30 are below 785 g: 1 would pass and 3 reject the lot, so draw and weigh the second"
        " sample of 30."
    )
    assert (LotVerdict.INDICATIVE, 30, 5) == (hint.verdict, hint.second_sample, len(hint.reasons))


def test_a_second_sample_is_not_counted_where_the_first_decides() -> None:
    """Annex II 2.2.1 (read): it is checked only where the first lies between its criteria."""
    accepted = judged((1, 30), (9, 30), lot=300)
    rejected = judged((3, 30), (0, 30), lot=300)

    assert (True, 30, 1) == (accepted.passes, accepted.weighed, accepted.count_t1)
    assert (False, 30, 3) == (rejected.passes, rejected.weighed, rejected.count_t1)


def test_no_second_sample_is_asked_for_where_it_could_not_help() -> None:
    """The mean fails, or a loaf is far short: both checks have to pass (annex II 2, read)."""
    light = judge_lot(
        [784.9, 784.9, *[798.0] * 28], nominal_g=800, rule="eu-76-211", lot_size=300, plan="double"
    )
    far = judge_lot(
        [FAR_SHORT_G, SHORT_G, *[FINE_G] * 28],
        nominal_g=800,
        rule="eu-76-211",
        lot_size=300,
        plan="double",
    )

    assert (False, False, 0) == (light.mean_ok, light.passes, light.second_sample)
    assert (True, False, 0) == (far.mean_ok, far.passes, far.second_sample)
    assert not any("second" in each for each in (*light.reasons, *far.reasons))
    assert far.reasons[0] == "1 of 30 are below 770 g, and none may be."


def test_mean_is_that_of_the_first_sample_with_the_printed_factor() -> None:
    """Annex II 2.3.3 (read): k = 0.503 for 30 pieces; a heavy second sample mends nothing."""
    first = [799.0, 801.0] * 15
    found = judge_lot(
        [784.9, 784.9, *first[:28], *[850.0] * 30],
        nominal_g=800,
        rule="eu-76-211",
        lot_size=500,
        plan="double",
    )
    mean = sum([784.9, 784.9, *first[:28]]) / 30
    sd = math.sqrt(sum((each - mean) ** 2 for each in [784.9, 784.9, *first[:28]]) / 29)

    assert found.mean_g == pytest.approx(mean, rel=1e-12)
    assert found.least_mean_g == pytest.approx(800 - 0.503 * sd, abs=5e-4 * sd)
    assert 60 == found.weighed


@pytest.mark.parametrize(("short", "passes"), [(0, True), (1, True), (2, False), (3, False)])
def test_destructive_plan(short: int, passes: bool) -> None:
    """Annex II 2.2.2 and 2.3.3 (read): 20 of any lot from 100 on, 1 accepted, 2 rejected,
    k = 0.640.
    """
    for lot in (100, 10_000):
        found = judged((short, 20), lot=lot, plan="destructive")

        assert passes is found.passes
        assert (20, short, 1) == (found.weighed, found.count_t1, found.allowed_t1)
    assert mean_factor(20, 0.995) == pytest.approx(0.640, abs=5e-4)


def test_small_lots_are_weighed_whole_or_not_at_all() -> None:
    """Annex II 2.1.3 and 2.2.2 (read): 100 % without opening; none is destroyed below 100."""
    whole = judged((2, 40), lot=40)

    assert (True, 2, 40) == (whole.passes, whole.allowed_t1, whole.weighed)
    with pytest.raises(SpecificationError, match="destructive test is for lots from 100 on"):
        judged((0, 20), lot=99, plan="destructive")


@pytest.mark.parametrize(
    ("plan", "weights", "said"),
    [
        ("single", 49, "weighs 50 of a lot of 300, and there are 49 weights"),
        ("single", 51, "weighs 50 of a lot of 300, and there are 51 weights"),
        ("single", 300, "weighs 50 of a lot of 300"),
        ("double", 29, "weighs 30, and 30 more if the first ask for them, of a lot of 300"),
        ("double", 45, "weighs 30, and 30 more"),
        ("double", 61, "weighs 30, and 30 more"),
        ("destructive", 19, "weighs 20 of a lot of 300"),
        ("destructive", 0, "weighs 20 of a lot of 300, and there are 0 weights"),
    ],
)
def test_a_sample_of_another_size_is_refused_with_the_size(
    plan: str, weights: int, said: str
) -> None:
    with pytest.raises(SpecificationError, match=said) as caught:
        judged((0, weights), lot=300, plan=plan)

    assert caught.value.hint


def test_a_plan_that_the_rule_has_not_is_refused_with_those_it_has() -> None:
    """No text of R 87 that was read has a double or a destructive plan, so none is made up."""
    for rule, others in (("oiml-r87", "single."), ("eu-76-211", "single, double, destructive.")):
        with pytest.raises(SpecificationError, match="has no plan 'triple'") as caught:
            judge_lot([800.0] * 50, nominal_g=800, rule=rule, lot_size=300, plan="triple")

        assert caught.value.hint.endswith(others)


# P(accept) of the counts, binomial: at 1, 2.5, 5 and 10 % short; computed without the package.
@pytest.mark.parametrize(
    ("row", "chances"),
    [
        (DOUBLE[0], (0.9966, 0.9565, 0.7636, 0.2773)),
        (DOUBLE[1], (0.9998, 0.9849, 0.7812, 0.1666)),
        (DOUBLE[2], (1.0000, 0.9829, 0.6475, 0.0444)),
    ],
    ids=["100-500", "501-3200", "3201-10000"],
)
def test_chance_that_the_counts_of_both_samples_pass(
    row: tuple[int, ...], chances: tuple[float, ...]
) -> None:
    """The decision of every pair of counts, weighed by its chance, makes the plan's curve."""
    lot, _, n, _, rejected, second_n, _, _, both_rejected = row

    def exactly(k: int, size: int, p: float) -> float:
        below = binomial_cdf(k - 1, n=size, p=p) if k else 0.0
        return binomial_cdf(k, n=size, p=p) - below

    passing = {short: judged((short, n), lot=lot).passes for short in range(rejected)}
    both_pass = {
        (one, two): judged((one, n), (two, second_n), lot=lot).passes
        for one, passes in passing.items()
        if passes is None
        for two in range(both_rejected)
    }
    found = [
        sum(exactly(short, n, p) for short, passes in passing.items() if passes)
        + sum(
            exactly(one, n, p) * exactly(two, second_n, p)
            for (one, two), passes in both_pass.items()
            if passes
        )
        for p in (0.01, 0.025, 0.05, 0.10)
    ]

    assert chances == pytest.approx(found, abs=5e-5)
