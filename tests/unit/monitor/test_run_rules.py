"""Each run rule is met by its pattern, just not by one point less, and says who it means."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.monitor import NELSON, WESTERN_ELECTRIC, Rule, individuals, run_rules

# Patterns in sigma; each meets its rule at its last point and not before. Zones and run lengths as
# in the Statistical Quality Control Handbook (1956) and Nelson (1984), from memory.
PATTERNS = {
    Rule.BEYOND_3_SIGMA: [0.1, 3.1],
    Rule.TWO_OF_3: [2.1, 0.5, 2.1],
    Rule.FOUR_OF_5: [1.1, 1.1, -0.5, 1.1, 1.1],
    Rule.EIGHT_ON_ONE_SIDE: [0.5] * 8,
    Rule.NINE_ON_ONE_SIDE: [0.5] * 9,
    Rule.SIX_RISING_OR_FALLING: [-1.0, -0.8, -0.1, 0.2, 0.3, 0.9],
    Rule.FOURTEEN_ALTERNATING: [0.5, -0.5] * 7,
    Rule.FIFTEEN_WITHIN_1_SIGMA: [0.5, -0.4, 0.3] * 5,
    Rule.EIGHT_OUTSIDE_1_SIGMA: [1.5, -1.5, 1.2, 1.2, -1.4, 1.1, -1.1, 1.5],
}
SYMMETRIC = {
    Rule.FOURTEEN_ALTERNATING,
    Rule.FIFTEEN_WITHIN_1_SIGMA,
    Rule.EIGHT_OUTSIDE_1_SIGMA,
}


def met(z: list[float], rule: Rule) -> list[int]:
    points = [740 + 8 * each for each in z]
    return [signal.index for signal in run_rules(points, centre=740, sigma=8, rules=[rule])]


@pytest.mark.parametrize("rule", PATTERNS)
def test_a_pattern_meets_its_rule_at_its_last_point(rule: Rule) -> None:
    pattern = PATTERNS[rule]
    mirrored = [-each for each in pattern]

    assert [len(pattern) - 1] == met(pattern, rule)
    assert [len(pattern) - 1] == met(mirrored, rule)
    assert [] == met(pattern[:-1], rule)


@pytest.mark.parametrize("rule", PATTERNS)
def test_a_signal_knows_its_side_and_its_points(rule: Rule) -> None:
    pattern = PATTERNS[rule]
    points = [740 + 8 * each for each in pattern]
    numbers = list(range(31, 31 + len(pattern)))
    up = run_rules(points, centre=740, sigma=8, rules=[rule], numbers=numbers)[0]
    down = run_rules([1480 - each for each in points], centre=740, sigma=8, rules=[rule])[0]

    assert (up.side, down.side) == ((0, 0) if rule in SYMMETRIC else (1, -1))
    assert up.first == (len(pattern) - 1 if rule is Rule.BEYOND_3_SIGMA else 0)
    assert f" {numbers[-1]} " in up.text.replace(":", " ")
    assert up.text.endswith(".")


def test_two_first_points_far_out_are_two_of_three() -> None:
    assert [1] == met([2.5, 2.5], Rule.TWO_OF_3)


def test_a_point_on_an_edge_is_not_beyond_it() -> None:
    assert [] == met([3.0, -3.0], Rule.BEYOND_3_SIGMA)
    assert [] == met([2.0, 2.0, 2.0], Rule.TWO_OF_3)
    assert [] == met([0.0] * 20, Rule.EIGHT_ON_ONE_SIDE)


def test_a_pattern_that_goes_on_is_told_once_and_a_point_far_out_each_time() -> None:
    assert [7] == met([0.5] * 20, Rule.EIGHT_ON_ONE_SIDE)
    assert [0, 1] == met([4.0, 4.0], Rule.BEYOND_3_SIGMA)


def test_both_published_sets_can_be_asked_for_by_name() -> None:
    assert len(WESTERN_ELECTRIC) == 4
    assert len(NELSON) == 8
    by_name = run_rules([0.5] * 9, centre=0, sigma=1, rules=["9 in a row on one side"])

    alone = run_rules([0.5] * 9, centre=0, sigma=1, rules="9 in a row on one side")

    assert [8] == [signal.index for signal in by_name]
    assert by_name == alone
    assert () == run_rules([], centre=0, sigma=1, rules=NELSON)
    assert () == run_rules([0.1], centre=0, sigma=1, rules=NELSON)


@given(st.lists(st.floats(700, 780), max_size=60), st.sampled_from([0.25, 4.0]))
def test_rules_do_not_change_with_the_unit(x: list[float], factor: float) -> None:
    """By powers of two, which scale every double exactly."""
    one = run_rules(x, centre=740, sigma=8, rules=NELSON)
    other = run_rules(
        [each * factor for each in x], centre=740 * factor, sigma=8 * factor, rules=NELSON
    )

    assert [(s.index, s.rule, s.side) for s in one] == [(s.index, s.rule, s.side) for s in other]


@given(st.lists(st.integers(700, 780), min_size=2, max_size=60), st.sampled_from([0.25, 4.0]))
def test_individuals_do_not_change_with_the_unit(x: list[int], factor: float) -> None:
    one, other = individuals(x), individuals([each * factor for each in x])

    assert one.upper * factor == pytest.approx(other.upper)
    assert one.range_upper * factor == pytest.approx(other.range_upper)
    assert [signal.index for signal in one.signals] == [signal.index for signal in other.signals]


def test_limit_of_the_moving_range() -> None:
    """NIST/SEMATECH e-Handbook 6.3.2.2 flowrate (from memory): 6.1347 with the printed D4 3.267."""
    x = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)

    assert individuals(x).range_upper == pytest.approx(6.133821, abs=5e-7)
    assert individuals(x).range_upper == pytest.approx(6.1347, abs=2e-3)


def test_what_makes_no_rule_is_refused() -> None:
    with pytest.raises(SpecificationError, match="no run rule 'magic'"):
        run_rules([1.0], centre=0, sigma=1, rules=["magic"])
    with pytest.raises(SpecificationError, match="no run rule"):
        run_rules([1.0], centre=0, sigma=1, rules=[Rule.SUM_OF_DEVIATIONS])
    with pytest.raises(SpecificationError, match="sigma"):
        run_rules([1.0], centre=0, sigma=0)
    with pytest.raises(SpecificationError, match="centre"):
        run_rules([1.0], centre=float("nan"), sigma=1)
    with pytest.raises(SpecificationError, match="finite"):
        run_rules([float("inf")], centre=0, sigma=1)
    with pytest.raises(SpecificationError, match="2 numbers for 1 points"):
        run_rules([1.0], centre=0, sigma=1, numbers=[1, 2])


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        (Rule.TWO_OF_3, "Pieces 1 to 3: two of them are far on the heavy side"),
        (Rule.FOUR_OF_5, "Pieces 1 to 5: four of them are on the heavy side"),
        (Rule.EIGHT_ON_ONE_SIDE, "the mean may have moved."),
        (Rule.NINE_ON_ONE_SIDE, "the mean may have moved."),
        (Rule.SIX_RISING_OR_FALLING, "something may drift."),
    ],
)
def test_a_sentence_claims_no_more_than_its_rule_shows(rule: Rule, said: str) -> None:
    """Chance meets each of these too, so what they conclude is a may be."""
    points = [740 + 8 * each for each in PATTERNS[rule]]

    assert said in run_rules(points, centre=740, sigma=8, rules=[rule])[0].text
