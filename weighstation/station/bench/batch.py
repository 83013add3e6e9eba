"""Outcome -> journal lines of one batch, in the order in which they are to be written."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from weighstation.events import Cue, LiftedTurned, PieceKept, PieceLifted, Verdict, Voided
from weighstation.journal import Kind, Line, Why, codec
from weighstation.quantities import MG_PER_G

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.events import Outcome
    from weighstation.journal import Body, RunStarted
    from weighstation.monitor.bench import BenchSignal
    from weighstation.station.bench.timeline import Timeline


class Batch:
    """Turns what happens into lines; the first thing that happens starts the run.

    Parameters
    ----------
    promised : RunStarted
    timeline : Timeline
    dough_t_s : float, seconds, or None
        When this dough was first cut, on the station clock; None when it has yet to be.
    opening : iterable of (Kind, Mapping)
        Lines about boards that follow the first one.

    Attributes
    ----------
    started : bool
        Whether the line that starts the run has been given out.
    """

    def __init__(
        self,
        promised: RunStarted,
        timeline: Timeline,
        *,
        dough_t_s: float | None = None,
        opening: Iterable[tuple[Kind, Body]] = (),
    ) -> None:
        self.promised = promised
        self.dough_t_s = dough_t_s
        self.started = False
        self._opening = tuple(opening)
        self._timeline = timeline
        self._last_ms: int | None = None

    def learn_division(self, division_mg: int) -> None:
        """Promise the scale's division too, now that it is known.

        Parameters
        ----------
        division_mg : int, milligrams
        """
        self.promised = replace(self.promised, division_mg=division_mg)

    def start(self, now_s: float) -> list[Line]:
        """Return the lines that start the run, unless they were given out before.

        Parameters
        ----------
        now_s : float, seconds

        Returns
        -------
        list of Line
        """
        if self.started:
            return []
        self.started = True
        started = (Kind.RUN_STARTED, codec.run_started(self.promised))
        return [self._line(kind, body, now_s, now_s) for kind, body in (started, *self._opening)]

    def lines(self, outcome: Outcome, now_s: float) -> list[Line]:
        """Return what has to be written of an outcome; nothing of a cue.

        Parameters
        ----------
        outcome : Outcome
        now_s : float, seconds

        Returns
        -------
        list of Line
        """
        run = self.promised.run
        match outcome:
            case Cue():
                return []
            case PieceKept(piece) | PieceLifted(piece):
                if self.dough_t_s is None:
                    self.dough_t_s = piece.placed_s
                kept = isinstance(outcome, PieceKept)
                kind = Kind.PIECE_KEPT if kept else Kind.PIECE_LIFTED
                body, t_s = codec.piece_kept(run, piece, dough_t_s=self.dough_t_s), piece.t_s
            case LiftedTurned():
                kind, t_s = Kind.LIFTED_TURNED, outcome.t_s
                body = codec.lifted_turned(run, outcome, dough_t_s=self.dough_t_s or 0.0)
            case Voided():
                kind, t_s = Kind.VOIDED, outcome.t_s
                body = codec.voided(run, outcome, dough_t_s=self.dough_t_s or 0.0)
            case _:
                assert_never(outcome)
        return [*self.start(now_s), self._line(kind, body, t_s, now_s)]

    def gap(self, why: str, seconds: float, now_s: float) -> list[Line]:
        """Return the line for a time in which nothing could be weighed.

        Parameters
        ----------
        why : str
        seconds : float, seconds
        now_s : float, seconds

        Returns
        -------
        list of Line
        """
        body = codec.gap(self.promised.run, why, round(seconds * 1000))
        return [*self.start(now_s), self._line(Kind.GAP, body, now_s, now_s)]

    def signal(self, found: BenchSignal, now_s: float) -> list[Line]:
        """Return the line for first cuts that have moved by more than chance.

        Parameters
        ----------
        found : BenchSignal
        now_s : float, seconds

        Returns
        -------
        list of Line
        """
        body = codec.signal(
            self.promised.run,
            pieces=(found.first, found.last),
            error_mg=round(found.mean_error_g * MG_PER_G),
            text=found.text,
            reaction=found.reaction,
        )
        return [*self.start(now_s), self._line(Kind.SIGNAL, body, now_s, now_s)]

    def said(self, kind: Kind, body: Body, now_s: float) -> list[Line]:
        """Return the line for what a person said, or the bench saw, of something but a piece.

        Parameters
        ----------
        kind : Kind
        body : Mapping
        now_s : float, seconds

        Returns
        -------
        list of Line
        """
        return [*self.start(now_s), self._line(kind, body, now_s, now_s)]

    def end(self, why: Why, now_s: float) -> list[Line]:
        """Return the line that ends the run; nothing where it never started.

        Parameters
        ----------
        why : Why
        now_s : float, seconds

        Returns
        -------
        list of Line
        """
        if not self.started:
            return []
        body = codec.run_ended(self.promised.run, why)
        return [self._line(Kind.RUN_ENDED, body, now_s, now_s)]

    def _line(self, kind: Kind, body: Body, t_s: float, now_s: float) -> Line:
        return Line(kind, body, self._utc_ms(t_s, now_s))

    def _utc_ms(self, t_s: float, now_s: float) -> int:
        """Return when a line happened: not before the line before it, which came first.

        A piece counts by what came after it, so its own time may be older than the last line's.
        Only the machine's clock itself, set back, makes the next line an earlier one.
        """
        happened_ms = self._timeline.utc_ms(t_s, now_s)
        if self._last_ms is not None and happened_ms < self._last_ms:
            happened_ms = min(self._last_ms, self._timeline.utc_ms(now_s, now_s))
        self._last_ms = happened_ms
        return happened_ms


def is_pile(outcome: Outcome) -> bool:
    """Tell whether an outcome says that several pieces left at once: that is no piece at all.

    Parameters
    ----------
    outcome : Outcome

    Returns
    -------
    bool
    """
    return isinstance(outcome, PieceLifted) and outcome.piece.verdict is Verdict.ONE_AT_A_TIME
