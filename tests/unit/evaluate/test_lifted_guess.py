"""The guess weighs two explanations of one load."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.evaluate.guess import House, Question, can_be_the_same, guess, is_slight
from weighstation.evaluate.habits import Belief, Habits
from weighstation.events import Piece, Verdict
from weighstation.specification import Limits

LIMITS = Limits(740_000, 8_000, 8_000)
HOUSE = House()


def asked(lifted_g: float, net_g: float, gap_s: float = 4.0) -> Question:
    verdict = Verdict.TRIM if lifted_g > 740 else Verdict.ADD
    lifted_mg = round(lifted_g * 1000)
    piece = Piece(1, 10.0, 5.0, lifted_mg, lifted_mg, 0, verdict)
    return Question(piece, round(net_g * 1000), gap_s, 1000)


def share(question: Question, habits: Habits | None = None) -> float:
    return guess(question, LIMITS, habits or Habits(), HOUSE).back_share


@pytest.mark.parametrize(
    ("question", "possible"),
    [
        (asked(760, 759), True),
        (asked(760, 759.5), False),
        (asked(760, 760), False),
        (asked(720, 721), True),
        (asked(720, 720.5), False),
        (asked(760, 741, 45.0), True),
        (asked(760, 741, 45.1), False),
    ],
)
def test_a_load_can_be_the_lifted_piece_only_if_changed_as_asked_and_soon(
    question: Question, possible: bool
) -> None:
    assert possible == can_be_the_same(question, HOUSE)


def test_what_cannot_be_has_no_share() -> None:
    assert Belief(0.0, 4.0, is_slight=False) == guess(asked(760, 761), LIMITS, Habits(), HOUSE)


def test_the_nearer_the_target_the_surer_it_came_back() -> None:
    shares = [share(asked(765, grams)) for grams in (740, 746, 752, 758)]

    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 0.5 > shares[-1]


def test_a_wide_first_cut_spread_makes_a_near_weight_surer() -> None:
    narrow, wide = Habits(), Habits()
    for error_mg in (-1, 1) * 10:
        narrow = narrow.cut(error_mg * 5_000)
        wide = wide.cut(error_mg * 80_000)

    assert share(asked(765, 742), wide) > share(asked(765, 742), narrow)


@pytest.mark.parametrize("slight", [True, False])
def test_a_person_who_boards_is_believed_to_board_again(slight: bool) -> None:
    boards, returns = Habits(), Habits()
    for _ in range(5):
        boards = boards.believed(Belief(0.0, 4.0, is_slight=slight))
        returns = returns.believed(Belief(1.0, 4.0, is_slight=slight))

    question = asked(752, 743)

    assert share(question, boards) < share(question) < share(question, returns)


def test_a_gap_as_of_fetching_makes_it_less_sure() -> None:
    habits = Habits()
    for _ in range(20):
        habits = habits.fetched(12.0)
        habits = habits.believed(Belief(1.0, 3.0, is_slight=True))

    assert share(asked(755, 744, 12.0), habits) < share(asked(755, 744, 3.0), habits)


def test_time_alone_never_outweighs_a_clear_weight() -> None:
    habits = Habits()
    for _ in range(200):
        habits = habits.fetched(12.0)

    assert share(asked(790, 740, 12.0), habits) > 0.5


@pytest.mark.parametrize(
    ("lifted_g", "slight"), [(749, True), (756, True), (757, False), (724, True), (723, False)]
)
def test_slightly_out_of_band_is_the_limit_once_more(lifted_g: int, slight: bool) -> None:
    assert slight == is_slight(lifted_g * 1000, LIMITS)


def test_who_boards_slight_faults_is_less_believed_to_board_gross_ones() -> None:
    slight, gross = Habits(), Habits()
    for _ in range(3):
        slight = slight.believed(Belief(0.0, 4.0, is_slight=True))
        gross = gross.believed(Belief(0.0, 4.0, is_slight=False))

    question = asked(790, 741)

    assert share(question, gross) < 0.5 < share(question, slight) < share(question)


def test_nobody_boards_a_scrap() -> None:
    assert share(asked(60, 741)) > 0.5


def test_a_coarse_division_widens_what_counts_as_near() -> None:
    fine = replace(asked(765, 750), division_mg=100)
    coarse = replace(asked(765, 750), division_mg=5_000)

    assert share(coarse) > share(fine)
