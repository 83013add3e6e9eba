"""Mornings at the level of weighings and leavings, in which it is known what became of every piece.

A baker cuts pieces with a spread of his own. A piece out of band is corrected on the pan, or taken
off and corrected on the bench and brought back, or boarded as it is. The shares are those that the
craft is said to have (common practice, no source): first-cut spread 2 to 4 % skilled, 8 to 12 % for
a learner; a hand takes off or adds what was asked within a tenth to a third of it.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from weighstation.evaluate import DoughSum
from weighstation.events import (
    LiftedTurned,
    PanLeft,
    Piece,
    PieceKept,
    TookFor,
    TurnLifted,
    Weighing,
)
from weighstation.specification import Limits

if TYPE_CHECKING:
    from weighstation.evaluate import Evaluator
    from weighstation.events import Outcome

LIMITS = Limits(740_000, 8_000, 8_000)
LOSS_MG, REST_MG = 350_000, 420_000


@dataclass(frozen=True)
class Baker:
    """A pair of hands; shares are probabilities."""

    name: str
    cut_sd: float = 0.03
    cut_bias: float = 0.01
    correction_sd: float = 0.2
    corrects_on_pan: float = 0.3
    boards: float = 0.5
    boards_by_grams: float | None = None
    fetch_s: float = 5.0
    return_s: float = 5.0
    gap_spread: float = 0.4
    called_away: float = 0.02


def bakers() -> list[Baker]:
    """Return four pairs of hands, each with six ways with a piece out of band."""
    hands = [
        Baker("skilled, 2 %", cut_sd=0.02),
        Baker("skilled, 4 %", cut_sd=0.04),
        Baker("learner, 8 %", cut_sd=0.08, cut_bias=-0.02, correction_sd=0.3),
        Baker("learner, 12 %", cut_sd=0.12, cut_bias=-0.02, correction_sd=0.3),
    ]
    ways: list[tuple[str, float, float | None]] = [
        ("all brought back", 0.0, None),
        ("a quarter boarded", 0.25, None),
        ("half boarded", 0.5, None),
        ("three quarters boarded", 0.75, None),
        ("all boarded", 1.0, None),
        ("boarded when near", 1.0, 6.0),
    ]
    return [
        replace(one, name=f"{one.name}, {way}", boards=share, boards_by_grams=near_g)
        for one in hands
        for way, share, near_g in ways
    ]


@dataclass(frozen=True)
class Facts:
    """One piece as it truly was."""

    first_mg: int
    final_mg: int
    touches: int


@dataclass
class Morning:
    """What the evaluator is fed, and what is true."""

    baker: Baker
    limits: Limits
    division_mg: int
    events: list[Weighing | PanLeft] = field(default_factory=list)
    fates: dict[int, TookFor] = field(default_factory=dict)
    pieces: list[Facts] = field(default_factory=list)


class _Bench:
    """Plays one morning."""

    def __init__(self, baker: Baker, limits: Limits, division_mg: int, seed: int) -> None:
        self.morning = Morning(baker, limits, division_mg)
        self._baker = baker
        self._rng = random.Random(seed)
        self._t_s = 0.0
        self._visit = 0

    def piece(self) -> None:
        """Cut one piece and see it through."""
        baker, limits = self._baker, self.morning.limits
        net_mg = self._cut_mg()
        first_mg, touches = net_mg, 0
        self._gap(baker.fetch_s)
        while True:
            self._visit += 1
            net_mg, here = self._on_pan(net_mg)
            touches += here
            error_mg = net_mg - limits.target_mg
            if -limits.under_mg <= error_mg <= limits.over_mg:
                break
            if self._boards(error_mg):
                self.morning.fates[self._visit] = TookFor.BOARDED
                break
            self.morning.fates[self._visit] = TookFor.CAME_BACK
            net_mg = self._corrected_mg(net_mg)
            touches += 1
            self._gap(baker.return_s)
        self.morning.pieces.append(Facts(first_mg, net_mg, touches))

    def _on_pan(self, net_mg: int) -> tuple[int, int]:
        placed_s, first_mg, touches = self._t_s, net_mg, 0
        decided = False
        while True:
            self._rest(touches, net_mg)
            error_mg = net_mg - self.morning.limits.target_mg
            out = error_mg > self.morning.limits.over_mg or -error_mg > self.morning.limits.under_mg
            if not out or decided or self._rng.random() >= self._baker.corrects_on_pan:
                break
            net_mg = self._corrected_mg(net_mg)
            touches += 1
        self._t_s += self._rng.uniform(0.3, 1.0)
        self.morning.events.append(
            PanLeft(self._t_s, self._visit, placed_s, first_mg, net_mg, touches)
        )
        return net_mg, touches

    def _rest(self, touch: int, net_mg: int) -> None:
        self._t_s += self._rng.uniform(0.4, 0.9)
        near_mg = net_mg + self._on_division(self._rng.gauss(0.0, 3000.0))
        self._say(touch, near_mg, firm=False)
        self._t_s += self._rng.uniform(0.2, 0.5)
        self._say(touch, net_mg, firm=True)

    def _say(self, touch: int, net_mg: int, *, firm: bool) -> None:
        self.morning.events.append(Weighing(self._t_s, self._visit, touch, net_mg, firm))

    def _cut_mg(self) -> int:
        baker, target_mg = self._baker, self.morning.limits.target_mg
        share = max(0.5, min(1.5, self._rng.gauss(1 + baker.cut_bias, baker.cut_sd)))
        return self._on_division(share * target_mg)

    def _corrected_mg(self, net_mg: int) -> int:
        asked_mg = self.morning.limits.target_mg - net_mg
        done = max(0.2, self._rng.gauss(1.0, self._baker.correction_sd))
        change_mg = self._on_division(asked_mg * done + self._rng.gauss(0.0, 1000.0))
        least_mg = self.morning.division_mg
        if abs(change_mg) < least_mg or change_mg * asked_mg < 0:
            change_mg = int(math.copysign(least_mg, asked_mg))
        return net_mg + change_mg

    def _boards(self, error_mg: int) -> bool:
        baker = self._baker
        share = baker.boards
        if baker.boards_by_grams is not None:
            over_mg = abs(error_mg) - self.morning.limits.over_mg
            share *= math.exp(-over_mg / 1000 / baker.boards_by_grams)
        return self._rng.random() < share

    def _gap(self, usual_s: float) -> None:
        self._t_s += self._rng.lognormvariate(math.log(usual_s), self._baker.gap_spread)
        if self._rng.random() < self._baker.called_away:
            self._t_s += self._rng.uniform(30.0, 180.0)

    def _on_division(self, mg: float) -> int:
        return round(mg / self.morning.division_mg) * self.morning.division_mg


def morning(
    baker: Baker,
    seed: int,
    *,
    pieces: int = 60,
    limits: Limits = LIMITS,
    division_mg: int = 1000,
) -> Morning:
    """Return a morning; the same seed gives the same morning."""
    bench = _Bench(baker, limits, division_mg, seed)
    for _ in range(pieces):
        bench.piece()
    return bench.morning


@dataclass
class Outcomes:
    """How the evaluator did on a morning."""

    right: int = 0
    asked: int = 0
    wrong: dict[TookFor, int] = field(default_factory=lambda: dict.fromkeys(TookFor, 0))
    turns: int = 0
    left_wrong: list[TookFor] = field(default_factory=list)
    counted: dict[int, Piece] = field(default_factory=dict)

    def follow(self, outcomes: tuple[Outcome, ...]) -> None:
        """Keep the set of counted pieces as a journal would."""
        for outcome in outcomes:
            if isinstance(outcome, PieceKept):
                self.add(outcome.piece)
            elif isinstance(outcome, LiftedTurned):
                for piece in outcome.removes:
                    assert self.counted.pop(piece.number) == piece
                for piece in outcome.adds:
                    self.add(piece)

    def add(self, piece: Piece) -> None:
        """Count one piece; its number must be free."""
        assert piece.number not in self.counted
        self.counted[piece.number] = piece

    def facts(self) -> list[Facts]:
        """Return the counted pieces as facts, in any order."""
        return [Facts(p.first_mg, p.final_mg, p.touches) for p in self.counted.values()]


def play(
    played: Morning, evaluator: Evaluator, *, turns_wrong: bool, leaves_wrong: int = 0
) -> Outcomes:
    """Feed a morning; with ``turns_wrong`` the baker presses the key after each wrong guess.

    The first ``leaves_wrong`` of them he misses.

    Every other press comes once the load has left in band, the rest while it lies on the pan: a
    load that is lifted out of band in its turn is the next thing that the key speaks of.
    """
    done = Outcomes()
    asked: TookFor | None = None
    for event in played.events:
        wrong = isinstance(event, PanLeft) and asked is not None and _judged(done, evaluator, asked)
        if wrong and asked and len(done.left_wrong) < leaves_wrong:
            done.left_wrong.append(asked)
            wrong = False
        late = done.turns % 2 == 1 and event.visit not in played.fates
        press = [TurnLifted(event.t_s)] if wrong and turns_wrong else []
        done.turns += len(press)
        for item in [event, *press] if late else [*press, event]:
            done.follow(evaluator.feed(item))
        if isinstance(event, PanLeft):
            asked = played.fates.get(event.visit)
    if turns_wrong and evaluator.open_lifted and asked is TookFor.BOARDED:
        done.follow(evaluator.feed(TurnLifted(played.events[-1].t_s)))
    return done


def dough_sum(played: Morning, done: Outcomes) -> DoughSum:
    """Return the dough of a morning as the owner knows it, loss and rest given."""
    on_boards_mg = sum(piece.final_mg for piece in played.pieces)
    counted_mg = sum(piece.final_mg for piece in done.counted.values())
    on_hand_mg = on_boards_mg + REST_MG + LOSS_MG
    return DoughSum(on_hand_mg, counted_mg, REST_MG, LOSS_MG, played.limits.target_mg)


def _judged(done: Outcomes, evaluator: Evaluator, truth: TookFor) -> bool:
    decision = evaluator.last_decision
    assert decision is not None
    assert decision.took_for is not None
    done.asked += 1
    if decision.took_for is truth:
        done.right += 1
        return False
    done.wrong[truth] += 1
    return True
