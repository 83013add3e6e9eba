"""Building up on a board, and taking away from the whole dough.

Boards and whole doughs are furniture: they are on the pan, but no load of the truth.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from other_hand_ways import PIECES, Weigher

if TYPE_CHECKING:
    from other_hand_dough import Load


class BuildUp(Weigher):
    """A board stands on the scale; pieces go on top of those already there.

    ``board_g`` is what stands on the pan from the start; ``swaps`` says whether a full board goes
    and another, tared, comes, or whether the dough is tipped out of it where it stands.
    A load ends when the next one touches the pan, or when the board is taken.
    """

    board_g = 850.0
    holds_pieces = 8
    swaps = True

    def work(self) -> None:
        """Weigh forty pieces."""
        self.acting.base_g = self.board_g
        last: Load | None = None
        heap_g = 0.0
        for number in range(1, PIECES + 1):
            last = self._one(number)
            heap_g += last.final_g
            if number % self.holds_pieces == 0 or number == PIECES:
                self._full(last, heap_g)
                heap_g = 0.0
            else:
                self.let_be(self.rng.uniform(*self.hands.gap_s))
                last.left_s = self.t_s
            self.close(number, 0, self.fate(last.final_g))

    def _one(self, number: int) -> Load:
        load = self.begin(number, self.cut())
        self.set_down(load.first_g)
        self.hands_off(load)
        self.read()
        self.perhaps_press(load)
        while not self.goal.holds(load.final_g) and load.touches < 4:
            if self.chance(self.hands.leaves_it):
                break
            self.touch_up(load)
        return load

    def _full(self, last: Load, heap_g: float) -> None:
        self.let_be(0.5)
        last.left_s = self.t_s
        self.heave(-(heap_g + self.board_g if self.swaps else heap_g))
        self.let_be(self.rng.uniform(3.0, 6.0))
        if self.swaps:
            self.board_g = round(self.board_g + self.rng.uniform(-4, 4), 2)
            self.heave(self.board_g)
            self.let_be(1.5)
            self.tare(self.t_s)
            self.let_be(3.0)


class TakeAway(Weigher):
    """The whole dough is on the scale; a piece weighs what was cut away.

    A load begins when the knife touches the dough and ends when it does so for the next one.
    """

    pieces_a_dough = 10
    rump_g = 1800.0

    def work(self) -> None:
        """Weigh forty pieces."""
        self.acting.base_g = round(self._dough_g() + self.rump_g, 2)
        given_g = 0.0
        for number in range(1, PIECES + 1):
            load = self._one(number)
            given_g += load.final_g
            self.let_be(self.rng.uniform(*self.hands.gap_s))
            load.left_s = self.t_s
            self.close(number, 0, self.fate(load.final_g))
            if number % self.pieces_a_dough == 0 and number < PIECES:
                self.heave(round(given_g + self.rng.uniform(-200, 200), 2))
                self.let_be(self.rng.uniform(2.0, 4.0))
                given_g = 0.0
        self.hands_on()

    def _dough_g(self) -> float:
        return self.goal.target_g * self.pieces_a_dough * self.rng.uniform(1.0, 1.1)

    def _one(self, number: int) -> Load:
        load = self.begin(number, self.cut())
        self._cut_away(load.first_g)
        self.hands_off(load)
        self.read()
        while not self.goal.holds(load.final_g) and load.touches < 4:
            if self.chance(self.hands.leaves_it):
                break
            self.touch_up(load)
        return load

    def change(self, load: Load, by_g: float) -> None:
        """Make a piece heavier by cutting more from the dough, lighter by giving some back."""
        if by_g > 0:
            self.trim(by_g, load.final_g)
        else:
            self.add(-by_g)

    def _cut_away(self, mass_g: float) -> None:
        """Strokes of the knife, a pull that stretches the dough, and the piece comes free."""
        self.hands_on()
        u = self.rng.uniform
        strokes_s = 0.0
        for _ in range(self.rng.randint(1, 4)):
            strokes_s += u(0.12, 0.3)
            self._push(strokes_s - 0.12, u(0.1, 0.25), self._force(80, 900))
        self.t_s += strokes_s + 0.15
        gone = self._transfer(0, u(0.15, 0.5), -mass_g)
        self.t_s = self._push(gone - self.t_s - 0.15, u(0.17, 0.35), -mass_g * u(0.05, 0.4))
        self._perhaps_lean()
