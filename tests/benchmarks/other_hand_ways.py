"""Three ways of weighing forty pieces: what the hands do, and what is true of it."""

from __future__ import annotations

from other_hand_dough import Load, PieceTruth
from other_hand_moves import Bench

PIECES = 40


class Weigher(Bench):
    """What the three ways share: cutting by eye, judging what the scale says, correcting."""

    def work(self) -> None:
        """Weigh forty pieces."""
        raise NotImplementedError

    def cut(self) -> float:
        """Weight of a piece cut by eye."""
        target = self.goal.target_g
        drawn = self.rng.gauss(target * (1 + self.hands.cut_bias), target * self.hands.cut_sd)
        return self.settled_on(max(0.55 * target, min(1.6 * target, drawn)))

    def settled_on(self, net_g: float) -> float:
        """Keep a weight off the very edge of the limits, on 0.01 g."""
        return round(self.goal.clear(net_g, self.division_g), 2)

    def corrected(self, net_g: float) -> float:
        """What a piece weighs after one more correction by eye, which moves at least 2.5 d."""
        error = net_g - self.goal.target_g
        left = error * self.rng.gauss(0, self.hands.miss_sd)
        if abs(error) > 4 * (self.goal.under_g + self.goal.over_g) and self.chance(0.3):
            left = error * self.rng.uniform(0.2, 0.5)
        after_g = self.settled_on(self.goal.target_g + left)
        return self.goal.target_g if abs(after_g - net_g) < 2.5 * self.division_g else after_g

    def begin(self, number: int, net_g: float) -> Load:
        """A load comes onto the pan now."""
        load = Load(len(self.facts.loads) + 1, number, self.t_s, self.t_s, net_g, net_g)
        self.facts.loads.append(load)
        return load

    def fate(self, net_g: float) -> str:
        """What becomes of a piece that goes onto the board with this weight."""
        return "kept" if self.goal.holds(net_g) else "boarded"

    def close(self, number: int, touches_off: int, fate: str) -> None:
        """Sum the loads of a piece up."""
        loads = [each for each in self.facts.loads if each.piece == number]
        touches = touches_off + sum(each.touches for each in loads)
        first, last = loads[0], loads[-1]
        self.facts.pieces.append(
            PieceTruth(
                number, first.first_g, last.final_g, touches, first.placed_s, last.left_s, fate
            )
        )

    def touch_up(self, load: Load) -> None:
        """One add or trim, and a rest."""
        after_g = self.corrected(load.final_g)
        self.change(load, round(after_g - load.final_g, 2))
        load.final_g, load.touches = after_g, load.touches + 1
        self.hands_off(load)
        self.read()

    def change(self, load: Load, by_g: float) -> None:
        """Make a piece heavier by adding, lighter by trimming."""
        if by_g > 0:
            self.add(by_g)
        else:
            self.trim(-by_g, load.final_g)

    def perhaps_press(self, load: Load) -> None:
        """A press that changes nothing, and a rest after it."""
        if self.chance(self.hands.presses):
            self.press()
            self.hands_off(load)
            self.read()


class Single(Weigher):
    """The pan is emptied between pieces."""

    _residue_g = 0.0
    _over: float | None = None
    _negative = False

    def work(self) -> None:
        """Weigh forty pieces."""
        for number in range(1, PIECES + 1):
            self._one(number)
            self._between()

    def _one(self, number: int) -> None:
        net_g = self._over if self._over is not None else self.cut()
        self._over, touches_off = None, 0
        while True:
            load = self._on_the_pan(number, net_g)
            way_off = self._correct(load)
            self._off_the_pan(load)
            if way_off != "bring back":
                break
            self.let_be(self.rng.uniform(1.8, 4.5))
            net_g, touches_off = self.corrected(load.final_g), touches_off + 1
        self.close(number, touches_off, "discarded" if way_off == "throw" else self._fate(load))

    def _fate(self, load: Load) -> str:
        return self.fate(load.final_g)

    def _on_the_pan(self, number: int, net_g: float) -> Load:
        second = self.cut() if self.chance(self.hands.doubles) and number < PIECES else None
        load = self.begin(number, round(net_g + (second or 0.0), 2))
        self.set_down(load.first_g)
        self.hands_off(load)
        self.read()
        if second is not None:
            self._take_second_off(load, second)
        self._perhaps_tare()
        self.perhaps_press(load)
        return load

    def _take_second_off(self, load: Load, second_g: float) -> None:
        self.lift(second_g)
        load.final_g = round(load.final_g - second_g, 2)
        load.touches += 1
        self._over = second_g
        self.hands_off(load)
        self.read()

    def _perhaps_tare(self) -> None:
        if self.chance(self.hands.tares):
            self.let_be(0.2)
            self.tare(self.t_s)
            self._negative = True
            self.let_be(self.rng.uniform(0.8, 1.6))

    def _correct(self, load: Load) -> str:
        """Add or trim until it will do; return how it leaves."""
        while not self.goal.holds(load.final_g):
            if self.chance(self.hands.throws_back):
                return "throw"
            if self.chance(self.hands.leaves_it) or load.touches > 4:
                return "leave"
            if self.chance(self.hands.takes_off):
                return "bring back"
            self.touch_up(load)
        return "keep"

    def _off_the_pan(self, load: Load) -> None:
        left_g = 0.0
        if self.hands.residue_g:
            left_g = round(self.rng.expovariate(1 / self.hands.residue_g), 2)
            left_g = min(left_g, 6 * self.hands.residue_g)
        self.lift(load.final_g - left_g)
        self._residue_g += left_g
        load.left_s = self.t_s

    def _between(self) -> None:
        gap_s = self.rng.uniform(*self.hands.gap_s)
        if self.chance(self.hands.knocks):
            self.knock(self.t_s + self.rng.uniform(0, gap_s))
        self.let_be(gap_s / 2)
        if self.chance(self.hands.elbows):
            self.elbow()
            self.let_be(0.4)
        if self.chance(self.hands.wipes) and self._residue_g:
            self._wipe()
        back = self._negative and self.chance(self.hands.tares_back)
        if back or self.chance(self.hands.zeroes):
            self._zero()
        if self.chance(self.hands.breaks):
            self._break()
        self.let_be(gap_s / 2)

    def _zero(self) -> None:
        """Press tare on the empty pan and wait for it."""
        self.tare(self.t_s + 0.4)
        self._negative = False
        self.let_be(2.2)

    def _break(self) -> None:
        """Something else to do; the bench is bumped once or twice meanwhile."""
        for_s = self.rng.uniform(8.0, 25.0)
        for _ in range(self.rng.randint(1, 2)):
            self.knock(self.t_s + self.rng.uniform(1.0, for_s - 1.0))
        self.let_be(for_s)

    def _wipe(self) -> None:
        self._push(0, 0.5, self._force(40, 200), held=0.3)
        self.t_s = self._transfer(0.1, 0.4, -self._residue_g) + 0.3
        self._residue_g = 0.0
