"""Mornings in which it is known which lifted pieces came back and which were boarded.

A dozen are written out, visit by visit; two dozen more are drawn for bakers of all skills. Wrong
guesses are stated, not hidden, and each is put right by one key.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))

from lifted_mornings import (
    LIMITS,
    Baker,
    Facts,
    Morning,
    Outcomes,
    bakers,
    dough_sum,
    morning,
    play,
)

from weighstation.evaluate import Balance, Evaluator, dough_balance
from weighstation.events import PanLeft, TookFor, Weighing
from weighstation.specification import LiftedPolicy

if TYPE_CHECKING:
    from collections.abc import Sequence

BACK, BOARDED = TookFor.CAME_BACK, TookFor.BOARDED
SEED = 7


@dataclass(frozen=True)
class Visit:
    """One load: its weights in grams, what became of it if it left out of band, and the gap."""

    grams: tuple[int, ...]
    fate: TookFor | None = None
    after_s: float = 4.0


def kept(*grams: int, after_s: float = 4.0) -> Visit:
    return Visit(grams, None, after_s)


def back(*grams: int, after_s: float = 4.0) -> Visit:
    return Visit(grams, BACK, after_s)


def boarded(*grams: int, after_s: float = 4.0) -> Visit:
    return Visit(grams, BOARDED, after_s)


WRITTEN: dict[str, tuple[Sequence[Visit], list[TookFor]]] = {
    # name: the visits, and the truths that are guessed wrongly
    "every heavy piece is trimmed at the bench": (
        [back(765), kept(741), kept(744), back(771), kept(738), back(759), kept(742)],
        [],
    ),
    "every light piece is filled up at the bench": (
        [back(712), kept(738), back(719), kept(741), kept(733), back(705), kept(736)],
        [],
    ),
    "every piece out of band is boarded": (
        [
            boarded(755),
            kept(733),
            boarded(751),
            boarded(760),
            boarded(727),
            boarded(722),
            kept(745),
        ],
        # after 755 a first cut of 733 looks corrected; the key teaches that he boards
        [BOARDED],
    ),
    "small faults are boarded, big ones come back": (
        [boarded(750), boarded(764), kept(748), back(790), kept(741), boarded(729), kept(748)],
        # 764 then 748 looks trimmed; said that it was boarded, 790 is taken for boarded too
        [BOARDED, BACK],
    ),
    "a piece goes to the bench twice": (
        [back(801), back(752), kept(741), back(690), back(725), kept(739)],
        [],
    ),
    "trimmed too far, then filled up": ([back(770), back(726), kept(740), kept(744)], []),
    "put back untouched to look again": ([back(765), back(765), kept(741)], [BACK]),
    "called away with the piece in hand": (
        [back(765), kept(741, after_s=120.0), kept(742)],
        [BACK],
    ),
    "boarded before the break": ([boarded(765), kept(741, after_s=600.0), kept(744)], []),
    "the last piece is boarded out of band": ([kept(741), back(762), kept(743), boarded(729)], []),
    "corrected half at the bench, half on the pan": (
        [back(790), kept(757, 742), back(700), kept(722, 735), kept(739)],
        [],
    ),
    "a learner cuts wide and boards nothing": (
        [back(655), kept(733), back(858), back(722), kept(744), back(610), kept(700, 741)],
        [],
    ),
    "a learner boards what he is tired of": (
        [
            back(655),
            kept(736),
            boarded(824),
            boarded(671),
            back(801),
            kept(746),
            boarded(702),
            kept(650, 738),
        ],
        [],
    ),
    "one boarded heavy, a heavier one corrected": (
        [boarded(765), kept(792, 741), kept(744)],
        [],
    ),
}


def written(visits: Sequence[Visit]) -> Morning:
    """Return a written morning as the evaluator is fed it, with its truth."""
    made = Morning(Baker("written"), LIMITS, 1000)
    t_s = 0.0
    whole: list[tuple[int, int]] = []
    for number, visit in enumerate(visits, start=1):
        t_s += visit.after_s
        placed_s = t_s
        for touch, grams in enumerate(visit.grams):
            t_s += 0.6
            made.events.append(Weighing(t_s, number, touch, grams * 1000, firm=True))
        t_s += 0.5
        first_mg, final_mg = visit.grams[0] * 1000, visit.grams[-1] * 1000
        touches = len(visit.grams) - 1
        made.events.append(PanLeft(t_s, number, placed_s, first_mg, final_mg, touches))
        whole.append((first_mg, touches))
        if visit.fate:
            made.fates[number] = visit.fate
        if visit.fate is not BACK:
            touches = sum(one for _, one in whole) + len(whole) - 1
            made.pieces.append(Facts(whole[0][0], final_mg, touches))
            whole = []
    return made


def evaluator(policy: LiftedPolicy = LiftedPolicy.GUESS) -> Evaluator:
    return Evaluator(LIMITS, lifted=policy, division_mg=1000)


def same_pieces(played: Morning, done: Outcomes) -> bool:
    return Counter(played.pieces) == Counter(done.facts())


def wrong(done: Outcomes) -> list[TookFor]:
    return sorted(Counter(done.wrong).elements(), key=lambda fate: fate.value)


@pytest.mark.parametrize("name", WRITTEN)
def test_a_written_morning_is_guessed_as_stated(name: str) -> None:
    visits, wrongly = WRITTEN[name]

    done = play(written(visits), evaluator(), turns_wrong=True)

    assert wrongly == wrong(done)


@pytest.mark.parametrize("name", WRITTEN)
def test_one_key_for_each_wrong_guess_makes_a_written_morning_exact(name: str) -> None:
    visits, wrongly = WRITTEN[name]
    played = written(visits)

    done = play(played, evaluator(), turns_wrong=True)

    assert same_pieces(played, done)
    assert len(wrongly) == done.turns


@pytest.mark.parametrize("baker", bakers(), ids=lambda baker: baker.name)
def test_one_key_for_each_wrong_guess_makes_a_drawn_morning_exact(baker: Baker) -> None:
    played = morning(baker, SEED)

    done = play(played, evaluator(), turns_wrong=True)

    assert same_pieces(played, done)
    assert dough_balance(dough_sum(played, done)).agrees


@pytest.mark.parametrize(
    "baker", [one for one in bakers() if one.cut_sd < 0.1], ids=lambda baker: baker.name
)
def test_the_dough_balance_names_a_morning_with_one_wrong_guess_left(baker: Baker) -> None:
    played = next(
        one
        for one in (morning(baker, seed) for seed in range(SEED, SEED + 20))
        if play(one, evaluator(), turns_wrong=False).right < len(one.fates)
    )

    done = play(played, evaluator(), turns_wrong=True, leaves_wrong=1)
    found = dough_balance(dough_sum(played, done))

    missing = done.left_wrong == [BOARDED]
    assert found.balance is (Balance.PIECES_MISSING if missing else Balance.PIECES_TOO_MANY)
    assert abs(found.pieces) == 1


def pooled(policy: LiftedPolicy, *, turns_wrong: bool) -> float:
    """Return the share of right answers over one morning of every baker."""
    right = asked = 0
    for baker in bakers():
        done = play(morning(baker, SEED), evaluator(policy), turns_wrong=turns_wrong)
        right, asked = right + done.right, asked + done.asked
    return right / asked


def test_the_guess_is_right_far_more_often_than_either_fixed_answer() -> None:
    # benchmarks/lifted_guesses.py: 0.88 alone and 0.89 with keys over 480 mornings; 0.58 and 0.42
    alone = pooled(LiftedPolicy.GUESS, turns_wrong=False)
    fixed = [pooled(LiftedPolicy(answer), turns_wrong=False) for answer in ("back", "boarded")]

    assert alone > 0.84
    assert alone > max(fixed) + 0.2


def test_pressing_the_key_teaches() -> None:
    alone = pooled(LiftedPolicy.GUESS, turns_wrong=False)
    taught = pooled(LiftedPolicy.GUESS, turns_wrong=True)

    assert taught > alone
