"""Days at a bench as journal lines: kept, lifted, turned, voided, stopped in any order."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from hypothesis import strategies as st

from weighstation.events import LiftedTurned, Piece, TookFor, Verdict, Voided
from weighstation.journal import (
    BoardStage,
    Body,
    Kind,
    Line,
    RunStarted,
    Why,
    board_closed,
    board_moved,
    board_opened,
    codec,
)
from weighstation.specification import LiftedPolicy, Limits, Product, Way

TARGET_MG = 740_000
JOURNAL_ID = "5eed" * 8

ACTS = ("keep", "lift", "board", "turn", "void", "note", "gap", "stop", "close", "move")
PLACES = 3
RUN_MS = 1_000_000_000
"""From where the clock of one run begins to where that of the next does."""


@dataclass
class Day:
    """Writes lines that may follow, and keeps its own account of the pieces that count."""

    division_mg: int | None
    lines: list[Line] = field(default_factory=list)
    pieces: dict[str, dict[int, Piece]] = field(default_factory=dict)
    run: str = ""
    numbers: int = 0
    lifted: Piece | None = None
    boarded: list[Piece] = field(default_factory=list)

    def act(self, act: str, first_mg: int, final_mg: int, touches: int) -> None:
        if not self.run:
            self._start()
        if act in ("keep", "lift"):
            self._weigh(act, first_mg, final_mg, touches)
        elif act == "board":
            self._board()
        elif act == "turn":
            self._turn()
        elif act == "void" and self.pieces[self.run]:
            gone = self.pieces[self.run].popitem()[1]
            body = codec.voided(self.run, Voided(9.0, gone, "x"), dough_t_s=600.0)
            self._write(Kind.VOIDED, body)
        elif act == "note" and self.lines:
            self._write(Kind.NOTED, codec.noted(len(self.lines), "Mehl drauf\n"))
        elif act == "gap":
            self._write(Kind.GAP, codec.gap(self.run, "scale lost", touches))
        elif act in ("close", "move"):
            self._move(1 + touches, None if act == "close" else tuple(BoardStage)[first_mg % 3])
        elif act == "stop":
            self._write(Kind.RUN_ENDED, codec.run_ended(self.run, Why.INTERRUPTED))
            self.run = ""

    def _start(self) -> None:
        last, self.run = self.run, f"run {len(self.lines)}"
        self.pieces[self.run] = {}
        self.numbers, self.lifted, self.boarded = 0, None, []
        promised = RunStarted(
            run=self.run,
            product=Product("Rye", Limits(TARGET_MG, 8000, 8000), board_places=PLACES),
            way=Way.SINGLE,
            lifted=LiftedPolicy.GUESS,
            scale="simulated://?seed=1",
            software="0.1.0",
            division_mg=self.division_mg,
            continues=last,
            clock_utc_ms=RUN_MS * len(self.pieces),
        )
        self._write(Kind.RUN_STARTED, codec.run_started(promised))
        if len(self.pieces) == 1:
            self._write(Kind.BOARD_OPENED, board_opened(1, PLACES, run=self.run))

    def _move(self, board: int, stage: BoardStage | None) -> None:
        if stage is None:
            self._write(Kind.BOARD_CLOSED, board_closed(board, run=self.run))
            return
        at_ms = RUN_MS // 2 + len(self.lines)
        self._write(Kind.BOARD_MOVED, board_moved(board, stage, run=self.run, at_ms=at_ms))

    def _weigh(self, act: str, first_mg: int, final_mg: int, touches: int) -> None:
        self.numbers += 1
        placed_s = 600.0 * self.numbers
        verdict = Verdict.KEEP if act == "keep" else Verdict.TRIM
        piece = Piece(self.numbers, placed_s + 4.2, placed_s, first_mg, final_mg, touches, verdict)
        body = codec.piece_kept(self.run, piece, dough_t_s=600.0)
        if act == "keep":
            self.pieces[self.run][piece.number] = piece
            self._write(Kind.PIECE_KEPT, body)
        else:
            self.lifted = piece
            self._write(Kind.PIECE_LIFTED, body)

    def _board(self) -> None:
        if self.lifted is not None:
            self.pieces[self.run][self.lifted.number] = self.lifted
            body = codec.piece_kept(self.run, self.lifted, dough_t_s=600.0)
            self._write(Kind.PIECE_KEPT, body)
            self.lifted = None

    def _turn(self) -> None:
        """Join the two pieces counted last into one, as if the later were the earlier, back."""
        counted = self.pieces[self.run]
        if len(counted) < 2:
            return
        later, earlier = counted.popitem()[1], counted.popitem()[1]
        whole = replace(later, number=earlier.number, first_mg=earlier.first_mg)
        counted[whole.number] = whole
        turned = LiftedTurned(9.0, whole.number, TookFor.CAME_BACK, (earlier, later), (whole,))
        self._write(Kind.LIFTED_TURNED, codec.lifted_turned(self.run, turned, dough_t_s=600.0))

    def _write(self, kind: Kind, body: Body) -> None:
        self.lines.append(Line(kind, body, 1_772_424_600_000 + len(self.lines)))


@st.composite
def days(draw: st.DrawFn) -> Day:
    """Draw a day of up to some dozens of acts."""
    day = Day(draw(st.sampled_from([None, 100, 1000, 5000])))
    grams = st.integers(min_value=500_000, max_value=1_600_000)
    acts = st.tuples(st.sampled_from(ACTS), grams, grams, st.integers(0, 5))
    for act, first_mg, final_mg, touches in draw(st.lists(acts, min_size=6, max_size=40)):
        day.act(act, first_mg, final_mg, touches)
    return day
