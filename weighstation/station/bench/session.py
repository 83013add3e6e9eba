"""One batch at the bench: messages in; lines to write, words to say and snapshots out.

No thread and no clock of its own: the runner brings messages in one after another, on one thread.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from weighstation.errors import SpecificationError
from weighstation.events import Cue, PieceKept, PieceLifted, TurnLifted, Voided, VoidLast
from weighstation.journal import Kind, Why, pan_shifted, read_body, read_dough_weighed
from weighstation.specification import Way
from weighstation.station.bench import dough_left
from weighstation.station.bench.absence import gap_text
from weighstation.station.bench.backlog import Backlog
from weighstation.station.bench.batch import is_pile
from weighstation.station.bench.board_news import Moved
from weighstation.station.bench.board_words import moved_text
from weighstation.station.bench.calming import Calming
from weighstation.station.bench.course import Course
from weighstation.station.bench.drawing import Drawing
from weighstation.station.bench.hearing import SCALE_BACK, Hearing
from weighstation.station.bench.keeper import Keeper
from weighstation.station.bench.keys import Control
from weighstation.station.bench.left_pan import LeftPan, PanNews
from weighstation.station.bench.loop import Bench
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
from weighstation.station.bench.notice import Notice
from weighstation.station.bench.offer import Offers
from weighstation.station.bench.pan_watch import PanWatch, shifted_text
from weighstation.station.bench.telling import Telling
from weighstation.station.bench.vocabulary import Vocabulary
from weighstation.station.bench.watch import Watch
from weighstation.station.bench.wording import (
    NOTHING_TO_STRIKE,
    PILE,
    all_counted_text,
    overtaken_text,
    struck_out_text,
)
from weighstation.station.ports import Arrival

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.errors import WeighstationError
    from weighstation.events import Outcome, Piece
    from weighstation.journal import Entry, Line
    from weighstation.station.bench.batch import Batch
    from weighstation.station.bench.hearing import Missed
    from weighstation.station.bench.messages import Asked, Message
    from weighstation.station.bench.outlets import Outlets
    from weighstation.station.bench.session_plan import SessionPlan
    from weighstation.station.bench.snapshot import Snapshot
    from weighstation.station.bench.standing import Standing


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
    snapshot : Snapshot
        The newest picture.
    """

    def __init__(
        self, plan: SessionPlan, batch: Batch, standing: Standing, outlets: Outlets
    ) -> None:
        self.bench = Bench(plan.bench)
        self._sensing = self.bench.sensing
        self.standing = standing
        self._plan = plan
        self._batch = batch
        self._outlets = outlets
        self._course = Course(plan.planned, ends_at_planned=plan.ends_at_planned)
        self._hearing = Hearing()
        self._left_pan = LeftPan()
        self._vocabulary = Vocabulary()
        self._backlog = Backlog()
        self._telling = Telling(outlets, self._backlog)
        self._notice = Notice(plan.notice)
        self._calming = Calming(plan.bench.limits)
        self._watch = Watch(plan.bench.limits, plan.first_spread_mg, standing.first_cuts)
        self._keeper = Keeper(plan.clocks, batch.promised)
        self._pan_watch = PanWatch(plan.bench.limits)
        self._offers = Offers(plan.bench.limits, plan.dough) if plan.dough else None
        self._drawing = Drawing(plan, self.bench, standing, self._hearing, self._calming)
        self._outcomes = 0
        self.snapshot = self._picture()

    @property
    def done(self) -> bool:
        """Whether the batch is over and every line that can be written is."""
        return self._course.is_done(self._backlog)

    @property
    def failure(self) -> WeighstationError | None:
        """Why the batch had to stop."""
        return self._course.failure

    def take(self, message: Message) -> None:
        """Take the next message in, and draw a new picture.

        Parameters
        ----------
        message : Message
        """
        self._course.go(self._take, message)
        self.snapshot = self._picture()

    def _take(self, message: Message) -> None:
        match message:
            case Durable():
                self._durable(message)
            case Refused():
                self._backlog.refused(message.error)
            case Resumed():
                self._backlog.resumed()
            case Stop():
                self._course.is_over = True
            case Arrival():
                if not self._course.is_over:
                    self._arrived(message)
            case Tick() | LinkLost() | LinkBack():
                self._renew(self._hearing.told(message))
            case PortEnded():
                self._end()
            case _:
                if not self._course.is_over:
                    self._asked(message)

    # ---- what comes from the scale

    def _arrived(self, arrival: Arrival) -> None:
        before, frames = self._sensing.pan, self._sensing.counts.frames
        self._renew(self._hearing.arrived(arrival.t_s, frames))
        outcomes = self.bench.feed(arrival.data, arrival.t_s)
        news = self._left_pan.follow(before, self._sensing.pan, arrival.t_s)
        if news is PanNews.FORGET:
            self._calming.clear()
        self._happened(outcomes)
        self._hearing.read(self._sensing.counts)
        if outcomes or self._sensing.counts.frames > frames:
            self._calm(outcomes)
        if not self._batch.started and self._sensing.division_mg is not None:
            self._batch.learn_division(self._sensing.division_mg)
        if news is PanNews.EMPTIED:
            self._outlets.pan_is_empty()

    def _calm(self, outcomes: Iterable[Outcome]) -> None:
        cues = [outcome for outcome in outcomes if isinstance(outcome, Cue)]
        newest = cues[-1] if cues else None
        self._calming.feed(newest, self._sensing.indicated_mg, self._sensing.step_mg)
        if not self.bench.is_loaded:
            self._calming.left()

    def _renew(self, missed: Missed | None) -> None:
        """Weigh anew after a time in which nothing was heard, if there was one."""
        if missed is None or self._sensing.is_paused:
            return  # the gap of a pause holds this one
        self._gap(*missed)
        was_dough = self._sensing.pile is not None
        self.bench.go_on()
        self._calming.clear()
        self._notice.text = dough_left.BROKEN_OFF if was_dough else SCALE_BACK

    def _gap(self, why: str, seconds: float) -> None:
        text = gap_text(why, self.bench)
        self._write(self._batch.gap(text, seconds, self._sensing.last_t_s))

    def _happened(self, outcomes: Iterable[Outcome]) -> None:
        for outcome in outcomes:
            self._vocabulary.division_mg = self._sensing.division_mg
            said = self._vocabulary.line(outcome)
            if isinstance(outcome, Cue):
                self._notice.pass_by(self._hearing.now_s)
                self._telling.say(said)
                continue
            self._outcomes += 1
            if is_pile(outcome):
                self._notice.text = PILE
            if isinstance(outcome, PieceKept | PieceLifted):
                self._watch_pan(outcome.piece)
            *before, line = self._batch.lines(outcome, self._sensing.last_t_s)
            self._write(before)
            self._telling.write(line, outcome, said=said, t_s=self._vocabulary.t_s)
            if isinstance(outcome, PieceKept):
                self._watch_cut(outcome)

    def _watch_pan(self, piece: Piece) -> None:
        """Write down that a piece was weighed on a pan that shows something else, and say so."""
        if self.bench.plan.way is not Way.SINGLE:
            return
        step_mg = self._sensing.step_mg
        said = self._pan_watch.feed(self._sensing.empty_mg, piece.number - 1, step_mg)
        if said is not None:
            body = pan_shifted(self._batch.promised.run, said)
            self._write(self._batch.said(Kind.PAN_SHIFTED, body, self._sensing.last_t_s))
            self._notice.hold(shifted_text(said, step_mg), self._hearing.now_s)

    def _watch_cut(self, kept: PieceKept) -> None:
        found = self._watch.feed(kept.piece, self._sensing.step_mg)
        if found is not None:
            self._write(self._batch.signal(found, self._sensing.last_t_s))

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
        elif message.entry.kind is Kind.DOUGH_WEIGHED:
            self._dough_is_left(message.entry, t_s)
        elif message.entry.kind is Kind.PAN_SHIFTED:
            self._telling.say(self._vocabulary.pan_shifted(message.entry, t_s))
        self._keep(message.entry, t_s)
        if isinstance(message.outcome, Voided):
            step_mg = self._sensing.step_mg
            self._notice.text = f"{struck_out_text(message.outcome.piece, step_mg)}."
        if written:
            self._notice.hold(written, self._hearing.now_s)
        if self._course.ends_with(self.standing.counted):
            self._end()

    def _dough_is_left(self, entry: Entry, t_s: float) -> None:
        self._telling.say(self._vocabulary.dough_left(entry, t_s))
        left_mg, step_mg = read_dough_weighed(read_body(entry.body)).left_mg, self._sensing.step_mg
        self._notice.hold(dough_left.written_text(left_mg, step_mg), self._hearing.now_s)
        if self._offers is not None and self.standing.totals is not None:
            self._offers.weighed_back(left_mg, self.standing.totals)
            self._offer(t_s)

    def _keep(self, entry: Entry, t_s: float) -> None:
        """Take a durable line to the boards, and say what is new of them."""
        is_of_board = entry.kind in (Kind.BOARD_CLOSED, Kind.BOARD_MOVED)
        for news in self._keeper.feed(entry):
            clocks = self._keeper.clocks(self._batch.dough_t_s)
            self._telling.say(self._vocabulary.of_board(news, clocks, t_s))
            if is_of_board and isinstance(news, Moved):
                now_s = self._hearing.now_s
                self._notice.hold(moved_text(news.board, clocks.rest(news.board, now_s)), now_s)

    def _offer(self, t_s: float) -> None:
        totals, division_mg = self.standing.totals, self._sensing.step_mg
        if self._offers is None or totals is None:
            return
        found = self._offers.feed(totals, division_mg)
        if found is not None:
            self._telling.say(self._vocabulary.offer(found, t_s))

    def _noticed(self) -> str:
        """Return the notice; that all pieces are counted stays until the next load."""
        if self._sensing.pile is not None:
            return self._notice.held(self._hearing.now_s) or dough_left.begun(self.bench)
        has_all = self._course.has_all(self.standing.counted)
        if self._notice.text or not has_all or self.bench.is_loaded:
            return self._notice.text
        return all_counted_text(self._plan.planned or 0)

    # ---- what comes from a person

    def _asked(self, asked: Asked) -> None:
        match asked:
            case Control.TURN:
                turned = self.bench.command(TurnLifted(self._sensing.last_t_s))
                self._done_or(turned, "No lifted piece is open.")
            case Control.PAUSE:
                self._pause_or_go_on()
            case Control.DOUGH:
                self._dough_left()
            case Control.END:
                self._end()
            case StrikeOut():
                self._strike_out(asked.number)
            case BoardAsked():
                self._board_asked(asked)
            case _:
                assert_never(asked)

    def _strike_out(self, number: int) -> None:
        """Strike out the piece that was named, or none."""
        last = self.bench.last_counted
        if last is None or last.number != number:
            self._notice.text = overtaken_text(self.snapshot, number)
            return
        self._done_or(self.bench.command(VoidLast(self._sensing.last_t_s)), NOTHING_TO_STRIKE)
        if self._backlog.is_refused:
            gone = struck_out_text(last, self._sensing.step_mg)
            self._notice.text = f"{gone}; that too waits for the disk."

    def _board_asked(self, asked: BoardAsked) -> None:
        """Have written what a person says of a board, or say why that cannot be."""
        now_s = self._hearing.now_s
        try:
            said = self._keeper.asked(asked.control, asked.board, now_s)
        except SpecificationError as exc:
            self._notice.hold(exc.sentence, now_s)
            return
        self._vocabulary.stamp(now_s)
        self._write(self._batch.said(*said, now_s))
        self._notice.text = ""
        if self._backlog.is_refused:
            self._notice.text = f"Board {asked.board}: that too waits for the disk."

    def _done_or(self, outcomes: list[Outcome], otherwise: str) -> None:
        self._notice.text = "" if outcomes else otherwise
        self._happened(outcomes)

    def _dough_left(self) -> None:
        """Begin to weigh back the dough that is left, or write down what it came to."""
        pile, now_s = self._sensing.pile, self._hearing.now_s
        if pile is not None and not pile.is_clear:
            self._notice.hold(dough_left.STILL_ON, now_s)
        elif pile is not None:
            self._write_dough_left()
            self.bench.go_on()
        elif refusal := dough_left.refusal(self.bench):
            self._notice.hold(refusal, now_s)
        else:
            self._notice.text = ""
            self._calming.clear()
            self.bench.weigh_dough()

    def _write_dough_left(self) -> None:
        said = dough_left.weighed(self.bench, self._batch.promised.run)
        self._notice.text = "" if said else dough_left.NOTHING
        if said:
            self._vocabulary.stamp(self._hearing.now_s)
            self._write(self._batch.said(*said, self._sensing.last_t_s))

    def _pause_or_go_on(self) -> None:
        absence, now_s = self._hearing.absence, self._hearing.now_s
        if self._sensing.pile is not None:
            self._notice.hold(dough_left.STOP_FIRST, now_s)
            return
        self._calming.clear()
        if self._sensing.is_paused:
            self._gap(*absence.why(now_s))
            absence.gone_on()
            self.bench.go_on()
        else:
            absence.paused(now_s)
            self._sensing.is_paused = True

    def _end(self) -> None:
        if self._course.is_over:
            return
        self._course.is_over = True
        why, seconds = self._hearing.absence.why(self._hearing.now_s)
        text = gap_text(why, self.bench)
        if self._sensing.pile is not None and self._sensing.pile.is_clear:
            self._write_dough_left()
        self._happened(self.bench.finish(self._sensing.last_t_s))
        if why:
            self._write(self._batch.gap(text, seconds, self._sensing.last_t_s))
        self._write(self._batch.end(Why.DONE, self._sensing.last_t_s))

    # ---- the picture

    def _picture(self) -> Snapshot:
        return self._drawing.draw(
            happened=self._outcomes,
            clocks=self._keeper.clocks(self._batch.dough_t_s),
            notice=self._noticed(),
            signal=self._watch.line,
            offer=self._offers.line if self._offers else "",
            alarm=self._alarm(),
        )

    def _alarm(self) -> str:
        heard = self._hearing
        return self._backlog.alarm or heard.lost or self._sensing.refusal or heard.trouble
