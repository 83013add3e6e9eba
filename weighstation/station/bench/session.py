"""One batch at the bench: messages in; lines to write, words to say and snapshots out.

No thread and no clock of its own: the runner brings messages in one after another, on one thread.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, assert_never

from weighstation.detect import Pan
from weighstation.errors import SpecificationError, WeighstationError
from weighstation.events import Cue, PieceKept, TurnLifted, Voided, VoidLast
from weighstation.journal import Kind, Why
from weighstation.quantities import MG_PER_G, grams_text
from weighstation.station.bench.absence import LINK_LOST, SILENT, Absence, gap_text
from weighstation.station.bench.backlog import Backlog
from weighstation.station.bench.batch import is_pile
from weighstation.station.bench.board_news import Moved
from weighstation.station.bench.board_words import moved_text
from weighstation.station.bench.calming import Calming
from weighstation.station.bench.keeper import ClockPlan, Keeper
from weighstation.station.bench.keys import Control
from weighstation.station.bench.loop import Bench, BenchPlan
from weighstation.station.bench.messages import (
    BoardAsked,
    Durable,
    LinkBack,
    LinkLost,
    PortEnded,
    Refused,
    Resumed,
    Stop,
    StrikeOut,
    Tick,
)
from weighstation.station.bench.offer import Offers
from weighstation.station.bench.silence import Silence
from weighstation.station.bench.snapshot import LiftedNote, Scene, Snapshot
from weighstation.station.bench.telling import Telling
from weighstation.station.bench.torn import TornLines
from weighstation.station.bench.vocabulary import Vocabulary
from weighstation.station.bench.watch import Watch
from weighstation.station.bench.wording import NOTHING_TO_STRIKE, overtaken_text
from weighstation.station.ports import Arrival

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.events import Outcome
    from weighstation.journal import Entry, Line
    from weighstation.station.bench.batch import Batch
    from weighstation.station.bench.messages import Message
    from weighstation.station.bench.offer import DoughToDivide
    from weighstation.station.bench.outlets import Outlets
    from weighstation.station.bench.standing import Standing

CUE_KEPT_S = 1.5
"""How long the panel says what has left the pan."""
HELD_S = 4.0
"""A sentence that nobody waits for stays at least this long."""
PILE = "Two pieces left together and were not counted: weigh them one at a time."

_SCENES = {
    Pan.NO_READING: Scene.NO_SCALE_YET,
    Pan.EMPTY: Scene.EMPTY,
    Pan.MOVING: Scene.MOVING,
    Pan.LOADED: Scene.MOVING,
    Pan.OVERLOADED: Scene.OVERLOADED,
}


@dataclass(frozen=True, slots=True)
class SessionPlan:
    """What one batch was asked to be.

    Parameters
    ----------
    bench : BenchPlan
    product : str
    planned : int or None
        Pieces wanted.
    ends_at_planned : bool
        End by itself once so many count, because there is no key to end it with.
    first_spread_mg : float, milligrams, or None
        Spread of this product's first cuts, from earlier runs.
    notice : str
        What is to be said before the first piece, in one plain sentence; may be empty.
    clocks : ClockPlan
        What the clocks of dough and boards start from.
    dough : DoughToDivide or None
        For what is offered as it goes down; None where nobody weighed it.
    """

    bench: BenchPlan
    product: str
    planned: int | None = None
    ends_at_planned: bool = False
    first_spread_mg: float | None = None
    notice: str = ""
    clocks: ClockPlan = field(default_factory=ClockPlan)
    dough: DoughToDivide | None = None


class Session:
    """The loop's own memory.

    Parameters
    ----------
    plan : SessionPlan
    batch : Batch
    standing : Standing
    outlets : Outlets

    Attributes
    ----------
    done : bool
        Whether the batch is over and every line that can be written is.
    failure : WeighstationError or None
        Why the batch had to stop.
    snapshot : Snapshot
        The newest picture.
    """

    def __init__(
        self, plan: SessionPlan, batch: Batch, standing: Standing, outlets: Outlets
    ) -> None:
        self.bench = Bench(plan.bench)
        self.standing = standing
        self.done = False
        self.failure: WeighstationError | None = None
        self._plan = plan
        self._batch = batch
        self._outlets = outlets
        self._vocabulary = Vocabulary()
        self._silence = Silence()
        self._absence = Absence(self._silence)
        self._backlog = Backlog()
        self._telling = Telling(outlets, self._backlog)
        self._torn = TornLines()
        self._watch = Watch(plan.bench.limits, plan.first_spread_mg, standing.first_cuts)
        self._keeper = Keeper(plan.clocks, batch.promised)
        self._offers = Offers(plan.bench.limits, plan.dough) if plan.dough else None
        self._over = False
        self._lost, self._notice = "", plan.notice
        self._now_s = self._held_s = 0.0
        self._outcomes = 0
        self._calming = Calming(plan.bench.limits)
        self._left_s: float | None = None
        self.snapshot = self._picture()

    def take(self, message: Message) -> None:
        """Take the next message in, and draw a new picture.

        Parameters
        ----------
        message : Message
        """
        try:
            self._take(message)
        except WeighstationError as exc:
            self.failure = exc
            self._over = True
        self.done = self._over and (self._backlog.lines == 0 or self._backlog.is_refused)
        self.snapshot = self._picture()

    def _take(self, message: Message) -> None:
        match message:
            case Arrival():
                if not self._over:
                    self._arrived(message)
            case Durable():
                self._durable(message)
            case Control():
                self._control(message)
            case StrikeOut():
                self._strike_out(message.number)
            case BoardAsked():
                self._board_asked(message)
            case Refused():
                self._backlog.refused(message.error)
            case Resumed():
                self._backlog.resumed()
            case Stop():
                self._over = True
            case _:
                self._link(message)

    def _link(self, message: Tick | LinkLost | LinkBack | PortEnded) -> None:
        match message:
            case Tick():
                self._now_s = max(self._now_s, message.t_s)
                if self._silence.tick(self._now_s) and not self._lost:
                    self._lost = "Nothing comes from the scale. Check its cable and power."
            case LinkLost():
                self._lost = message.sentence
                self._absence.lost(self._now_s)
            case LinkBack():
                self._lost = ""
                self._absence.back()
                self._renew(LINK_LOST, message.seconds)
            case PortEnded():
                self._end()
            case _:
                assert_never(message)

    # ---- what comes from the scale

    def _arrived(self, arrival: Arrival) -> None:
        before, frames = self.bench.pan, self.bench.counts.frames
        if self._silence.is_silent:
            self._lost = ""
        silent_s = self._silence.heard(arrival.t_s, frames)
        if silent_s:
            self._renew(SILENT, silent_s)
        self._now_s = max(self._now_s, arrival.t_s)
        outcomes = self.bench.feed(arrival.data, arrival.t_s)
        self._happened(outcomes)
        self._torn.see(self.bench.counts)
        if outcomes or self.bench.counts.frames > frames:
            self._calm(outcomes)
        if not self._batch.started and self.bench.division_mg is not None:
            self._batch.learn_division(self.bench.division_mg)
        now = self.bench.pan
        if now is Pan.EMPTY:
            self._emptied(arrival.t_s, is_news=before is not now)
        elif before is Pan.EMPTY:
            self._calming.clear()
            self._left_s = None

    def _calm(self, outcomes: Iterable[Outcome]) -> None:
        cues = [outcome for outcome in outcomes if isinstance(outcome, Cue)]
        newest = cues[-1] if cues else None
        self._calming.feed(newest, self.bench.indicated_mg, self.bench.division_mg or MG_PER_G)
        if not self.bench.is_loaded:
            self._calming.left()

    def _emptied(self, t_s: float, *, is_news: bool) -> None:
        if is_news:
            self._outlets.pan_is_empty()
            self._left_s = t_s
        elif self._left_s is not None and t_s - self._left_s > CUE_KEPT_S:
            self._calming.clear()
            self._left_s = None

    def _renew(self, why: str, seconds: float) -> None:
        if self.bench.paused:
            return  # the gap of the pause holds this one
        self._gap(why, seconds)
        self.bench.go_on()
        self._calming.clear()
        self._notice = "The scale is back: what lies on the pan is weighed anew."

    def _gap(self, why: str, seconds: float) -> None:
        text = gap_text(why, self.bench)
        self._write(self._batch.gap(text, seconds, self.bench.last_t_s))

    def _happened(self, outcomes: Iterable[Outcome]) -> None:
        for outcome in outcomes:
            self._vocabulary.division_mg = self.bench.division_mg
            said = self._vocabulary.line(outcome)
            if isinstance(outcome, Cue):
                if self._now_s >= self._held_s:
                    self._notice = ""
                self._telling.say(said)
                continue
            self._outcomes += 1
            if is_pile(outcome):
                self._notice = PILE
            *before, line = self._batch.lines(outcome, self.bench.last_t_s)
            self._write(before)
            self._telling.write(line, outcome, said=said, t_s=self._vocabulary.t_s)
            if isinstance(outcome, PieceKept):
                self._watch_cut(outcome)

    def _watch_cut(self, kept: PieceKept) -> None:
        found = self._watch.feed(kept.piece, self.bench.division_mg or MG_PER_G)
        if found is not None:
            self._write(self._batch.signal(found, self.bench.last_t_s))

    # ---- what comes from the writer

    def _write(self, lines: Iterable[Line]) -> None:
        for line in lines:
            self._telling.write(line, t_s=self._vocabulary.t_s)

    def _durable(self, message: Durable) -> None:
        t_s, written = self._telling.durable(message.outcome)
        self.standing.feed(message.entry)
        if message.outcome is not None:
            self._offer(t_s)
        elif message.entry.kind is Kind.SIGNAL:
            self._telling.say(self._vocabulary.signal(message.entry, t_s))
        self._keep(message.entry, t_s)
        if isinstance(message.outcome, Voided):
            piece = message.outcome.piece
            weight = grams_text(piece.final_mg, self.bench.division_mg or MG_PER_G)
            self._notice = f"Piece {piece.number} ({weight} g) is struck out."
        if written:
            self._notice, self._held_s = written, self._now_s + HELD_S
        if self._are_all_counted and self._plan.ends_at_planned:
            self._end()

    def _keep(self, entry: Entry, t_s: float) -> None:
        """Take a durable line to the boards, and say what is new of them."""
        is_of_board = entry.kind in (Kind.BOARD_CLOSED, Kind.BOARD_MOVED)
        for news in self._keeper.feed(entry):
            clocks = self._keeper.clocks(self._batch.dough_t_s)
            self._telling.say(self._vocabulary.of_board(news, clocks, t_s))
            if is_of_board and isinstance(news, Moved):
                said = moved_text(news.board, clocks.rest(news.board, self._now_s))
                self._notice, self._held_s = said, self._now_s + HELD_S

    def _offer(self, t_s: float) -> None:
        totals, division_mg = self.standing.totals, self.bench.division_mg or MG_PER_G
        if self._offers is None or totals is None:
            return
        found = self._offers.feed(totals, division_mg)
        if found is not None:
            self._telling.say(self._vocabulary.offer(found, t_s))

    @property
    def _are_all_counted(self) -> bool:
        return bool(self._plan.planned) and self.standing.counted >= (self._plan.planned or 0)

    def _noticed(self) -> str:
        """Return the notice; that all pieces are counted stays until the next load."""
        if self._notice or not self._are_all_counted or self.bench.is_loaded:
            return self._notice
        planned = self._plan.planned
        counted = "The one piece is" if planned == 1 else f"All {planned} pieces are"
        return f"{counted} counted: press E twice to end the batch."

    # ---- what comes from a person

    def _control(self, control: Control) -> None:
        if self._over:
            return
        now_s = self.bench.last_t_s
        match control:
            case Control.TURN:
                self._asked(self.bench.command(TurnLifted(now_s)), "No lifted piece is open.")
            case Control.PAUSE:
                self._pause_or_go_on()
            case Control.END:
                self._end()
            case _:
                pass  # it comes as `StrikeOut` or `BoardAsked`, which name what they mean

    def _strike_out(self, number: int) -> None:
        """Strike out the piece that was named, or none."""
        last = self.bench.last_counted
        if self._over:
            return
        if last is None or last.number != number:
            self._notice = overtaken_text(self.snapshot, number)
            return
        self._asked(self.bench.command(VoidLast(self.bench.last_t_s)), NOTHING_TO_STRIKE)
        if self._backlog.is_refused:
            weight = grams_text(last.final_mg, self.bench.division_mg or MG_PER_G)
            self._notice = (
                f"Piece {number} ({weight} g) is struck out; that too waits for the disk."
            )

    def _board_asked(self, asked: BoardAsked) -> None:
        """Have written what a person says of a board, or say why that cannot be."""
        if self._over:
            return
        try:
            said = self._keeper.asked(asked.control, asked.board, self._now_s)
        except SpecificationError as exc:
            self._notice, self._held_s = exc.sentence, self._now_s + HELD_S
            return
        self._vocabulary.stamp(self._now_s)
        self._write(self._batch.of_board(*said, self._now_s))
        self._notice = ""
        if self._backlog.is_refused:
            self._notice = f"Board {asked.board}: that too waits for the disk."

    def _asked(self, outcomes: list[Outcome], otherwise: str) -> None:
        self._notice = "" if outcomes else otherwise
        self._happened(outcomes)

    def _pause_or_go_on(self) -> None:
        self._calming.clear()
        if self.bench.paused:
            self._gap(*self._absence.why(self._now_s))
            self._absence.gone_on()
            self.bench.go_on()
        else:
            self._absence.paused(self._now_s)
            self.bench.pause()

    def _end(self) -> None:
        if self._over:
            return
        self._over = True
        why, seconds = self._absence.why(self._now_s)
        text = gap_text(why, self.bench)
        self._happened(self.bench.finish(self.bench.last_t_s))
        if why:
            self._write(self._batch.gap(text, seconds, self.bench.last_t_s))
        self._write(self._batch.end(Why.DONE, self.bench.last_t_s))

    # ---- the picture

    def _scene(self) -> Scene:
        if self._lost:
            return Scene.SCALE_LOST
        if self.bench.paused:
            return Scene.PAUSED
        if self.bench.pan is Pan.LOADED and self._calming.cue is not None:
            return Scene.CUED
        if self.bench.lain_mg is not None:
            return Scene.LADEN
        return _SCENES[self.bench.pan]

    def _picture(self) -> Snapshot:
        now_s, standing, known = self._now_s, self.standing, self.bench.last_counted
        totals, last = standing.totals, standing.last
        return Snapshot(
            t_s=now_s,
            product=self._plan.product,
            limits=self._plan.bench.limits,
            division_mg=self.bench.division_mg or MG_PER_G,
            scene=self._scene(),
            lain_mg=self.bench.lain_mg,
            loaded=self.bench.is_loaded,
            cue=self._calming.cue,
            slowed=self._calming.slowed,
            counted=standing.counted,
            planned=self._plan.planned,
            last_number=last[0] if last else None,
            last_mg=last[1] if last else None,
            known_number=known.number if known else None,
            known_mg=known.final_mg if known else None,
            happened=self._outcomes,
            out_of_band=totals.out_of_band if totals else 0,
            kept_mean_mg=totals.kept_mean_mg if totals else None,
            first_sd_mg=totals.first.sd_mg if totals else None,
            clocks=self._keeper.clocks(self._batch.dough_t_s),
            lifted=self._lifted(),
            notice=self._noticed(),
            signal=self._watch.line,
            offer=self._offers.line if self._offers else "",
            alarm=self._alarm(),
        )

    def _alarm(self) -> str:
        return self._backlog.alarm or self._lost or self.bench.refusal or self._torn.sentence

    def _lifted(self) -> LiftedNote | None:
        decision = self.bench.last_decision
        if decision is None:
            return None
        is_open = self.bench.open_lifted is not None
        return LiftedNote(decision.number, decision.error_mg, decision.took_for, is_open)
