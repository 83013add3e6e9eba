"""The scale interval is learned from the values, first too fine, then right."""

from __future__ import annotations

import random

import pytest

from weighstation.acquire.division import ENOUGH_VALUES, MOST_VALUES, DivisionLearner


def steps(counts: list[int]) -> list[int]:
    learner = DivisionLearner()
    seen = []
    for one in counts:
        learner.see(one)
        seen.append(learner.step)
    return seen


@pytest.mark.parametrize("step", [1, 2, 5, 10, 20, 50, 100])
def test_enough_different_values_show_the_step(step: int) -> None:
    dice = random.Random(step)
    values = [step * (dice.randrange(1, 2000) * 2 + place % 2) for place in range(60)]

    assert steps(values)[-1] == step


def test_it_stays_with_the_last_printed_place_until_enough_values_agree() -> None:
    fives = [5 * factor for factor in range(1, ENOUGH_VALUES + 1)]

    assert steps(fives) == [1] * (ENOUGH_VALUES - 1) + [5]


def test_the_same_value_again_is_no_evidence() -> None:
    assert steps([650] * 100) == [1] * 100


def test_zero_and_the_other_sign_are_no_evidence() -> None:
    values = [factor * sign for factor in (0, 10, 20, 30, 40, 50, 60) for sign in (1, -1)]

    assert set(steps(values * 3)) == {1}


def test_a_value_that_contradicts_it_makes_it_finer_at_once() -> None:
    learner = DivisionLearner()
    for factor in range(1, 13):
        learner.see(10 * factor)

    assert learner.step == 10
    assert learner.see(-15)
    assert learner.step == 5


def test_after_a_contradiction_it_asks_for_twice_the_values() -> None:
    fives = [5 * factor for factor in range(1, 40)]

    assert steps([*fives, 651, *fives])[len(fives) - 1] == 5
    assert steps([*fives, 651, *fives])[len(fives)] == 1
    assert steps([*fives, 651, *fives])[-1] == 1
    assert steps([*fives, 651]) == steps([*fives, 651, *fives])[: len(fives) + 1]


def test_three_is_no_scale_interval() -> None:
    assert steps([3 * factor for factor in range(1, 30)])[-1] == 1


def test_see_says_when_the_step_changed() -> None:
    learner = DivisionLearner()
    changes = [learner.see(2 * factor) for factor in range(1, 20)]

    assert changes == [False] * 11 + [True] + [False] * 7


def test_values_that_contradict_one_another_for_ever_are_not_all_kept() -> None:
    learner = DivisionLearner()
    kept, step = 0, 50
    for place in range(1, 40_000):
        learner.see(step * (2 * place + 1))
        kept = max(kept, len(learner._values))
        if learner.step == step:
            step = 70 - step

    assert ENOUGH_VALUES < kept < MOST_VALUES
