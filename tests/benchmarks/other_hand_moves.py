"""The movements of a pair of hands at the bench: each acts on the pan and takes its time."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from other_hand_dough import Facts, Goal, Hands, Load, Rest
from other_hand_pan import Acting, Knock, Push, Transfer
from other_hand_scale import Key

if TYPE_CHECKING:
    import random

SHORTEST_REST_S, LONGEST_REST_S = 0.5, 3.0


class Bench:
    """Hands, the pan under them, and the clock they work by."""

    def __init__(self, hands: Hands, goal: Goal, division_g: float, rng: random.Random) -> None:
        self.hands, self.goal, self.division_g, self.rng = hands, goal, division_g, rng
        self.acting, self.facts = Acting(), Facts()
        self.keys: list[Key] = []
        self.t_s = rng.uniform(1.8, 3.2)
        self._strength = min(1.0, math.sqrt(goal.target_g / 600))
        self._open: Rest | None = None

    def chance(self, p: float) -> bool:
        """Whether something that happens with a chance happens now."""
        return self.rng.random() < p

    def let_be(self, seconds: float) -> None:
        """Stay off the pan."""
        self.t_s += seconds

    def hands_on(self) -> None:
        """Touch the pan or what is on it: a rest that was going on is over."""
        if self._open is not None:
            self._open.to_s = self.t_s
            self.facts.rests.append(self._open)
            self._open = None

    def hands_off(self, load: Load) -> None:
        """Let go of a load: a rest begins."""
        self._open = Rest(load.visit, load.touches, self.t_s, self.t_s, load.final_g)

    def _push(self, after_s: float, for_s: float, force_g: float, held: float = 0.0) -> float:
        """A push that begins some time from now; return when it ends."""
        start = self.t_s + after_s
        tremor = self.rng.uniform(0.04, 0.12) if held else 0.0
        hz = (self.rng.uniform(1.5, 4.0), self.rng.uniform(7.0, 11.0))
        phase = self.rng.uniform(0, 6.28)
        self.acting.pushes.append(Push(start, start + for_s, force_g, held, tremor, hz, phase))
        return start + for_s

    def _transfer(self, after_s: float, for_s: float, mass_g: float, gait: str = "smooth") -> float:
        """Dough that begins to move some time from now; return when it has moved."""
        start = self.t_s + after_s
        self.acting.transfers.append(Transfer(start, start + for_s, mass_g, gait))
        return start + for_s

    def _force(self, low_g: float, high_g: float) -> float:
        """A force that suits the size of the dough."""
        return self.rng.uniform(low_g, high_g) * self._strength

    def set_down(self, mass_g: float) -> None:
        """Put dough down; the hands may stay on it for a while."""
        self.hands_on()
        u, style = self.rng.uniform, self.rng.choice(self.hands.placing)
        if style == "drop":
            end = self._transfer(0, u(0.03, 0.07), mass_g, "even")
            end = max(end, self._push(0, u(0.06, 0.1), mass_g * u(0.4, 1.2)))
        elif style == "slow":
            gait = self.rng.choice(("sagging", "even", "two-stage"))
            end = self._transfer(0, u(0.7, 1.5), mass_g, gait)
        elif style == "tip":
            end = self._transfer(0, u(0.3, 0.8), mass_g, "two-stage")
        else:
            for_s = u(0.15, 0.4)
            end = self._transfer(0, for_s, mass_g)
            end = max(end, self._push(for_s - 0.06, u(0.08, 0.15), mass_g * u(0.05, 0.4)))
        self.t_s = end
        self._perhaps_lean()

    def _perhaps_lean(self) -> None:
        """A hand that rests on the dough before it goes."""
        if self.chance(self.hands.leans):
            force = self.rng.uniform(*self.hands.lean_g)
            self.t_s = self._push(-0.06, self.rng.uniform(0.3, 1.2), force, held=0.75)

    def add(self, mass_g: float) -> None:
        """Add a bit, or two in one go, and press it on."""
        self.hands_on()
        u = self.rng.uniform
        parts = [mass_g]
        if self.chance(self.hands.dabs):
            first = round(mass_g * u(0.4, 0.8), 2)
            parts = [first, mass_g - first]
        for i, part in enumerate(parts):
            landed = self._transfer(0, u(0.05, 0.2), part)
            pressed = self._push(0.05, u(0.2, 0.6), self._force(80, 600), held=0.3)
            self.t_s = max(landed, pressed)
            if i + 1 < len(parts):
                self.t_s = self._push(-0.04, u(0.2, 0.45), self._force(10, 45), held=0.7) - 0.02
        self._perhaps_lean()

    def trim(self, mass_g: float, under_hand_g: float) -> None:
        """Cut or pinch a bit off, with the piece's edge lifted or not."""
        self.hands_on()
        u = self.rng.uniform
        if self.chance(self.hands.lifts_edge):
            for_s = u(0.45, 1.1)
            end = self._push(0, for_s, -under_hand_g * u(0.25, 0.85), held=0.5)
            for _ in range(self.rng.randint(1, 3)):
                self._push(u(0.1, 0.7) * for_s, u(0.06, 0.12), self._force(40, 350))
            gone = self._transfer(0.5 * for_s, 0.3 * for_s, -mass_g)
            self.t_s = max(end, gone, self.t_s + for_s + 0.13)
        else:
            pinch = self._push(0, u(0.2, 0.5), self._force(30, 180), held=0.4)
            after = pinch - self.t_s - 0.05
            gone = self._transfer(after, u(0.08, 0.2), -mass_g)
            pull = self._push(after, u(0.1, 0.22), -self._force(10, 60))
            self.t_s = max(gone, pull)
        self._perhaps_lean()

    def press(self) -> None:
        """Press the piece flat: no dough comes or goes."""
        self.hands_on()
        self.t_s = self._push(0, self.rng.uniform(0.2, 0.8), self._force(60, 450), held=0.5)

    def lift(self, mass_g: float) -> None:
        """Take dough off the pan."""
        self.hands_on()
        u, style = self.rng.uniform, self.rng.choice(self.hands.lifting)
        if style == "quick":
            self.t_s = self._transfer(0, u(0.04, 0.09), -mass_g, "even")
            return
        grasp_s = u(0.08, 0.22)
        self._push(0, grasp_s, self._force(20, 150))
        if style == "sticky":
            gone = self._transfer(0.7 * grasp_s, u(0.25, 0.5), -mass_g)
            self.t_s = self._push(gone - self.t_s - 0.12, u(0.18, 0.3), -mass_g * u(0.03, 0.15))
        else:
            self.t_s = self._transfer(0.7 * grasp_s, u(0.15, 0.35), -mass_g)

    def heave(self, mass_g: float) -> None:
        """Bring a board or a whole dough, or take it away: both hands, and slowly."""
        self.hands_on()
        self.t_s = self._transfer(0, self.rng.uniform(0.7, 1.6), mass_g, "smooth")
        self.t_s = self._push(0, self.rng.uniform(0.3, 0.8), self._force(30, 300), held=0.4)

    def elbow(self) -> None:
        """Lean on a pan, or wipe it, with nothing of interest on it."""
        self.hands_on()
        force = self.rng.uniform(*self.hands.elbow_g)
        self.t_s = self._push(0, self.rng.uniform(0.4, 1.6), force, held=0.6)

    def knock(self, at_s: float) -> None:
        """Knock on the bench, once or in a short row."""
        for _ in range(self.rng.choice((1, 1, 2, 3))):
            self.acting.knocks.append(Knock(at_s, self.rng.uniform(*self.hands.knock_g)))
            at_s += self.rng.uniform(0.08, 0.2)

    def tare(self, at_s: float, patience_s: float = 2.0) -> None:
        """Press the tare key; the finger nudges the bench."""
        self.keys.append(Key(at_s, patience_s))
        self.acting.knocks.append(Knock(at_s, self.rng.uniform(0.3, 2.0)))

    def reading_s(self) -> float:
        """How long the hands stay off while the person reads the scale."""
        drawn = self.hands.read_s * math.exp(self.rng.gauss(0, 0.4))
        return min(LONGEST_REST_S, max(SHORTEST_REST_S, drawn))

    def read(self) -> None:
        """Stay off and read; somebody may knock on the bench meanwhile."""
        for_s = self.reading_s()
        if self.chance(self.hands.knocks):
            self.knock(self.t_s + self.rng.uniform(0.15, for_s))
        if self.chance(self.hands.dawdles):
            for_s += self.rng.uniform(6.0, 14.0)
        self.let_be(for_s)
