"""One batch at the bench: messages in; lines to write, words to say and snapshots out.

No thread and no clock of its own: the runner brings messages in one after another, on one thread.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, assert_never

from weighstation.detect import Pan
from weighstation.errors import SpecificationError, WeighstationError
from weighstation.events import Cue, PieceKept, PieceLifted, TurnLifted, Voided, VoidLast
from weighstation.journal import Kind, Why, pan_shifted, read_body, read_dough_weighed
from weighstation.quantities import MG_PER_G, grams_text
from weighstation.specification import Way
from weighstation.station.bench import dough_left
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
from weighstation.station.bench.pan_watch import PanWatch, shifted_text
from weighstation.station.bench.silence import Silence
from weighstation.station.bench.snapshot import LiftedNote, Scene, Snapshot
from weighstation.station.bench.torn import TornLines
from weighstation.station.bench.vocabulary import Vocabulary
from weighstation.station.bench.watch import Watch
from weighstation.station.bench.wording import NOTHING_TO_STRIKE, overtaken_text
from weighstation.station.ports import Arrival

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.events import Outcome, Piece
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
        self._unsaid: deque[tuple[str | None, float]] = deque()
        self._silence = Silence()
        self._absence = Absence(self._silence)
        self._backlog = Backlog()
        self._torn = TornLines()
        self._watch = Watch(plan.bench.limits, plan.first_spread_mg, standing.first_cuts)
        self._keeper = Keeper(plan.clocks, batch.promised)
        self._pan_watch = PanWatch(plan.bench.limits)
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

    def _watch_pan(self, piece: Piece) -> None:
        """Write down that a piece was weighed on a pan that shows something else, and say so."""
        if self.bench.plan.way is not Way.SINGLE:
            return
        empty_mg, division_mg = self.bench.empty_mg, self.bench.division_mg or MG_PER_G
        said = self._pan_watch.feed(empty_mg, piece.number - 1, division_mg)
        if said is not None:
            body = pan_shifted(self._batch.promised.run, said)
            self._write(self._batch.said(Kind.PAN_SHIFTED, body, self.bench.last_t_s))
            self._notice, self._held_s = shifted_text(said, division_mg), self._now_s + HELD_S

    def _renew(self, why: str, seconds: float) -> None:
        if self.bench.paused:
            return  # the gap of the pause holds this one
        self._gap(why, seconds)
        was_dough = self.bench.pile is not None
        self.bench.go_on()
        self._calming.clear()
        back = "The scale is back: what lies on the pan is weighed anew."
        self._notice = dough_left.BROKEN_OFF if was_dough else back

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
                self._say(said)
                continue
            self._outcomes += 1
            if is_pile(outcome):
                self._notice = PILE
            if isinstance(outcome, PieceKept | PieceLifted):
                self._watch_pan(outcome.piece)
            self._unsaid.append((said, self._vocabulary.t_s))
            *before, line = self._batch.lines(outcome, self.bench.last_t_s)
            self._write(before)
            self._write([line], outcome)
            if isinstance(outcome, PieceKept):
                self._watch_cut(outcome)

    def _watch_cut(self, kept: PieceKept) -> None:
        found = self._watch.feed(kept.piece, self.bench.division_mg or MG_PER_G)
        if found is not None:
            self._write(self._batch.signal(found, self.bench.last_t_s))

    # ---- what comes from the writer

    def _write(self, lines: Iterable[Line], outcome: Outcome | None = None) -> None:
        for line in lines:
            self._backlog.given(outcome)
            self._outlets.write(line, outcome)

    def _durable(self, message: Durable) -> None:
        written = self._backlog.durable(message.outcome)
        self.standing.feed(message.entry)
        if message.outcome is not None:
            line, t_s = self._unsaid.popleft()
            self._say(line)
            self._offer(t_s)
        elif message.entry.kind is Kind.SIGNAL:
            self._say(self._vocabulary.signal(message.entry, self._now_s))
        elif message.entry.kind is Kind.DOUGH_WEIGHED:
            self._dough_is_left(message.entry)
        elif message.entry.kind is Kind.PAN_SHIFTED:
            self._say(self._vocabulary.pan_shifted(message.entry, self._now_s))
        self._keep(message.entry)
        if isinstance(message.outcome, Voided):
            piece = message.outcome.piece
            weight = grams_text(piece.final_mg, self.bench.division_mg or MG_PER_G)
            self._notice = f"Piece {piece.number} ({weight} g) is struck out."
        if written:
            self._notice, self._held_s = written, self._now_s + HELD_S
        if self._are_all_counted and self._plan.ends_at_planned:
            self._end()

    def _dough_is_left(self, entry: Entry) -> None:
        self._say(self._vocabulary.dough_left(entry, self._now_s))
        left_mg = read_dough_weighed(read_body(entry.body)).left_mg
        weight = grams_text(left_mg, self.bench.division_mg or MG_PER_G)
        self._notice, self._held_s = f"{weight} g of dough are left.", self._now_s + HELD_S

    def _keep(self, entry: Entry) -> None:
        """Take a durable line to the boards, and say what is new of them."""
        is_of_board = entry.kind in (Kind.BOARD_CLOSED, Kind.BOARD_MOVED)
        for news in self._keeper.feed(entry):
            clocks = self._keeper.clocks(self._batch.dough_t_s)
            self._say(self._vocabulary.of_board(news, clocks, self._now_s))
            if is_of_board and isinstance(news, Moved):
                said = moved_text(news.board, clocks.rest(news.board, self._now_s))
                self._notice, self._held_s = said, self._now_s + HELD_S

    def _offer(self, t_s: float) -> None:
        totals, division_mg = self.standing.totals, self.bench.division_mg or MG_PER_G
        if self._offers is None or totals is None:
            return
        found = self._offers.feed(totals, division_mg)
        if found is not None:
            self._say(self._vocabulary.offer(found, t_s))

    @property
    def _are_all_counted(self) -> bool:
        return bool(self._plan.planned) and self.standing.counted >= (self._plan.planned or 0)

    def _noticed(self) -> str:
        """Return the notice; that all pieces are counted stays until the next load."""
        if self.bench.pile is not None:
            return self._notice if self._now_s < self._held_s else dough_left.begun(self.bench)
        if self._notice or not self._are_all_counted or self.bench.is_loaded:
            return self._notice
        planned = self._plan.planned
        counted = "The one piece is" if planned == 1 else f"All {planned} pieces are"
        return f"{counted} counted: press E twice to end the batch."

    def _say(self, line: str | None) -> None:
        if line is not None:
            self._outlets.say(line)

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
            case Control.DOUGH:
                self._dough_left()
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
        self._write(self._batch.said(*said, self._now_s))
        self._notice = ""
        if self._backlog.is_refused:
            self._notice = f"Board {asked.board}: that too waits for the disk."

    def _asked(self, outcomes: list[Outcome], otherwise: str) -> None:
        self._notice = "" if outcomes else otherwise
        self._happened(outcomes)

    def _dough_left(self) -> None:
        """Begin to weigh back the dough that is left, or write down what it came to."""
        if self.bench.pile is None:
            self._notice = dough_left.refusal(self.bench)
            if self._notice:
                self._held_s = self._now_s + HELD_S
            else:
                self._calming.clear()
                self.bench.weigh_dough()
            return
        if not self.bench.pile.is_clear:
            self._notice, self._held_s = dough_left.STILL_ON, self._now_s + HELD_S
            return
        self._write_dough_left()
        self.bench.go_on()

    def _write_dough_left(self) -> None:
        said = dough_left.weighed(self.bench, self._batch.promised.run)
        self._notice = "" if said else dough_left.NOTHING
        if said:
            self._write(self._batch.said(*said, self.bench.last_t_s))

    def _pause_or_go_on(self) -> None:
        if self.bench.pile is not None:
            self._notice, self._held_s = dough_left.STOP_FIRST, self._now_s + HELD_S
            return
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
        if self.bench.pile is not None and self.bench.pile.is_clear:
            self._write_dough_left()
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
        if self.bench.pile is not None:
            return Scene.DOUGH_LEFT
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
