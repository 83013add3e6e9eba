"""Baked loaves at the bench: messages in; lines to write, words to say and snapshots out.

No thread and no clock of its own: the runner brings messages in one after another, on one thread.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, assert_never

from weighstation.detect import Pan
from weighstation.events import LoafNotCounted, LoafShown, LoafVoided, LoafWeighed
from weighstation.quantities import grams_text
from weighstation.station.bench.absence import gap_text
from weighstation.station.bench.backlog import Backlog
from weighstation.station.bench.course import Course
from weighstation.station.bench.hearing import SCALE_BACK, Hearing
from weighstation.station.bench.keys import Control
from weighstation.station.bench.left_pan import LeftPan, PanNews
from weighstation.station.bench.loaf_bench import LoafBench, LoafPlan
from weighstation.station.bench.loaf_lines import LoafLines, LoafStanding
from weighstation.station.bench.loaf_snapshot import LoafSnapshot
from weighstation.station.bench.loaf_vocabulary import LoafVocabulary
from weighstation.station.bench.loaf_words import NO_LOAF_TO_STRIKE, not_counted_text
from weighstation.station.bench.messages import (
    Durable,
    LinkBack,
    LinkLost,
    PortEnded,
    Refused,
    Resumed,
    Stop,
    StrikeOut,
    Tick,
    Typed,
)
from weighstation.station.bench.notice import Notice
from weighstation.station.bench.scenes import scene_of
from weighstation.station.bench.telling import Telling
from weighstation.station.ports import Arrival

if TYPE_CHECKING:
    from weighstation.errors import WeighstationError
    from weighstation.evaluate import LoafCounter
    from weighstation.events import LoafOutcome
    from weighstation.journal import Loaves
    from weighstation.station.bench.hearing import Missed
    from weighstation.station.bench.loaf_lines import LoafPromise
    from weighstation.station.bench.messages import LoafAsked, LoafMessage
    from weighstation.station.bench.outlets import Outlets
    from weighstation.station.bench.timeline import Timeline

TYPED_S = 3.0
"""A digit that comes later than this after the one before begins another number."""
MOST_DIGITS = 6
STRUCK_OUT = "struck out at the bench"


@dataclass(frozen=True, slots=True)
class LoafSessionPlan:
    """What was asked for.

    Parameters
    ----------
    bench : LoafPlan
    promise : LoafPromise
    title : str
        What the panel is headed with.
    planned : int or None
        Loaves wanted.
    ends_at_planned : bool
        End by itself once so many count, because there is no key to end it with.
    notice : str
        What is to be said before the first loaf, in one plain sentence; may be empty.
    """

    bench: LoafPlan
    promise: LoafPromise
    title: str
    planned: int | None = None
    ends_at_planned: bool = False
    notice: str = ""


class LoafSession:
    """The loop's own memory.

    Parameters
    ----------
    plan : LoafSessionPlan
    counter : LoafCounter
    before : Loaves
        Of the batch, as they are on record when weighing begins.
    timeline : Timeline
    outlets : Outlets

    Attributes
    ----------
    snapshot : LoafSnapshot
        The newest picture.
    """

    def __init__(
        self,
        plan: LoafSessionPlan,
        counter: LoafCounter,
        before: Loaves,
        timeline: Timeline,
        outlets: Outlets,
    ) -> None:
        self.bench = LoafBench(plan.bench, counter)
        self._sensing = self.bench.sensing
        self.standing = LoafStanding(before)
        self._plan = plan
        self._lines = LoafLines(plan.promise, timeline, before)
        self._words = LoafVocabulary(plan.promise, counter.raw_mg)
        self._outlets = outlets
        self._course = Course(plan.planned, ends_at_planned=plan.ends_at_planned)
        self._hearing = Hearing()
        self._left_pan = LeftPan()
        self._backlog = Backlog("loaf", "loaves")
        self._telling = Telling(outlets, self._backlog)
        self._notice = Notice(plan.notice)
        self._shown: LoafShown | None = None
        self._typed, self._typed_s = "", 0.0
        self.snapshot = self._picture()

    @property
    def done(self) -> bool:
        """Whether it is over and every line that can be written is."""
        return self._course.is_done(self._backlog)

    @property
    def failure(self) -> WeighstationError | None:
        """Why it had to stop."""
        return self._course.failure

    def take(self, message: LoafMessage) -> None:
        """Take the next message in, and draw a new picture.

        Parameters
        ----------
        message : LoafMessage
        """
        self._course.go(self._take, message)
        self.snapshot = self._picture()

    def _take(self, message: LoafMessage) -> None:
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
        before = self._sensing.pan
        self._renew(self._hearing.arrived(arrival.t_s, self._sensing.counts.frames))
        outcomes = self.bench.feed(arrival.data, arrival.t_s)
        news = self._left_pan.follow(before, self._sensing.pan, arrival.t_s)
        if news is PanNews.FORGET:
            self._shown = None
        self._happened(outcomes)
        self._hearing.read(self._sensing.counts)
        if news is PanNews.EMPTIED:
            self._outlets.pan_is_empty()

    def _renew(self, missed: Missed | None) -> None:
        """Weigh anew after a time in which nothing was heard, if there was one."""
        if missed is not None:
            self._gap(*missed)
            self.bench.go_on()
            self._shown = None
            self._notice.text = SCALE_BACK

    def _gap(self, why: str, seconds: float) -> None:
        """Write down that for some time no loaf could be weighed."""
        text = gap_text(why, self.bench)
        self._telling.write(self._lines.gap(text, seconds, self._hearing.now_s))

    def _happened(self, outcomes: list[LoafOutcome]) -> None:
        for outcome in outcomes:
            self._words.division_mg = self._sensing.division_mg
            said = self._words.line(outcome)
            match outcome:
                case LoafShown():
                    self._telling.say(said)
                    self._shown = outcome if outcome.firm else None
                    if outcome.firm:
                        self._notice.pass_by(self._hearing.now_s)
                case LoafNotCounted():
                    self._telling.say(said)
                    division_mg = self._sensing.step_mg
                    self._notice.text = not_counted_text(outcome, division_mg)
                case LoafWeighed() | LoafVoided():
                    self._typed = ""
                    self._write(outcome, said)

    # ---- what comes from the writer

    def _write(self, outcome: LoafWeighed | LoafVoided, said: str) -> None:
        line = self._lines.line(outcome, self._sensing.last_t_s, self._sensing.division_mg)
        self._telling.write(line, outcome, said=said)

    def _durable(self, message: Durable) -> None:
        _, written = self._telling.durable(message.outcome)
        self.standing.feed(message.entry)
        if isinstance(message.outcome, LoafVoided):
            loaf = message.outcome.loaf
            weight = grams_text(loaf.baked_mg, self._sensing.step_mg)
            self._notice.text = f"Loaf {loaf.number} ({weight} g) is struck out."
        if written:
            self._notice.hold(written, self._hearing.now_s)
        if self._course.ends_with(self.standing.counted):
            self._end()

    # ---- what comes from a person

    def _asked(self, asked: LoafAsked) -> None:
        match asked:
            case Control.END:
                self._end()
            case StrikeOut():
                self._strike_out(asked.number)
            case Typed():
                self._type(asked.char)
            case _:
                assert_never(asked)

    def _strike_out(self, number: int) -> None:
        """Strike out the loaf that was named, or none."""
        last = self.bench.counter.last
        if last is None:
            self._notice.text = NO_LOAF_TO_STRIKE
        elif last.number != number:
            self._notice.text = (
                f"Loaf {last.number} is counted now: press V again to strike out that."
            )
        else:
            gone = self.bench.counter.strike_out(self._sensing.last_t_s, STRUCK_OUT)
            self._happened([gone] if gone else [])

    def _type(self, char: str) -> None:
        """Take a digit of the piece that the next loaf is, or the end of its number."""
        marks = self.bench.counter.marks
        if not char.isdigit():
            self._typed = ""
            return
        is_new = self._hearing.now_s - self._typed_s > TYPED_S or len(self._typed) >= MOST_DIGITS
        self._typed = ("" if is_new else self._typed) + char
        self._typed_s = self._hearing.now_s
        fault = marks.say(int(self._typed))
        self._notice.text = (
            f"{fault} Until you type another, the next loaf has no mark." if fault else ""
        )

    def _end(self) -> None:
        if not self._course.is_over:
            self._course.is_over = True
            why, seconds = self._hearing.absence.why(self._hearing.now_s)
            text = gap_text(why, self.bench)
            self._happened(self.bench.finish())
            if why:
                self._telling.write(self._lines.gap(text, seconds, self._hearing.now_s))

    # ---- the picture

    def _picture(self) -> LoafSnapshot:
        standing, known, promise = self.standing, self.bench.counter.last, self._plan.promise
        last, lain_mg = standing.last, self.bench.lain_mg
        return LoafSnapshot(
            product=self._plan.title,
            declared_mg=promise.declared_mg,
            division_mg=self._sensing.step_mg,
            scene=scene_of(
                self._sensing.pan,
                is_lost=bool(self._hearing.lost),
                is_told=self._shown is not None,
                is_laden=lain_mg is not None,
            ),
            lain_mg=lain_mg,
            shown=self._shown,
            piece=self.bench.counter.marks.next,
            typed=self._typed,
            counted=standing.counted,
            planned=self._plan.planned,
            last_number=last[0] if last else None,
            last_mg=last[1] if last else None,
            known_number=known.number if known else None,
            known_mg=known.baked_mg if known else None,
            mean_mg=standing.mean_mg,
            sd_mg=standing.sd_mg,
            out_of_oven_min=promise.out_min(self._hearing.now_s),
            notice=self._noticed(),
            alarm=self._alarm(),
        )

    def _noticed(self) -> str:
        """Return the notice; that all loaves are counted stays until the next one."""
        is_laden = self._sensing.pan in (Pan.LOADED, Pan.MOVING)
        counted = self.standing.counted
        if self._notice.text or not self._course.has_all(counted) or is_laden:
            return self._notice.text
        said = "1 loaf is" if counted == 1 else f"{counted} loaves are"
        return f"{said} counted: press E twice to end."

    def _alarm(self) -> str:
        heard = self._hearing
        return self._backlog.alarm or heard.lost or self._sensing.refusal or heard.trouble
