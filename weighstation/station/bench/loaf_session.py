"""Baked loaves at the bench: messages in; lines to write, words to say and snapshots out.

No thread and no clock of its own: the runner brings messages in one after another, on one thread.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from typing import TYPE_CHECKING, assert_never

from weighstation.detect import Pan
from weighstation.errors import WeighstationError
from weighstation.events import LoafNotCounted, LoafShown, LoafVoided, LoafWeighed
from weighstation.quantities import MG_PER_G, grams_text
from weighstation.station.bench.absence import LINK_LOST, SILENT, Absence, gap_text
from weighstation.station.bench.backlog import Backlog
from weighstation.station.bench.keys import Control
from weighstation.station.bench.loaf_bench import LoafBench, LoafPlan
from weighstation.station.bench.loaf_lines import LoafLines, LoafStanding
from weighstation.station.bench.loaf_snapshot import LoafSnapshot
from weighstation.station.bench.loaf_vocabulary import LoafVocabulary
from weighstation.station.bench.loaf_words import NO_LOAF_TO_STRIKE, not_counted_text
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
    Typed,
)
from weighstation.station.bench.silence import Silence
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.torn import TornLines
from weighstation.station.ports import Arrival

if TYPE_CHECKING:
    from weighstation.evaluate import LoafCounter
    from weighstation.events import LoafOutcome
    from weighstation.journal import Loaves
    from weighstation.station.bench.loaf_lines import LoafPromise
    from weighstation.station.bench.messages import LoafMessage
    from weighstation.station.bench.outlets import LoafOutlets
    from weighstation.station.bench.timeline import Timeline

SHOWN_S = 1.5
"""How long the panel says what has left the pan."""
TYPED_S = 3.0
"""A digit that comes later than this after the one before begins another number."""
MOST_DIGITS = 6
STRUCK_OUT = "struck out at the bench"

_SCENES = {
    Pan.NO_READING: Scene.NO_SCALE_YET,
    Pan.EMPTY: Scene.EMPTY,
    Pan.MOVING: Scene.MOVING,
    Pan.LOADED: Scene.MOVING,
    Pan.OVERLOADED: Scene.OVERLOADED,
}


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
    outlets : LoafOutlets

    Attributes
    ----------
    done : bool
        Whether it is over and every line that can be written is.
    failure : WeighstationError or None
        Why it had to stop.
    snapshot : LoafSnapshot
        The newest picture.
    """

    def __init__(
        self,
        plan: LoafSessionPlan,
        counter: LoafCounter,
        before: Loaves,
        timeline: Timeline,
        outlets: LoafOutlets,
    ) -> None:
        self.bench = LoafBench(plan.bench, counter)
        self.standing = LoafStanding(before)
        self.done = False
        self.failure: WeighstationError | None = None
        self._plan = plan
        self._lines = LoafLines(plan.promise, timeline, before)
        self._words = LoafVocabulary(plan.promise, counter.raw_mg)
        self._outlets = outlets
        self._unsaid: deque[str] = deque()
        self._silence = Silence()
        self._absence = Absence(self._silence)
        self._backlog = Backlog("loaf", "loaves")
        self._torn = TornLines()
        self._over = False
        self._lost, self._notice = "", plan.notice
        self._now_s = 0.0
        self._shown: LoafShown | None = None
        self._left_s: float | None = None
        self._typed, self._typed_s = "", 0.0
        self.snapshot = self._picture()

    def take(self, message: LoafMessage) -> None:
        """Take the next message in, and draw a new picture.

        Parameters
        ----------
        message : LoafMessage
        """
        try:
            self._take(message)
        except WeighstationError as exc:
            self.failure = exc
            self._over = True
        self.done = self._over and (self._backlog.lines == 0 or self._backlog.is_refused)
        self.snapshot = self._picture()

    def _take(self, message: LoafMessage) -> None:
        match message:
            case Arrival():
                if not self._over:
                    self._arrived(message)
            case Durable():
                self._durable(message)
            case Refused():
                self._backlog.refused(message.error)
            case Resumed():
                self._backlog.resumed()
            case Stop():
                self._over = True
            case Control() | StrikeOut() | Typed():
                if not self._over:
                    self._asked(message)
            case BoardAsked():
                pass  # loaves lie on no board
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
        self._happened(self.bench.feed(arrival.data, arrival.t_s))
        self._torn.see(self.bench.counts)
        self._follow_pan(before, arrival.t_s)

    def _follow_pan(self, before: Pan, t_s: float) -> None:
        """Let the store tidy up once the pan is empty, and forget what left it in a moment."""
        if self.bench.pan is not Pan.EMPTY:
            self._left_s = None
        elif before is not Pan.EMPTY:
            self._outlets.pan_is_empty()
            self._left_s = t_s
        elif self._left_s is not None and t_s - self._left_s > SHOWN_S:
            self._shown = self._left_s = None

    def _renew(self, why: str, seconds: float) -> None:
        self._gap(why, seconds)
        self.bench.go_on()
        self._shown = None
        self._notice = "The scale is back: what lies on the pan is weighed anew."

    def _gap(self, why: str, seconds: float) -> None:
        """Write down that for some time no loaf could be weighed."""
        self._backlog.given(None)
        text = gap_text(why, self.bench)
        self._outlets.write(self._lines.gap(text, seconds, self._now_s), None)

    def _happened(self, outcomes: list[LoafOutcome]) -> None:
        for outcome in outcomes:
            self._words.division_mg = self.bench.division_mg
            said = self._words.line(outcome)
            match outcome:
                case LoafShown():
                    self._outlets.say(said)
                    self._shown = outcome if outcome.firm else None
                    self._notice = "" if outcome.firm else self._notice
                case LoafNotCounted():
                    self._outlets.say(said)
                    self._notice = not_counted_text(outcome, self.bench.division_mg or MG_PER_G)
                case LoafWeighed() | LoafVoided():
                    self._unsaid.append(said)
                    self._typed = ""
                    self._write(outcome)

    # ---- what comes from the writer

    def _write(self, outcome: LoafWeighed | LoafVoided) -> None:
        self._backlog.given(outcome)
        line = self._lines.line(outcome, self.bench.last_t_s, self.bench.division_mg)
        self._outlets.write(line, outcome)

    def _durable(self, message: Durable) -> None:
        written = self._backlog.durable(message.outcome)
        self.standing.feed(message.entry)
        if message.outcome is not None:
            self._outlets.say(self._unsaid.popleft())
        if isinstance(message.outcome, LoafVoided):
            loaf = message.outcome.loaf
            weight = grams_text(loaf.baked_mg, self.bench.division_mg or MG_PER_G)
            self._notice = f"Loaf {loaf.number} ({weight} g) is struck out."
        self._notice = written or self._notice
        if self._are_all_counted and self._plan.ends_at_planned:
            self._end()

    @property
    def _are_all_counted(self) -> bool:
        return bool(self._plan.planned) and self.standing.counted >= (self._plan.planned or 0)

    # ---- what comes from a person

    def _asked(self, message: Control | StrikeOut | Typed) -> None:
        match message:
            case StrikeOut():
                self._strike_out(message.number)
            case Typed():
                self._type(message.char)
            case Control.END:
                self._end()
            case _:
                pass  # turning round and pausing mean nothing here

    def _strike_out(self, number: int) -> None:
        """Strike out the loaf that was named, or none."""
        last = self.bench.counter.last
        if last is None:
            self._notice = NO_LOAF_TO_STRIKE
        elif last.number != number:
            self._notice = f"Loaf {last.number} is counted now: press V again to strike out that."
        else:
            gone = self.bench.counter.strike_out(self.bench.last_t_s, STRUCK_OUT)
            self._happened([gone] if gone else [])

    def _type(self, char: str) -> None:
        """Take a digit of the piece that the next loaf is, or the end of its number."""
        marks = self.bench.counter.marks
        if not char.isdigit():
            self._typed = ""
            return
        is_new = self._now_s - self._typed_s > TYPED_S or len(self._typed) >= MOST_DIGITS
        self._typed = ("" if is_new else self._typed) + char
        self._typed_s = self._now_s
        fault = marks.say(int(self._typed))
        self._notice = (
            f"{fault} Until you type another, the next loaf has no mark." if fault else ""
        )

    def _end(self) -> None:
        if not self._over:
            self._over = True
            why, seconds = self._absence.why(self._now_s)
            self._happened(self.bench.finish())
            if why:
                self._gap(why, seconds)

    # ---- the picture

    def _scene(self) -> Scene:
        if self._lost:
            return Scene.SCALE_LOST
        if self.bench.pan is Pan.LOADED and self._shown is not None:
            return Scene.CUED
        if self.bench.lain_mg is not None:
            return Scene.LADEN
        return _SCENES[self.bench.pan]

    def _picture(self) -> LoafSnapshot:
        standing, known, promise = self.standing, self.bench.counter.last, self._plan.promise
        last = standing.last
        return LoafSnapshot(
            product=self._plan.title,
            declared_mg=promise.declared_mg,
            division_mg=self.bench.division_mg or MG_PER_G,
            scene=self._scene(),
            lain_mg=self.bench.lain_mg,
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
            out_of_oven_min=promise.out_min(self._now_s),
            notice=self._noticed(),
            alarm=self._alarm(),
        )

    def _noticed(self) -> str:
        """Return the notice; that all loaves are counted stays until the next one."""
        is_laden = self.bench.pan in (Pan.LOADED, Pan.MOVING)
        if self._notice or not self._are_all_counted or is_laden:
            return self._notice
        counted = self.standing.counted
        said = "1 loaf is" if counted == 1 else f"{counted} loaves are"
        return f"{said} counted: press E twice to end."

    def _alarm(self) -> str:
        return self._backlog.alarm or self._lost or self.bench.refusal or self._torn.sentence
